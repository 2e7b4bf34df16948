"""Changing and keeping a brew; one for a sealed slot is noted in the record as it is kept."""

from collections.abc import Callable, Sequence
from typing import Any
from uuid import UUID

from sqlmodel import Session

from server.blinding.events import Kind, State
from server.brewing.brewed import Brewed, read_brewed, write_brewed, write_for_event
from server.brewing.recipe import Recipe, read_recipe
from server.reports.brewed_notes import read_note
from server.storage import brews, queries, tables
from server.tastings.bench import Bench
from server.tastings.brew_sheets import changing, finish, get_brew, lock_row
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.pieces_used import PartChoice
from server.tastings.refusals import Refusal

EARLIER = "Another brew for this slot was kept after this one, and counts: open that one."
Change = Callable[[Recipe, Brewed], Brewed]


def keep_brew(bench: Bench, account_id: UUID, brew_id: UUID) -> None:
    """Finish a brew: it counts from now on; a second time changes nothing."""
    change_brew(bench, account_id, brew_id, lambda _, brewed: brewed, keep=True)


def change_brew(
    bench: Bench,
    account_id: UUID,
    brew_id: UUID,
    change: Change,
    *,
    keep: bool = False,
    pieces: Sequence[PartChoice] | None = None,
) -> None:
    """Change what is noted of a brew, kept or not, and keep it if that is asked for.

    Where ``pieces`` are given, the brew counts for the one of them that it names then.

    What is kept for a sealed slot goes into the record; the same again notes nothing. A
    sample for the refractometer takes its time to cool, so readings may come after closing;
    after unsealing they may not.

    Raises
    ------
    NotFound
        This account has no such brew.
    Refusal
        Another brew for the same slot was kept after it.
    WrongState
        It is kept for a slot of a tasting whose record takes no readings now.
    """
    brew = get_brew(bench, account_id, brew_id)
    if brew.slot is None or brew.tasting_id is None or not (keep or brew.kept):
        with changing(bench, account_id, brew_id, even_kept=True) as (db, row):
            _change(row, read_brewed(row.body), change, pieces)
            if keep and row.kept_at is None:
                finish(bench, db, row)
        return
    with open_journal(bench, brew.tasting_id, (*AT_THE_TABLE, State.CLOSED)) as journal:
        row = lock_row(journal.db, account_id, brew_id)
        _refuse_earlier(journal.db, brew.tasting_id, brew.slot, row)
        noted = queries.load_record(journal.db, brew.tasting_id).brews.get(brew.slot)
        before = read_brewed(row.body) if row.kept_at is None else read_note(noted)
        _change(row, before, change, pieces)
        if row.kept_at is None:
            finish(bench, journal.db, row)
        kept = read_brewed(row.body)
        if noted is None or read_note(noted) != kept:
            journal.append(Kind.BREWED, slot=brew.slot, **write_event(kept))
        journal.db.add(row)


def _refuse_earlier(db: Session, tasting_id: UUID, slot: str, row: tables.Brew) -> None:
    """Refuse to note anything of a kept brew that no longer counts for its slot."""
    counted = brews.find_counted_brew(db, tasting_id, slot)
    if row.kept_at is not None and counted is not None and counted.id != row.id:
        raise Refusal(EARLIER)


def _change(
    row: tables.Brew, before: Brewed, change: Change, pieces: Sequence[PartChoice] | None
) -> None:
    """Change the working copy, and the piece it counts for."""
    after = change(read_recipe(row.recipe), before)
    row.body = write_brewed(after)
    if pieces is not None and (after.part is None or after.part != before.part):
        label = after.part.specimen if after.part else None
        row.specimen_id = next((one.specimen_id for one in pieces if one.label == label), None)


def write_event(brewed: Brewed) -> dict[str, Any]:
    """Return the members of a `brewed` event but its slot; its moment stands in ``brew``."""
    brew = write_for_event(brewed)
    return {
        "tds": [str(one) for one in brewed.tds],
        "temperature_c": None if brewed.temperature_c is None else str(brewed.temperature_c),
        "fill_g": None if brewed.fill_g is None else str(brewed.fill_g),
        "time": None,
        "note": brewed.note,
    } | ({"brew": brew} if brew else {})
