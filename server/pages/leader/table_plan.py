"""Plan a scored table: samples, sheet, cups or bowls, and what follows from it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.blinding.events import State
from server.blinding.plans import Plan
from server.methods.registry import SCORED
from server.methods.scored import ScoredMethod
from server.pages.deps import AtBench, Form, Leader, LedRow
from server.pages.rendering import go_to, show, show_fragment
from server.reports.contrast_words import IN_ORDER, NAMES
from server.sheets.sheet import Sheet
from server.storage.tables import Tasting
from server.tastings import drafts, table_plan_forms, table_planning
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid
from server.tastings.sheet_choices import SheetChoice, find_planned, list_choices
from server.tastings.table_costs import TableCosts, work_out_table
from server.tastings.table_methods import find_method
from server.tastings.tasting_list import find_labels
from server.tastings.trying_out import Gate

router = APIRouter()

NEW = "/tastings/new/table"
SHOWN_FIRST = 4


@dataclass(frozen=True)
class TablePreview:
    """What follows from the plan typed so far, or what is wrong with it."""

    costs: TableCosts | None
    errors: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class TablePlanPage:
    """The planning form of a scored table."""

    title: str
    action: str
    form: Mapping[str, str]
    errors: Mapping[str, str]
    choices: tuple[SheetChoice, ...]
    preview: TablePreview

    @property
    def contrasts(self) -> tuple[tuple[str, str], ...]:
        """What samples may differ in, each in a few words."""
        return tuple((one, NAMES[one]) for one in reversed(IN_ORDER))

    @property
    def method(self) -> ScoredMethod | None:
        """The method the plan is for; None if it is for a sheet of one's own."""
        return find_method(self.form)

    @property
    def meets_once(self) -> bool:
        """Tell whether everybody meets every sample once, as an order asks for."""
        return self.method is not None and self.method.asked == "ranking"

    @property
    def methods(self) -> tuple[ScoredMethod, ...]:
        """Methods whose plan can be filled in."""
        return tuple(SCORED.values())

    @property
    def letters(self) -> str:
        """Samples there is room for."""
        return table_planning.LETTERS

    @property
    def shown_first(self) -> int:
        """How many of them are not folded away."""
        return SHOWN_FIRST

    @property
    def is_more_open(self) -> bool:
        """Tell whether one of those folded away is filled in or wrong."""
        more = [f"sample_{one}" for one in self.letters[SHOWN_FIRST:]]
        return any(self.form.get(name) or name in self.errors for name in more)

    @property
    def levels(self) -> tuple[tuple[str, str], ...]:
        """Samples to choose one from, or none."""
        named = [(one.upper(), self.form.get(f"sample_{one}", "")) for one in self.letters]
        used = [(level, f"{level}: {label}") for level, label in named if label]
        return (("", "none"), *(used or [(one, one) for one, _ in named[:SHOWN_FIRST]]))


@dataclass(frozen=True)
class TableDraft:
    """The plan of a scored table that is not sealed yet."""

    tasting: Tasting
    plan: Plan
    labels: Mapping[str, str]
    sheet: Sheet
    costs: TableCosts
    gate: Gate | None = None
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def method(self) -> ScoredMethod | None:
        """The method it serves; None if its sheet is one's own."""
        return SCORED.get(self.plan.table.method) if self.plan.table else None


@router.get(NEW)
def new_table(request: Request, bench: AtBench, leader: Leader, preset: str = "") -> Response:
    """Show an empty plan of a scored table, or one filled in for a method."""
    choices = list_choices(bench, leader.id)
    form = table_plan_forms.empty_table_form(choices[0].value, SCORED.get(preset))
    return _show_plan(request, NEW, choices, form)


@router.post(NEW)
def create_table(request: Request, bench: AtBench, leader: Leader, form: Form) -> Response:
    """Store the plan of a scored table as a draft."""
    choices = _list_known(bench, leader.id, form)
    try:
        planned = table_planning.read_table_plan(form, _find_sheet(choices, form))
    except Invalid as error:
        return _show_plan(request, NEW, choices, form, error.messages)
    tasting_id = drafts.keep_draft(bench, leader.id, planned.plan, planned.labels)
    return go_to(request, f"/tastings/{tasting_id}")


@router.post("/plans/table")
def preview_table(request: Request, bench: AtBench, leader: Leader, form: Form) -> Response:
    """Show what follows from the plan typed so far."""
    choices = _list_known(bench, leader.id, form)
    return show_fragment(request, "leader/table_preview", _preview(choices, form))


@router.get("/tastings/{tasting_id}/plan/table")
def edit_table(request: Request, bench: AtBench, leader: Leader, tasting: LedRow) -> Response:
    """Show the plan of a draft for changing; of a sealed one as the start of a next one."""
    choices = list_choices(bench, leader.id, tasting)
    plan, labels = table_plan_forms.read_plan(tasting.plan), find_labels(bench, tasting.id)
    form = table_plan_forms.table_form(plan, labels, choices[0].value)
    is_draft = tasting.state == State.DRAFT
    action = f"/tastings/{tasting.id}/plan/table" if is_draft else NEW
    return _show_plan(request, action, choices, form)


@router.post("/tastings/{tasting_id}/plan/table")
def change_table(
    request: Request, bench: AtBench, leader: Leader, tasting: LedRow, form: Form
) -> Response:
    """Replace the plan of a draft."""
    table_plan_forms.read_plan(tasting.plan)
    choices = list_choices(bench, leader.id, tasting)
    try:
        planned = table_planning.read_table_plan(form, _find_sheet(choices, form))
        drafts.replace_draft(bench, tasting.id, planned.plan, planned.labels)
    except Invalid as error:
        action = f"/tastings/{tasting.id}/plan/table"
        return _show_plan(request, action, choices, form, error.messages)
    return go_to(request, f"/tastings/{tasting.id}")


def lay_out_draft(tasting: Tasting, labels: Mapping[str, str]) -> TableDraft:
    """Return a draft with what follows from it."""
    plan = table_plan_forms.read_plan(tasting.plan)
    sheet = table_plan_forms.get_plan_sheet(plan)
    return TableDraft(tasting, plan, labels, sheet, work_out_table(plan, tuple(labels), sheet))


def _list_known(bench: Bench, account_id: UUID, form: Mapping[str, str]) -> tuple[SheetChoice, ...]:
    """List the choices, and the sheet of an earlier tasting if the form goes on from it."""
    return list_choices(bench, account_id, find_planned(bench, account_id, form.get("sheet", "")))


def _find_sheet(choices: tuple[SheetChoice, ...], form: Mapping[str, str]) -> Sheet | None:
    return next((one.sheet for one in choices if one.value == form.get("sheet")), None)


def _preview(choices: tuple[SheetChoice, ...], form: Mapping[str, str]) -> TablePreview:
    try:
        planned = table_planning.read_table_plan(form, _find_sheet(choices, form))
    except Invalid as error:
        return TablePreview(None, error.messages)
    return TablePreview(work_out_table(planned.plan, tuple(planned.labels), planned.sheet))


def _show_plan(
    request: Request,
    action: str,
    choices: tuple[SheetChoice, ...],
    form: Mapping[str, str],
    errors: Mapping[str, str] | None = None,
) -> Response:
    method = find_method(form)
    new = f"New: {method.title.lower()}" if method else "New scored table"
    title = new if action == NEW else "Change the plan"
    view = TablePlanPage(title, action, form, errors or {}, choices, _preview(choices, form))
    return show(request, "leader/table_plan", view, 422 if errors else 200)
