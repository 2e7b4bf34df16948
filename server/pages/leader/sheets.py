"""The leader's score sheets: kept ones and starters, brought in from a file, taken out as one."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Depends, Request, Response

from server.pages.card_files import send_card, take_file
from server.pages.deps import AtBench, Leader
from server.pages.rendering import go_to, show
from server.sheets.cards import LARGEST, export_sheet
from server.sheets.starters import Starter, list_starters
from server.tastings import sheets_kept
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid
from server.tastings.sheets_kept import KeptSheet

router = APIRouter()


@dataclass(frozen=True)
class SheetList:
    """Sheets kept, and starters to copy."""

    kept: tuple[KeptSheet, ...]
    starters: tuple[Starter, ...]
    errors: Mapping[str, str] = field(default_factory=dict)


SentFile = Annotated[bytes, Depends(take_file(LARGEST))]


@router.get("/sheets")
def sheets(request: Request, bench: AtBench, leader: Leader) -> Response:
    """Show the sheets of this account, and what to start from."""
    return show(request, "leader/sheets", _list(bench, leader.id))


@router.post("/sheets/starters/{name}")
def copy_starter(request: Request, bench: AtBench, leader: Leader, name: str) -> Response:
    """Copy a starter, to be changed."""
    return go_to(request, f"/sheets/{sheets_kept.copy_starter(bench, leader.id, name)}")


@router.post("/sheets/import")
def import_sheet(request: Request, bench: AtBench, leader: Leader, file: SentFile) -> Response:
    """Keep the sheet of a file."""
    try:
        sheet_id = sheets_kept.import_kept(bench, leader.id, file)
    except Invalid as error:
        return show(request, "leader/sheets", _list(bench, leader.id, error.messages), 422)
    return go_to(request, f"/sheets/{sheet_id}")


@router.get("/sheets/{sheet_id}/sheet.json")
def export(bench: AtBench, leader: Leader, sheet_id: UUID) -> Response:
    """Return a sheet as a file."""
    sheet = sheets_kept.get_sheet(bench, leader.id, sheet_id).sheet
    return send_card(export_sheet(sheet), sheet.title, sheet.version, "sheet")


@router.post("/sheets/{sheet_id}/delete")
def delete(request: Request, bench: AtBench, leader: Leader, sheet_id: UUID) -> Response:
    """Forget a sheet that no tasting uses."""
    sheets_kept.delete_sheet(bench, leader.id, sheet_id)
    return go_to(request, "/sheets")


def _list(bench: Bench, account_id: UUID, errors: Mapping[str, str] | None = None) -> SheetList:
    kept = sheets_kept.list_sheets(bench, account_id)
    return SheetList(kept, list_starters(), errors or {})
