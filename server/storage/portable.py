"""A sealed tasting to and from its portable document; the rows follow from the events."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from sqlmodel import Session

from server.blinding import events as chain
from server.blinding.events import Kind
from server.blinding.portable import build_document
from server.blinding.record import fold
from server.blinding.sealed import SealedTasting
from server.storage import queries
from server.storage.tables import Accepted, Answer, Event, Tasting

ANSWERS = (Kind.ANSWERED, Kind.CONTESTED, Kind.LATE)


def write_document(db: Session, tasting: Tasting, sealed_text: bytes | None) -> bytes:
    """Write a sealed tasting as its document; without the sealed text also without the key."""
    return build_document(
        tasting.name,
        queries.find_seal_hash(db, tasting.id) or "",
        sealed_text,
        queries.load_layout(db, tasting) if sealed_text is None else None,
        queries.load_events(db, tasting.id),
    )


def add_event_rows(
    db: Session,
    sealed: SealedTasting,
    events: Sequence[chain.Event],
    draw_uuid: Callable[[], UUID],
) -> None:
    """Add the events of a tasting whose sealed rows exist, and every row that follows from them.

    Raises
    ------
    ValueError
        If the time of an event is none.
    """
    db.add_all(Event(tasting_id=sealed.tasting, **event.model_dump()) for event in events)
    told = [(event.kind, event.body) for event in events if event.body is not None]
    seats = {seat.number: seat for seat in queries.list_seats(db, sealed.tasting)}
    for kind, body in told:
        if kind == Kind.SEAT_TAKEN:
            seats[body["seat"]].taken_at = datetime.fromisoformat(body["at"])
    answering = find_answering_seats(sealed, events)
    given = [body | {"kind": kind} for kind, body in _only(told, ANSWERS)]
    answers = [
        _build_answer(body, sealed.tasting, seats[answering[body["serving"]]].id, draw_uuid())
        for body in given
    ]
    db.add_all(answers)
    db.flush()
    db.add_all(
        Accepted(serving_id=answer.serving_id, answer_id=answer.id, tasting_id=sealed.tasting)
        for answer, body in zip(answers, given, strict=True)
        if body["kind"] == Kind.ANSWERED
    )
    db.flush()


def find_answering_seats(sealed: SealedTasting, events: Sequence[chain.Event]) -> dict[str, int]:
    """Return the seat that answers each serving: a spare one stands before the voided one's."""
    seats = {serving.id: serving.seat for serving in sealed.servings}
    for voided, spare in fold(events).replacements.items():
        seats[spare] = seats[voided]  # in order of the events: a stand-in's stand-in follows it
    return {str(serving): seat for serving, seat in seats.items()}


def _only(
    told: Iterable[tuple[Kind, Mapping[str, Any]]], kinds: Sequence[Kind]
) -> Iterable[tuple[Kind, dict[str, Any]]]:
    return ((kind, dict(body)) for kind, body in told if kind in kinds)


def _build_answer(body: Mapping[str, Any], tasting_id: UUID, seat_id: UUID, new_id: UUID) -> Answer:
    return Answer(
        id=new_id,
        tasting_id=tasting_id,
        seat_id=seat_id,
        serving_id=UUID(body["serving"]),
        pass_name=body.get("pass", ""),
        revision=body["revision"],
        body=body["answer"],
        client_key=body.get("client_key") or new_id.hex,
        device_at=body.get("device_at"),
        received_at=datetime.fromisoformat(body["at"]),
        source=body["source"],
    )
