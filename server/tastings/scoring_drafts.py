"""Values of a seat before they are locked: merged field by field, the latest tap wins."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

from server.blinding.sealed import PlannedServing
from server.sheets.places import Place
from server.sheets.scales.base import Json
from server.sheets.values import Answer, merge, read_form
from server.storage import queries, tables
from server.tastings.answering import SeatPlace, get_place, get_serving
from server.tastings.bench import Bench
from server.tastings.journal import OVER
from server.tastings.refusals import Invalid
from server.tastings.scoring import Spread, find_first_pour, get_spread
from server.tastings.scoring_passes import HELD, is_refused
from server.tastings.steps import REOPENED

SAID = "t."  # before a field's name: when it was tapped, in ms by the device's clock
SENT = "sent_at"  # when the form left, by the same clock, as ISO 8601
OLDEST = timedelta(days=7)  # a tap cannot be older, nor later than now


@dataclass(frozen=True)
class Draft:
    """What a seat has said; ``said`` is when, by field, ``begun`` the first tap of all."""

    answer: Answer = field(default_factory=Answer)
    said: Mapping[str, str] = field(default_factory=dict)
    begun: str = ""


def read_draft(body: Mapping[str, Any]) -> Draft:
    """Read a draft as it is stored; an empty one is new."""
    told = {name: body.get(name, ()) for name in Answer.model_fields}
    return Draft(Answer.model_validate(told), body.get("said", {}), body.get("begun", ""))


def find_kept(bench: Bench, place: SeatPlace, serving: PlannedServing) -> Draft:
    """Return what is kept of a seat's sheet; an empty draft if that is nothing."""
    with bench.reading() as db:
        row = queries.find_draft(db, place.seat.id, serving.id)
    return read_draft(row.body) if row else Draft()


def write_draft(draft: Draft) -> dict[str, Any]:
    """Write a draft as it is stored; it stays open until its seat asks to finish."""
    body = draft.answer.model_dump(mode="json")
    return body | {"said": dict(draft.said), "begun": draft.begun, REOPENED: True}


def save_values(
    bench: Bench, token: str, serving_id: UUID, form: Mapping[str, str], *, finish: bool = False
) -> None:
    """Merge the fields of a form, all or a few, into a seat's draft.

    Of two devices the later tap wins, by their own clocks as far as these can be set right.
    Once the table is locked, or the tasting over, nothing changes.

    Raises
    ------
    NotFound
        No such seat, or the serving is not a table that stands before it.
    Invalid
        Fields that cannot be, or not yet because their sip is held; all others are kept.
    """
    place = get_place(bench, token)
    spread = get_spread(place, get_serving(place, serving_id))
    if serving_id in place.record.answers or place.tasting.state in OVER:
        return
    with bench.writing() as db:
        row = queries.find_draft(db, place.seat.id, serving_id)
        old = read_draft(row.body) if row else Draft()
        draft, problems = merge_form(bench, place, spread, old, form)
        row = row or tables.Draft(seat_id=place.seat.id, serving_id=serving_id, body={})
        row.body = write_draft(draft) | {REOPENED: bool(problems) or not finish}
        db.add(row)
        db.commit()
    if problems:
        raise Invalid(**problems)


def merge_form(
    bench: Bench,
    place: SeatPlace,
    spread: Spread,
    draft: Draft,
    form: Mapping[str, str],
    *,
    last: bool = False,
) -> tuple[Draft, dict[str, str]]:
    """Return a draft with the fields of a form, and what is wrong with those left out.

    Values whose sip is held are left out too. Where a script tells what was tapped on its
    device, all else is as the draft has it. A seat's ``last`` word counts even where another
    device was later.
    """
    reading = read_form(spread.sheet, spread.stands, form)
    now, told = bench.clock(), SENT in form and bool(draft.said)
    touched = [one for one in reading.changes if not told or SAID + one.field in form]
    held = _list_held(place, spread, draft, {one: reading.changes[one] for one in touched})
    moments = {one: _read_moment(form, one.field, now) for one in touched if one not in held}
    start = find_first_pour(place.record, spread.serving.sitting)
    for at, places in _group(moments).items():
        text = write_moment(at)
        fresh = [one for one in places if last or draft.said.get(one.field, "") <= text]
        draft = _merge(draft, {one: reading.changes[one] for one in fresh}, at, start)
    answer = draft.answer.model_copy(update={"words": spread.words})
    waiting = {one.field: HELD for one in held}
    return Draft(answer, draft.said, draft.begun), waiting | reading.problems


def _list_held(
    place: SeatPlace, spread: Spread, draft: Draft, changes: Mapping[Place, Json | None]
) -> list[Place]:
    """List the places that would change although nobody sips yet."""
    known = {one.place: one.value for one in draft.answer.values}
    return [
        one
        for one, new in changes.items()
        if known.get(one) != new and is_refused(place, spread.serving, one.time)
    ]


def _merge(
    draft: Draft, changes: Mapping[Place, Json | None], at: datetime, start: datetime | None
) -> Draft:
    text = write_moment(at)
    known = {one.place: one.value for one in draft.answer.values}
    changed = {one.field: text for one, new in changes.items() if known.get(one) != new}
    begun = draft.begun or (text if changed else "")
    first = start or (datetime.fromisoformat(begun) if begun else at)
    minutes = (at - first).total_seconds() / 60
    return Draft(merge(draft.answer, changes, minutes), {**draft.said, **changed}, begun)


def _group(moments: Mapping[Place, datetime]) -> dict[datetime, list[Place]]:
    """Return the places by when they were tapped, earliest first."""
    groups: dict[datetime, list[Place]] = {}
    for one in sorted(moments, key=lambda place: moments[place]):
        groups.setdefault(moments[one], []).append(one)
    return groups


def _read_moment(form: Mapping[str, str], name: str, now: datetime) -> datetime:
    """Return when a field was tapped, by our clock; without a script that is now."""
    tapped, sent = form.get(SAID + name, ""), form.get(SENT, "")
    try:
        ago = datetime.fromisoformat(sent) - datetime.fromtimestamp(int(tapped) / 1000, UTC)
    except (ValueError, TypeError, OverflowError, OSError):
        return now
    return now - min(max(ago, timedelta()), OLDEST)


def write_moment(at: datetime) -> str:
    """Write a moment so that texts sort as moments do."""
    return at.isoformat(timespec="milliseconds")
