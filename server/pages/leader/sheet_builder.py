"""Build a score sheet: what it asks, in which order, on which scales."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Depends, Request, Response

from server.pages.deps import AtBench, Form, Leader
from server.pages.rendering import go_to, show
from server.sheets.scales.base import Kind
from server.sheets.scales.registry import KINDS
from server.sheets.sheet import PASSES, Sheet
from server.tastings import sheet_building as building
from server.tastings import sheets_kept
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid
from server.tastings.sheet_building import ScaleField
from server.tastings.sheets_kept import KeptSheet

router = APIRouter(prefix="/sheets/{sheet_id}")


@dataclass(frozen=True)
class SheetPage:
    """A sheet to build; ``form`` and ``errors`` are those of its title and order."""

    kept: KeptSheet
    form: Mapping[str, str]
    errors: Mapping[str, str] = field(default_factory=dict)

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
