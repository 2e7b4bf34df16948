"""A soak: what stood in the water, the protocol step by step, and the plan of its test."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from urllib.parse import urlencode

from fastapi import APIRouter, Request, Response

from server.blinding.bench_plans import Soak
from server.blinding.plans import Plan
from server.pages.deps import AtBench, Form, Leader, LedRow
from server.pages.rendering import go_to, show
from server.reports.soak_protocol import list_steps
from server.tastings.refusals import Invalid, NotFound
from server.tastings.soaking import draft_soak, empty_soak, find_bound, read_soak

router = APIRouter()


@dataclass(frozen=True)
class SoakPage:
    """The form, and the protocol that follows from it once it can be read."""

    form: Mapping[str, str]
    soak: Soak | None = None
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def steps(self) -> tuple[str, ...]:
        """What to do, in order."""
        return list_steps(self.soak) if self.soak else ()

    def range(self, name: str) -> str:
        """Return what a number may be, in words."""
        return find_bound(name)


@dataclass(frozen=True)
class SoakSheet:
    """The protocol to print."""

    soak: Soak
    steps: tuple[str, ...]
    back: str
    tasting: str = ""


@router.get("/soak")
def soak(request: Request, _: Leader) -> Response:
    """Show the form, empty or as an address fills it in."""
    typed = dict(request.query_params)
    return show(request, "leader/soak", SoakPage(empty_soak() | typed))


@router.post("/soak")
def show_protocol(request: Request, _: Leader, form: Form) -> Response:
    """Show the protocol for what was typed."""
    try:
        found = read_soak(form)
    except Invalid as error:
        return _refuse(request, form, error)
    return show(request, "leader/soak", SoakPage(form, found))


@router.get("/soak/sheet")
def soak_sheet(request: Request, _: Leader) -> Response:
    """Show the protocol to print, for what was typed."""
    typed = dict(request.query_params)
    try:
        found = read_soak(typed)
    except Invalid as error:
        return _refuse(request, typed, error)
    back = f"/soak?{urlencode(typed)}"
    return show(request, "paper/soak", SoakSheet(found, list_steps(found), back))


@router.post("/soak/plan")
def plan_soak(request: Request, bench: AtBench, leader: Leader, form: Form) -> Response:
    """Keep the draft of its test, and go to its plan to see and change the numbers."""
    try:
        found = read_soak(form)
    except Invalid as error:
        return _refuse(request, form, error)
    return go_to(request, f"/tastings/{draft_soak(bench, leader.id, found)}/plan")


@router.get("/tastings/{tasting_id}/paper/soak")
def planned_soak(request: Request, tasting: LedRow) -> Response:
    """Show the protocol that a tasting is planned with, to print."""
    bench = Plan.model_validate(tasting.plan).bench
    if bench is None or bench.soak is None:
        raise NotFound("This tasting is not planned with a soak.")
    steps, back = list_steps(bench.soak), f"/tastings/{tasting.id}"
    return show(request, "paper/soak", SoakSheet(bench.soak, steps, back, tasting.name))


def _refuse(request: Request, form: Mapping[str, str], error: Invalid) -> Response:
    view = SoakPage(empty_soak() | dict(form), errors=error.messages)
    return show(request, "leader/soak", view, 422)
