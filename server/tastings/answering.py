"""What a seat sees and says: codes, one serving at a time, a draft, one locked answer."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from typing import Any, Literal
from uuid import UUID

from sqlmodel import Session, col, select

from server.blinding.events import Event, Kind
from server.blinding.record import Record, fold
from server.blinding.sealed import Layout, PlannedServing
from server.methods.asked import find_method
from server.methods.base import InvalidAnswer
from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.clocks import find_lock
from server.tastings.journal import AT_THE_TABLE, OVER, Journal, open_journal
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.standing_in import find_planned, find_present

# An answer that differs only in these is the same answer, and so is one whose values differ
# only in their minutes.
NOTES = ("guess", "cue", "comment", "earlier")


class Outcome(StrEnum):
    """What became of an answer."""

    ACCEPTED = "accepted"
    REPEATED = "repeated"
    CONTESTED = "contested"
    LATE = "late"


OUTCOMES = {
    Kind.ANSWERED: Outcome.ACCEPTED,
    Kind.CONTESTED: Outcome.CONTESTED,
    Kind.LATE: Outcome.LATE,
}


class NotYet(Refusal):
    """An answer to a serving whose turn has not come."""


@dataclass(frozen=True)
class SeatPlace:
    """A seat with all that is known of its tasting, as the use cases need it."""

    seat: tables.Seat
    tasting: tables.Tasting
    layout: Layout
    events: list[Event]
    record: Record
    seal: str

    @property
    def queue(self) -> list[PlannedServing]:
        """Servings of the seat in order; a spare one stands in for a voided one."""
        by_id = {serving.id: serving for serving in self.layout.servings}
        lent = set(self.record.replacements.values())
        own = [
            serving
            for serving in self.layout.servings
            if serving.seat == self.seat.number and serving.id not in lent
        ]
        own.sort(key=lambda one: (one.sitting, one.round))
        present = (find_present(self.record, serving.id) for serving in own)
        return [by_id[serving] for serving in present if serving is not None]

    @property
    def ahead(self) -> list[PlannedServing]:
        """Servings this seat has still to answer, in order."""
        return [one for one in self.queue if one.id not in self.record.answers]

    @property
    def current(self) -> PlannedServing | None:
        """The serving this seat answers next."""
        return next(iter(self.ahead), None)

    @property
    def locked_at(self) -> datetime | None:
        """When the seat last locked an answer."""
        return find_lock(self.events, {one.id for one in self.queue})


@dataclass(frozen=True)
class Incoming:
    """An answer on its way in; ``source`` says whether it was typed in from paper."""

    place: SeatPlace
    serving_id: UUID
    body: dict[str, Any]
    client_key: str
    device_at: str | None
    sent_at: str | None
    source: Literal["device", "paper"] = "device"


def find_place(bench: Bench, token: str) -> SeatPlace | None:
    """Return the seat behind a link."""
    with bench.reading() as db:
        return _find_place(db, token)


def _find_place(db: Session, token: str) -> SeatPlace | None:
    found = queries.find_seat(db, token)
    if found is None:
        return None
    seat, tasting = found
    layout = queries.load_layout(db, tasting)
    seal = queries.find_seal_hash(db, tasting.id) or ""
    events = queries.load_events(db, tasting.id)
    return SeatPlace(seat, tasting, layout, events, fold(events, seal), seal)


def confirm_codes(
    bench: Bench, token: str, serving_id: UUID, *, differ: bool, client_key: str = ""
) -> None:
    """Record that the codes at a seat are, or are not, those on its screen.

    A form with a key says it once, however often it is sent: a call that was settled
    meanwhile does not come back. Of an answered or void serving there is nothing to say.

    Raises
    ------
    NotYet
        Alone, codes that differ: nobody else placed the cups.
    """
    place = get_place(bench, token)
    get_serving(place, serving_id)
    if differ and place.layout.plan.alone:
        raise NotYet("Nobody can be called: give the serving up instead.")
    with open_journal(bench, place.tasting.id, AT_THE_TABLE) as journal:
        events = queries.load_events(journal.db, place.tasting.id)
        record = fold(events, place.seal)
        calling = serving_id in record.calls
        known = calling if differ else serving_id in record.confirmed and not calling
        past = serving_id in record.answers or serving_id in record.voids
        if known or past or _is_said(events, client_key):
            return
        journal.begin_serving()
        kind = Kind.CODES_DIFFER if differ else Kind.CODES_CONFIRMED
        key = {"client_key": client_key} if client_key else {}
        journal.append(kind, serving=str(serving_id), **key)


def _is_said(events: list[Event], client_key: str) -> bool:
    """Tell whether a form about codes was taken before."""
    about_codes = (Kind.CODES_DIFFER, Kind.CODES_CONFIRMED)
    said = (one.body.get("client_key") for one in events if one.kind in about_codes and one.body)
    return bool(client_key) and client_key in said


def save_draft(bench: Bench, token: str, serving_id: UUID, form: Mapping[str, str]) -> None:
    """Keep an answer that is not locked yet."""
    place = get_place(bench, token)
    body = parse_ballot(place, get_serving(place, serving_id), form)
    with bench.writing() as db:
        draft = queries.find_draft(db, place.seat.id, serving_id)
        if draft is None:
            draft = tables.Draft(seat_id=place.seat.id, serving_id=serving_id, body=body)
        draft.body = body
        db.add(draft)
        db.commit()


def find_draft(bench: Bench, place: SeatPlace) -> Mapping[str, Any] | None:
    """Return the unlocked answer to the current serving."""
    if place.current is None:
        return None
    with bench.reading() as db:
        draft = queries.find_draft(db, place.seat.id, place.current.id)
    return draft.body if draft else None


def record_answer(
    bench: Bench,
    token: str,
    serving_id: UUID,
    form: Mapping[str, str],
    client_key: str,
    device_at: str | None = None,
    sent_at: str | None = None,
) -> Outcome:
    """Lock a seat's answer to a serving; committed before this returns.

    The first answer counts. The same again changes nothing, a different one is
    kept as contested, one after closing as late. ``device_at`` and ``sent_at`` are what
    the device's clock said when it was tapped and sent; they decide nothing.

    Raises
    ------
    NotFound
        No such seat, or the serving stands before another seat.
    Invalid
        The answer is not one of the serving's.
    NotYet
        An earlier serving of this seat is still open.
    Refusal
        Alone: the marks under these cups are on record.
    """
    place = get_place(bench, token)
    body = parse_ballot(place, get_serving(place, serving_id), form)
    return lock_body(bench, Incoming(place, serving_id, body, client_key, device_at, sent_at))


def lock_body(bench: Bench, incoming: Incoming) -> Outcome:
    """Lock an answer that was read already; as `record_answer`."""
    tasting_id, serving_id = incoming.place.tasting.id, incoming.serving_id
    with open_journal(bench, tasting_id, (*AT_THE_TABLE, *OVER)) as journal:
        given = _list_answers(journal.db, serving_id)
        if any(_same(one.body, incoming.body) for one in given):
            return Outcome.REPEATED
        _refuse_afterthought(journal, incoming)
        kind = _judge(journal, incoming, given)
        if kind == Kind.ANSWERED:
            journal.begin_serving()
        _write_answer(bench, journal, incoming, kind, revision=len(given) + 1)
        return OUTCOMES[kind]


def _judge(journal: Journal, incoming: Incoming, given: list[tables.Answer]) -> Kind:
    if journal.state in OVER:
        return Kind.LATE
    if given:
        return Kind.CONTESTED
    now = look_again(incoming.place, journal)
    if now.current is None or now.current.id != incoming.serving_id:
        raise NotYet("This serving is not the one to answer now.")
    return Kind.ANSWERED


def look_again(place: SeatPlace, journal: Journal) -> SeatPlace:
    """Return a seat as it stands while nobody else can write."""
    return replace(place, record=queries.load_record(journal.db, place.tasting.id))


def _refuse_afterthought(journal: Journal, incoming: Incoming) -> None:
    """Refuse another answer to cups whose marks are known: whoever tastes alone knows them."""
    serving = get_serving(incoming.place, incoming.serving_id)
    if serving.sitting in look_again(incoming.place, journal).record.reveals:
        raise Refusal("The marks of these cups are known: no other answer counts any more.")


def _write_answer(
    bench: Bench, journal: Journal, incoming: Incoming, kind: Kind, revision: int
) -> None:
    db, seat, tasting_id = journal.db, incoming.place.seat, incoming.place.tasting.id
    answer = tables.Answer(
        id=bench.draw_uuid(),
        tasting_id=tasting_id,
        seat_id=seat.id,
        serving_id=incoming.serving_id,
        revision=revision,
        body=incoming.body,
        client_key=_free_key(db, incoming, revision),
        device_at=incoming.device_at,
        received_at=bench.clock(),
        source=incoming.source,
    )
    db.add(answer)
    db.flush()
    if kind == Kind.ANSWERED:
        lock = tables.Accepted(
            serving_id=incoming.serving_id, answer_id=answer.id, tasting_id=tasting_id
        )
        db.add(lock)
    draft = queries.find_draft(db, seat.id, incoming.serving_id)
    if draft is not None:
        db.delete(draft)
    journal.append(
        kind,
        **{"serving": str(incoming.serving_id), "pass": "", "revision": revision},
        answer=incoming.body,
        client_key=answer.client_key,
        device_at=incoming.device_at,
        source=answer.source,
        **({"sent_at": incoming.sent_at} if incoming.sent_at else {}),
    )


def _free_key(db: Session, incoming: Incoming, revision: int) -> str:
    """Return the client key, or one made from it when the same form spoke twice."""
    statement = select(tables.Answer.id).where(
        tables.Answer.seat_id == incoming.place.seat.id,
        tables.Answer.client_key == incoming.client_key,
    )
    if db.exec(statement).first() is None:
        return incoming.client_key
    return f"{incoming.client_key}.{incoming.serving_id.hex}.{revision}"


def _list_answers(db: Session, serving_id: UUID) -> list[tables.Answer]:
    statement = select(tables.Answer).where(tables.Answer.serving_id == serving_id)
    return list(db.exec(statement.order_by(col(tables.Answer.revision))).all())


def _same(one: Mapping[str, Any] | None, other: Mapping[str, Any]) -> bool:
    return one is not None and _bare(one) == _bare(other)


def _bare(body: Mapping[str, Any]) -> dict[str, Any]:
    said = {name: value for name, value in body.items() if name not in NOTES}
    if "values" in said:
        said["values"] = [{**one, "minutes": None} for one in said["values"]]
    return said


def parse_ballot(
    place: SeatPlace, serving: PlannedServing, form: Mapping[str, str]
) -> dict[str, Any]:
    """Return what a ballot says.

    Raises
    ------
    Invalid
        It cannot be.
    Refusal
        The tasting is a scored table: there is a sheet, and no ballot.
    """
    if place.layout.plan.table is not None:
        raise Refusal("A table is scored on its sheet.")
    try:
        return find_method(place.layout.plan).parse_answer(form, serving.codes)
    except InvalidAnswer as error:
        raise Invalid(**{error.field: error.message}) from None


def get_place(bench: Bench, token: str) -> SeatPlace:
    """Return the seat behind a link, or raise `NotFound`."""
    place = find_place(bench, token)
    if place is None:
        raise NotFound("There is no such seat.")
    return place


def get_serving(place: SeatPlace, serving_id: UUID) -> PlannedServing:
    """Return a serving of this seat, voided or not; an answer in flight may be to a voided one."""
    by_id = {one.id: one for one in place.layout.servings}
    planned = by_id.get(find_planned(place.record, serving_id))
    if planned is None or planned.seat != place.seat.number:
        raise NotFound("There is no such serving at this seat.")
    return by_id[serving_id]
