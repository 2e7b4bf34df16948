"""Plan a rising series: the base, what is added, the steps, and what follows from it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from fastapi import APIRouter, Request, Response

from server.blinding.events import State
from server.blinding.plans import Plan
from server.pages.deps import AtBench, Form, Leader, LedRow
from server.pages.rendering import go_to, show, show_fragment
from server.storage.tables import Tasting
from server.tastings import drafts, series_planning
from server.tastings.refusals import Invalid
from server.tastings.series_costs import SeriesCosts, work_out_series
from server.tastings.tasting_list import find_labels
from server.tastings.trying_out import Gate

router = APIRouter()

NEW = "/tastings/new/series"


@dataclass(frozen=True)
class SeriesPreview:
    """What follows from the plan typed so far, or what is wrong with it."""

    costs: SeriesCosts | None
    errors: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class SeriesPlanPage:
    """The planning form of a series."""

    title: str
    action: str
    form: Mapping[str, str]
    errors: Mapping[str, str]
    preview: SeriesPreview


@dataclass(frozen=True)
class SeriesDraft:
    """The plan of a series that is not sealed yet."""

    tasting: Tasting
    plan: Plan
    labels: Mapping[str, str]
    costs: SeriesCosts
    gate: Gate | None = None
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)


@router.get(NEW)
def new_series(request: Request) -> Response:
    """Show an empty plan of a series."""
    return _show_plan(request, NEW, series_planning.empty_series_form())


@router.post(NEW)
def create_series(request: Request, bench: AtBench, leader: Leader, form: Form) -> Response:
    """Store the plan of a series as a draft."""
    try:
        planned = series_planning.read_series_plan(form)
    except Invalid as error:
        return _show_plan(request, NEW, form, error.messages)
    tasting_id = drafts.keep_draft(bench, leader.id, planned.plan, planned.labels)
    return go_to(request, f"/tastings/{tasting_id}")


@router.post("/plans/series")
def preview_series(request: Request, form: Form) -> Response:
    """Show what follows from the plan typed so far."""
    return show_fragment(request, "leader/series_preview", _preview(form))


@router.get("/tastings/{tasting_id}/plan/series")
def edit_series(request: Request, bench: AtBench, tasting: LedRow) -> Response:
    """Show the plan of a draft for changing; of a sealed one as the start of a next one."""
    plan = series_planning.read_plan(tasting.plan)
    form = series_planning.series_form(plan, find_labels(bench, tasting.id))
    is_draft = tasting.state == State.DRAFT
    return _show_plan(request, f"/tastings/{tasting.id}/plan/series" if is_draft else NEW, form)


@router.post("/tastings/{tasting_id}/plan/series")
def change_series(request: Request, bench: AtBench, tasting: LedRow, form: Form) -> Response:
    """Replace the plan of a draft."""
    series_planning.read_plan(tasting.plan)
    try:
        planned = series_planning.read_series_plan(form)
        drafts.replace_draft(bench, tasting.id, planned.plan, planned.labels)
    except Invalid as error:
        return _show_plan(request, f"/tastings/{tasting.id}/plan/series", form, error.messages)
    return go_to(request, f"/tastings/{tasting.id}")


def lay_out_series(tasting: Tasting, labels: Mapping[str, str]) -> SeriesDraft:
    """Return a draft with what follows from it."""
    plan = series_planning.read_plan(tasting.plan)
    return SeriesDraft(tasting, plan, labels, work_out_series(plan))


def _preview(form: Mapping[str, str]) -> SeriesPreview:
    try:
        return SeriesPreview(work_out_series(series_planning.read_series_plan(form).plan))
    except Invalid as error:
        return SeriesPreview(None, error.messages)


def _show_plan(
    request: Request,
    action: str,
    form: Mapping[str, str],
    errors: Mapping[str, str] | None = None,
) -> Response:
    title = "New threshold series" if action == NEW else "Change the plan"
    view = SeriesPlanPage(title, action, form, errors or {}, _preview(form))
    return show(request, "leader/series_plan", view, 422 if errors else 200)
