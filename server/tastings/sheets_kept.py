"""Score sheets that a leader keeps: version by version, each fixed once a tasting uses it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlmodel import Session

from server.sheets.cards import BadSheet, import_sheet, read_sheet, write_sheet
from server.sheets.sheet import Sheet
from server.sheets.starters import PURPOSES, get_starter
from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid, NotFound, Refusal

IN_USE = "A tasting uses this version: it stays as it is."


@dataclass(frozen=True)
class KeptSheet:
    """A version of a sheet, and whether a tasting uses it, draft or not."""

    id: UUID
    sheet: Sheet
    day: str
    used: bool
    newest: bool


def list_sheets(bench: Bench, account_id: UUID) -> tuple[KeptSheet, ...]:
    """List all versions that an account keeps, by title, the newest of each first."""
    with bench.reading() as db:
        cards, used = queries.list_sheet_cards(db, account_id), _list_used(db, account_id)
        return tuple(_tell(card, cards, used) for card in cards)


def get_sheet(bench: Bench, account_id: UUID, sheet_id: UUID) -> KeptSheet:
    """Return one version.

    Raises
    ------
    NotFound
        This account keeps no such sheet.
    """
    with bench.reading() as db:
        card = _get_card(db, account_id, sheet_id)
        cards = queries.list_sheet_cards(db, account_id)
        return _tell(card, cards, _list_used(db, account_id))


def keep_sheet(bench: Bench, account_id: UUID, sheet: Sheet) -> UUID:
    """Keep a sheet as the first version of a line of its own; return its id."""
    with bench.writing() as db:
        card = _make_card(bench, account_id, bench.draw_uuid(), sheet)
        db.add(card)
        db.commit()
        return card.id


def copy_starter(bench: Bench, account_id: UUID, name: str) -> UUID:
    """Keep a copy of a starter; return its id."""
    if name not in PURPOSES:
        raise NotFound("There is no such starter sheet.")
    return keep_sheet(bench, account_id, get_starter(name).sheet)


def import_kept(bench: Bench, account_id: UUID, text: bytes) -> UUID:
    """Keep the sheet of a file; return its id.

    Raises
    ------
    Invalid
        The file is no sheet; field ``file`` says where.
    """
    try:
        sheet = import_sheet(text)
    except BadSheet as error:
        raise Invalid(file=str(error)) from None
    return keep_sheet(bench, account_id, sheet)


def change_sheet(bench: Bench, account_id: UUID, sheet_id: UUID, sheet: Sheet) -> UUID:
    """Replace a version no tasting uses; of one in use keep a next version. Return its id.

    Raises
    ------
    Refusal
        There is a newer version already.
    """
    with bench.writing() as db:
        card = _get_card(db, account_id, sheet_id)
        cards = queries.list_sheet_cards(db, account_id)
        if card.id != _find_newest(card, cards).id:
            raise Refusal("There is a newer version of this sheet: change that one.")
        if card.body == write_sheet(sheet.model_copy(update={"version": card.version})):
            return card.id
        if card.body in _list_used(db, account_id):
            next_one = sheet.model_copy(update={"version": card.version + 1})
            card = _make_card(bench, account_id, card.line, next_one)
        else:
            same = sheet.model_copy(update={"version": card.version})
            card.title, card.body = same.title, write_sheet(same)
        db.add(card)
        db.commit()
        return card.id


def delete_sheet(bench: Bench, account_id: UUID, sheet_id: UUID) -> None:
    """Forget a version that no tasting uses; a second time changes nothing."""
    with bench.writing() as db:
        card = queries.find_sheet_card(db, account_id, sheet_id)
        if card is None:
            return
        if card.body in _list_used(db, account_id):
            raise Refusal(IN_USE)
        db.delete(card)
        db.commit()


def _get_card(db: Session, account_id: UUID, sheet_id: UUID) -> tables.SheetCard:
    card = queries.find_sheet_card(db, account_id, sheet_id)
    if card is None:
        raise NotFound("There is no such score sheet.")
    return card


def _make_card(bench: Bench, account_id: UUID, line: UUID, sheet: Sheet) -> tables.SheetCard:
    return tables.SheetCard(
        id=bench.draw_uuid(),
        account_id=account_id,
        line=line,
        title=sheet.title,
        version=sheet.version,
        body=write_sheet(sheet),
        created_at=bench.clock(),
    )


def _find_newest(card: tables.SheetCard, cards: Sequence[tables.SheetCard]) -> tables.SheetCard:
    return max((one for one in cards if one.line == card.line), key=lambda one: one.version)


def _list_used(db: Session, account_id: UUID) -> list[dict[str, Any]]:
    plans = (one.plan for one in queries.list_led_tastings(db, account_id))
    return [plan["table"]["sheet"] for plan in plans if plan.get("table")]


def _tell(
    card: tables.SheetCard, cards: Sequence[tables.SheetCard], used: list[dict[str, Any]]
) -> KeptSheet:
    return KeptSheet(
        card.id,
        read_sheet(card.body),
        f"{card.created_at:%d %b %Y}",
        card.body in used,
        card.id == _find_newest(card, cards).id,
    )
