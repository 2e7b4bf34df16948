"""Score sheets on paper, typed in by somebody else: kept as a draft, locked once for a table."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any, Final

from server.blinding.sealed import PlannedServing
from server.blinding.table_stands import is_scored
from server.methods.base import N_
from server.sheets.places import Place
from server.sheets.scales.base import Json
from server.sheets.values import Answer, Reading, Value, list_missing, merge, read_form
from server.storage import queries, tables
from server.tastings import seating
from server.tastings.answering import (
    Incoming,
    NotYet,
    Outcome,
    SeatPlace,
    get_place,
    lock_body,
)
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.scoring import Spread, get_spread, is_table
from server.tastings.scoring_drafts import Draft, find_kept, read_draft, write_draft, write_moment
from server.tastings.scoring_passes import HELD, is_refused
from server.tastings.scoring_words import is_asked_for_words

PAPER: Final = "paper"
"""Where such an answer comes from, as its record says."""

EMPTY_TOO = "empty_too"
"""Tick that what is missing is missing on paper."""

NOTHING_TYPED = N_("Nothing of this sheet is typed in yet.")
LOOK_AGAIN = N_("Look at the paper again, then say that nothing stands there either.")


def find_sheet(place: SeatPlace, sitting: int) -> PlannedServing:
    """Return what a seat scores in a sitting: what stands in for it, if it was voided.

    Raises
    ------
    NotFound
        There is no such table to score.
    """
    found = (
        one
        for one in (place.queue if is_table(place) else ())
        if one.sitting == sitting and is_scored(place.layout, one)
    )
    serving = next(found, None)
    if serving is None:
        raise NotFound("There is no such score sheet.")
    return serving


def is_open(place: SeatPlace, serving: PlannedServing) -> bool:
    """Tell whether the sheet of a serving may still be typed in."""
    return place.tasting.state in AT_THE_TABLE and serving.id not in place.record.answers


def keep_sheet(bench: Bench, token: str, sitting: int, form: Mapping[str, str]) -> None:
    """Keep what was typed of a sheet in the seat's draft; from now on somebody sat there.

    Unlike a tap at the seat it has no minutes, for nobody knows when it was marked, and a
    typing error that is corrected leaves no trace: it is no second thought of the taster's.

    Raises
    ------
    NotFound
        No such seat or sheet.
    Invalid
        Fields that cannot be, or whose sip is held; all others are kept.
    Refusal
        The table is locked, the tasting over, or words of one's own come first.
    """
    place = get_place(bench, token)
    spread = _open_sheet(place, sitting)
    reading = read_form(spread.sheet, spread.stands, form)
    held = {one for one in reading.changes if is_refused(place, spread.serving, one.time)}
    if place.seat.taken_at is None:
        seating.read_instructions(bench, token)
    with bench.writing() as db:
        row = queries.find_draft(db, place.seat.id, spread.serving.id)
        old = read_draft(row.body) if row else Draft()
        row = row or tables.Draft(seat_id=place.seat.id, serving_id=spread.serving.id, body={})
        changes = _list_changes(old, reading)
        taken = {one: value for one, value in changes.items() if one not in held}
        row.body = write_draft(_type_in(spread, old, taken, bench.clock()))
        db.add(row)
        db.commit()
    problems = {one.field: HELD for one in changes if one in held} | reading.problems
    if problems:
        raise Invalid(**problems)


def lock_sheet(
    bench: Bench, token: str, sitting: int, form: Mapping[str, str], client_key: str
) -> Outcome:
    """Lock a seat's table as it was typed in; told twice it is locked once.

    What is required and missing stays missing if the paper has nothing there either: nobody
    can be asked any more. Warm-up cups before the table count as drunk.

    Raises
    ------
    NotFound
        No such seat or sheet.
    Invalid
        Something required is missing, and nobody says that it is missing on paper; or its
        sip is held.
    NotYet
        The sheet of an earlier sitting is not locked yet.
    Refusal
        The tasting is over, or words of one's own come first.
    """
    place = get_place(bench, token)
    serving = find_sheet(place, sitting)
    if serving.id in place.record.answers:
        return Outcome.REPEATED
    spread = _open_sheet(place, sitting)
    answer = find_kept(bench, place, serving).answer
    _refuse_gaps(place, spread, answer, form)
    for cup in _list_warm_ups(place, serving):
        _lock(bench, place, cup, Answer().model_dump(mode="json"), f"{client_key}.{cup.round}")
    return _lock(bench, place, serving, answer.model_dump(mode="json"), client_key)


def _open_sheet(place: SeatPlace, sitting: int) -> Spread:
    serving = find_sheet(place, sitting)
    if not is_open(place, serving):
        raise Refusal("This sheet is locked, or the tasting is over.")
    if is_asked_for_words(place):
        raise Refusal("The words of this seat’s own come first.")
    return get_spread(place, serving)


def _list_changes(draft: Draft, reading: Reading) -> dict[Place, Json | None]:
    known = {one.place: one.value for one in draft.answer.values}
    return {one: value for one, value in reading.changes.items() if known.get(one) != value}


def _type_in(
    spread: Spread, draft: Draft, changes: Mapping[Place, Json | None], now: datetime
) -> Draft:
    merged = merge(draft.answer, changes)
    earlier = tuple(one for one in merged.earlier if _is_tapped(one))
    answer = merged.model_copy(update={"earlier": earlier, "words": spread.words})
    said = {**draft.said, **{one.field: write_moment(now) for one in changes}}
    return Draft(answer, said, draft.begun)


def _is_tapped(value: Value) -> bool:
    """Tell whether a value was given on a device: its minutes were counted."""
    return value.minutes is not None


def _refuse_gaps(place: SeatPlace, spread: Spread, answer: Answer, form: Mapping[str, str]) -> None:
    if not answer.values:
        raise Invalid(**{EMPTY_TOO: NOTHING_TYPED})
    missing = list_missing(spread.sheet, spread.stands, answer.values)
    times = {one.place.time for one in missing if one.required}
    if any(is_refused(place, spread.serving, time) for time in times):
        raise Invalid(**{EMPTY_TOO: HELD})
    if times and not form.get(EMPTY_TOO):
        raise Invalid(**{EMPTY_TOO: LOOK_AGAIN})


def _list_warm_ups(place: SeatPlace, serving: PlannedServing) -> list[PlannedServing]:
    """List the warm-up cups that come before a table."""
    before = place.ahead[: place.ahead.index(serving)]
    if any(is_scored(place.layout, one) for one in before):
        raise NotYet("The sheet of an earlier sitting comes first.")
    return before


def _lock(
    bench: Bench, place: SeatPlace, serving: PlannedServing, body: dict[str, Any], key: str
) -> Outcome:
    return lock_body(bench, Incoming(place, serving.id, body, key, None, None, PAPER))
