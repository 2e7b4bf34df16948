"""Build a score sheet: what it asks, in which order, on which scales."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Depends, Request, Response

from server.pages.deps import AtBench, Form, Leader
from server.pages.rendering import go_to, show, show_fragment
from server.sheets.scales.base import Kind
from server.sheets.scales.registry import KINDS
from server.sheets.sheet import PASSES, Sheet
from server.tastings import sheet_building as building
from server.tastings import sheet_preview, sheets_kept
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid
from server.tastings.scoring_passes import Question
from server.tastings.sheet_building import ScaleField
from server.tastings.sheets_kept import KeptSheet

router = APIRouter(prefix="/sheets/{sheet_id}")


@dataclass(frozen=True)
class Preview:
    """A question as a seat meets it, before anything is said; nothing of it can be sent."""

    question: Question
    form: Mapping[str, str] = field(default_factory=dict)

    @staticmethod
    def find_problem(name: str) -> str:
        """Find nothing wrong with what nobody said."""
        del name
        return ""


@dataclass(frozen=True)
class AttributePreview:
    """An attribute while it is being built; without a preview ``errors`` say why."""

    kept: KeptSheet
    preview: Preview | None
    errors: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class SheetPage:
    """A sheet to build; ``form`` and ``errors`` are those of its title and order."""

    kept: KeptSheet
    form: Mapping[str, str]
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def previews(self) -> Mapping[str, Preview]:
        """How every attribute looks at a seat, by its name."""
        return {
            name: Preview(one) for name, one in sheet_preview.preview_sheet(self.kept.sheet).items()
        }

    @property
    def own_word(self) -> Preview | None:
        """How a word of an assessor's own looks, if the sheet has places for such."""
        sheet = self.kept.sheet
        return Preview(sheet_preview.preview_own_word(sheet)) if sheet.own_words else None

    @property
    def kinds(self) -> Mapping[str, type[Kind]]:
        """Every kind of scale there is."""
        return KINDS


@dataclass(frozen=True)
class AttributePage:
    """One attribute to add or change; ``name`` is empty for a new one."""

    kept: KeptSheet
    kind: type[Kind]
    name: str
    action: str
    form: Mapping[str, str]
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def looks(self) -> AttributePreview:
        """How it looks at a seat, as far as it is filled in."""
        return _look(self.kept, self.kind, self.form)

    @property
    def fields(self) -> tuple[ScaleField, ...]:
        """What its kind asks."""
        return building.list_scale_fields(self.kind)

    @property
    def passes(self) -> tuple[str, ...]:
        """Passes over a table."""
        return PASSES


def get_kept(bench: AtBench, leader: Leader, sheet_id: UUID) -> KeptSheet:
    """Return a sheet that this leader keeps."""
    return sheets_kept.get_sheet(bench, leader.id, sheet_id)


Kept = Annotated[KeptSheet, Depends(get_kept)]


@router.get("")
def sheet_page(request: Request, kept: Kept) -> Response:
    """Show a sheet with all that can be changed."""
    return _show_sheet(request, kept)


@router.post("")
def change_settings(
    request: Request, bench: AtBench, leader: Leader, kept: Kept, form: Form
) -> Response:
    """Change title, order and personal words."""
    try:
        sheet = building.change_settings(kept.sheet, form)
    except Invalid as error:
        return _show_sheet(request, kept, form, error.messages)
    return _keep(request, bench, leader.id, kept, sheet)


@router.get("/add")
def new_attribute(request: Request, kept: Kept, kind: str = "line") -> Response:
    """Show the form of a new attribute."""
    chosen = building.get_kind_named(kind)
    return _show_attribute(request, kept, chosen, "", building.empty_attribute(chosen))


@router.post("/add")
def add_attribute(
    request: Request, bench: AtBench, leader: Leader, kept: Kept, form: Form
) -> Response:
    """Add an attribute at the end."""
    kind = building.get_kind_named(form.get("kind", ""))
    try:
        sheet = building.put_attribute(kept.sheet, kind, form)
    except Invalid as error:
        return _show_attribute(request, kept, kind, "", form, error.messages)
    return _keep(request, bench, leader.id, kept, sheet)


@router.post("/preview")
def preview_attribute(request: Request, kept: Kept, form: Form) -> Response:
    """Show how an attribute would look at a seat; nothing is kept."""
    kind = building.get_kind_named(form.get("kind", ""))
    return show_fragment(request, "leader/sheet_preview", _look(kept, kind, form))


@router.get("/attributes/{name}")
def attribute_page(request: Request, kept: Kept, name: str) -> Response:
    """Show an attribute for changing."""
    attribute = building.get_attribute(kept.sheet, name)
    form = building.attribute_form(attribute)
    return _show_attribute(request, kept, type(attribute.scale), name, form)


@router.post("/attributes/{name}")
def change_attribute(
    request: Request, bench: AtBench, leader: Leader, kept: Kept, name: str, form: Form
) -> Response:
    """Change an attribute; its name and its kind stay."""
    kind = type(building.get_attribute(kept.sheet, name).scale)
    try:
        sheet = building.put_attribute(kept.sheet, kind, form, name)
    except Invalid as error:
        return _show_attribute(request, kept, kind, name, form, error.messages)
    return _keep(request, bench, leader.id, kept, sheet)


@router.post("/attributes/{name}/move")
def move_attribute(
    request: Request, bench: AtBench, leader: Leader, kept: Kept, name: str, form: Form
) -> Response:
    """Move an attribute to another place."""
    sheet = building.move_attribute(kept.sheet, name, form.get("to", ""))
    return _keep(request, bench, leader.id, kept, sheet)


@router.post("/attributes/{name}/remove")
def remove_attribute(
    request: Request, bench: AtBench, leader: Leader, kept: Kept, name: str
) -> Response:
    """Take an attribute off the sheet."""
    try:
        sheet = building.remove_attribute(kept.sheet, name)
    except Invalid as error:
        return _show_sheet(request, kept, None, error.messages)
    return _keep(request, bench, leader.id, kept, sheet)


def _look(kept: KeptSheet, kind: type[Kind], form: Mapping[str, str]) -> AttributePreview:
    """Look at a form; a name that is still to be found is no reason to wait."""
    label = form.get("label", "").strip() or kind.TITLE
    try:
        attribute = building.read_attribute(kind, {**form, "label": label})
    except Invalid as error:
        return AttributePreview(kept, None, error.messages)
    return AttributePreview(kept, Preview(sheet_preview.preview_attribute(attribute)))


def _keep(
    request: Request, bench: Bench, account_id: UUID, kept: KeptSheet, sheet: Sheet
) -> Response:
    return go_to(request, f"/sheets/{sheets_kept.change_sheet(bench, account_id, kept.id, sheet)}")


def _show_sheet(
    request: Request,
    kept: KeptSheet,
    form: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
) -> Response:
    view = SheetPage(kept, form or building.settings_form(kept.sheet), errors or {})
    return show(request, "leader/sheet", view, 422 if errors else 200)


def _show_attribute(
    request: Request,
    kept: KeptSheet,
    kind: type[Kind],
    name: str,
    form: Mapping[str, str],
    errors: Mapping[str, str] | None = None,
) -> Response:
    action = f"/sheets/{kept.id}/" + (f"attributes/{name}" if name else "add")
    view = AttributePage(kept, kind, name, action, form, errors or {})
    return show(request, "leader/sheet_attribute", view, 422 if errors else 200)
