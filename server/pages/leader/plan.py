"""Plan a tasting, see at once what follows, change it, seal it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from server.blinding.events import State
from server.blinding.plans import Plan
from server.brewing.kit import Kit
from server.methods.base import Method
from server.methods.registry import METHODS
from server.methods.traits import (
    answers_yes_or_no,
    asks_by_name,
    asks_for_liking,
    can_be_shuffled,
    gets_to_know,
    is_two_sided,
)
from server.pages.deps import AtBench, Form, Leader, Led, LedRow
from server.pages.leader.contrast_choices import ContrastChoices
from server.pages.rendering import go_to, show, show_fragment
from server.tastings import drafts, planning
from server.tastings.consequences import Consequences, work_out
from server.tastings.kits import find_kit
from server.tastings.plan_forms import empty_form, plan_form
from server.tastings.refusals import Invalid, NotFound
from server.tastings.relieving import refuse_overload
from server.tastings.retasting import find_brewed_as, plan_again
from server.tastings.setting_out import SettingOut, refuse_waiting, set_out
from server.tastings.tasting_list import find_labels

router = APIRouter()

IN_SIGHT = {"method", "attribute", "more", "no_preference", "open_cups", "told_shares", "sittings"}
IN_SIGHT |= {"contrast"}
"""Fields with a default that are not folded away with the others."""


def get_kit(leader: Leader) -> Kit | None:
    """Return what the leader said is at hand."""
    return find_kit(leader)


AtHand = Annotated[Kit | None, Depends(get_kit)]


@dataclass(frozen=True)
class Preview:
    """What follows from the numbers typed so far, or what is wrong with them."""

    consequences: Consequences | None
    errors: Mapping[str, str] = field(default_factory=dict)
    setting_out: SettingOut | None = None


@dataclass(frozen=True)
class PlanPage(ContrastChoices):
    """The planning form."""

    title: str
    action: str
    form: Mapping[str, str]
    errors: Mapping[str, str]
    preview: Preview
    reasons: tuple[str, ...] = ()
    filled: str = ""

    @property
    def methods(self) -> tuple[Method, ...]:
        """Methods that can be served."""
        return tuple(METHODS.values())

    @property
    def named(self) -> frozenset[str]:
        """Methods whose question names what differs."""
        return frozenset(one.name for one in self.methods if asks_by_name(one))

    @property
    def panel_only(self) -> frozenset[str]:
        """Methods that nobody can pour, shuffle and taste alone."""
        return frozenset(one.name for one in self.methods if not can_be_shuffled(one))

    @property
    def two_sided(self) -> frozenset[str]:
        """Methods of which either sample may be chosen more often."""
        return frozenset(one.name for one in self.methods if is_two_sided(one))

    @property
    def liking(self) -> frozenset[str]:
        """Methods that ask what people like."""
        return frozenset(one.name for one in self.methods if asks_for_liking(one))

    @property
    def yes_or_no(self) -> frozenset[str]:
        """Methods that serve two kinds, and ask which it is."""
        return frozenset(one.name for one in self.methods if answers_yes_or_no(one))

    @property
    def known(self) -> frozenset[str]:
        """Methods with an open cup before the first code."""
        return frozenset(one.name for one in self.methods if gets_to_know(one))

    @property
    def is_default_wrong(self) -> bool:
        """Tell whether a message stands among the defaults, which are folded away."""
        fields = planning.PlanInput.model_fields.keys() - IN_SIGHT
        return any(
            not planning.PlanInput.model_fields[one].is_required()
            for one in self.errors
            if one in fields
        )


@router.get("/tastings/new")
def new_plan(request: Request, kit: AtHand) -> Response:
    """Show an empty plan."""
    return _show_plan(request, "/tastings/new", empty_form(), kit)


def show_new_plan(
    request: Request, form: Mapping[str, str], kit: Kit | None, filled: str
) -> Response:
    """Show a new plan that is filled in already, and the words that say from where."""
    return _show_plan(request, "/tastings/new", form, kit, filled=filled)


@router.get("/tastings/{tasting_id}/again")
def plan_next(request: Request, bench: AtBench, led: Led, kit: AtHand) -> Response:
    """Show the next plan of an unsealed tasting, its weakest point repaired."""
    if led.layout.plan.table is not None:
        return go_to(request, f"/tastings/{led.tasting.id}/plan/table")
    if led.layout.plan.series is not None:
        return go_to(request, f"/tastings/{led.tasting.id}/plan/series")
    following = plan_again(bench, led)
    return _show_plan(request, "/tastings/new", following.form, kit, reasons=following.reasons)


@router.post("/tastings/new")
def create_plan(
    request: Request, bench: AtBench, leader: Leader, kit: AtHand, form: Form
) -> Response:
    """Store a plan as a draft."""
    try:
        given = _read_whole(form, kit)
    except Invalid as error:
        return _show_plan(request, "/tastings/new", form, kit, error.messages)
    brewed_as = find_brewed_as(bench, leader.id, form.get("again", ""))
    drafted = drafts.create_draft(bench, leader.id, given, brewed_as=brewed_as)
    return go_to(request, f"/tastings/{drafted}")


@router.post("/plans/preview")
def preview(request: Request, kit: AtHand, form: Form) -> Response:
    """Show what follows from the numbers typed so far."""
    return show_fragment(request, "leader/preview", _preview(form, kit))


@router.get("/tastings/{tasting_id}/plan")
def edit_plan(request: Request, bench: AtBench, tasting: LedRow, kit: AtHand) -> Response:
    """Show a draft's plan for changing; a sealed one is only looked at."""
    if tasting.state != State.DRAFT:
        return go_to(request, f"/tastings/{tasting.id}")
    if tasting.plan.get("table"):
        return go_to(request, f"/tastings/{tasting.id}/plan/table")
    if tasting.plan.get("series"):
        return go_to(request, f"/tastings/{tasting.id}/plan/series")
    labels = find_labels(bench, tasting.id)
    form = plan_form(Plan.model_validate(tasting.plan), labels)
    return _show_plan(request, f"/tastings/{tasting.id}/plan", form, kit)


@router.post("/tastings/{tasting_id}/plan")
def change_plan(
    request: Request, bench: AtBench, tasting: LedRow, kit: AtHand, form: Form
) -> Response:
    """Replace a draft's plan; a scored table has a form of its own."""
    if tasting.plan.get("table") or tasting.plan.get("series"):
        raise NotFound("A scored table, or a series, is planned on its own page.")
    try:
        drafts.change_draft(bench, tasting.id, _read_whole(form, kit))
    except Invalid as error:
        return _show_plan(request, f"/tastings/{tasting.id}/plan", form, kit, error.messages)
    return go_to(request, f"/tastings/{tasting.id}")


def _read_whole(form: Mapping[str, str], kit: Kit | None) -> planning.PlanInput:
    given = planning.read_plan(form)
    follow = work_out(given)
    refuse_overload(follow)
    refuse_waiting(follow, kit)
    return given


def _preview(form: Mapping[str, str], kit: Kit | None) -> Preview:
    try:
        follow = work_out(planning.read_numbers(form))
    except Invalid as error:
        return Preview(None, error.messages)
    return Preview(follow, setting_out=set_out(follow, kit))


def _show_plan(
    request: Request,
    action: str,
    form: Mapping[str, str],
    kit: Kit | None,
    errors: Mapping[str, str] | None = None,
    reasons: tuple[str, ...] = (),
    filled: str = "",
) -> Response:
    title = "New tasting" if action == "/tastings/new" else "Change the plan"
    view = PlanPage(title, action, form, errors or {}, _preview(form, kit), reasons, filled)
    return show(request, "leader/plan", view, 422 if errors else 200)
