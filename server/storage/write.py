"""Rows for a sealed tasting, in the order the triggers ask for: the seal last."""

from collections.abc import Callable
from uuid import uuid4

from sqlmodel import Session, col, delete

from server.blinding.sealed import SealedTasting
from server.storage.tables import (
    BrewSlot,
    Comparison,
    Cup,
    CupTruth,
    Placement,
    Sample,
    Seal,
    Seat,
    Serving,
)


def add_sealed_rows(
    db: Session,
    sealed: SealedTasting,
    text: bytes,
    seal_hash: str,
    draw_token: Callable[[], str],
) -> None:
    """Add every row of a sealed tasting whose `Tasting` row exists; the caller commits.

    A draft's own samples make way: the sealed ones take their place.
    """
    db.exec(delete(Sample).where(col(Sample.tasting_id) == sealed.tasting))
    samples = {one.level: uuid4() for one in sealed.samples}
    slots = {one.name: uuid4() for one in sealed.slots}
    db.add_all(
        Sample(id=samples[one.level], tasting_id=sealed.tasting, level=one.level, label=one.label)
        for one in sealed.samples
    )
    db.flush()
    db.add_all(
        BrewSlot(
            id=slots[one.name],
            tasting_id=sealed.tasting,
            sample_id=samples[one.sample],
            name=one.name,
            n=one.n,
            round=one.round,
            brews=one.brews,
        )
        for one in sealed.slots
    )
    _add_servings(db, sealed, draw_token)
    db.flush()
    db.add_all(
        CupTruth(cup_id=cup, slot_id=slots[slot], tasting_id=sealed.tasting)
        for cup, slot in sealed.key.items()
    )
    db.flush()
    db.add(Seal(tasting_id=sealed.tasting, text=text, hash=seal_hash))
    db.flush()


def _add_servings(db: Session, sealed: SealedTasting, draw_token: Callable[[], str]) -> None:
    seats = {one.number: uuid4() for one in sealed.seats}
    comparisons = {one.name: uuid4() for one in sealed.comparisons}
    db.add_all(
        Comparison(
            id=comparisons[one.name],
            tasting_id=sealed.tasting,
            name=one.name,
            samples=list(one.samples),
            purpose=one.purpose,
        )
        for one in sealed.comparisons
    )
    db.add_all(
        Seat(
            id=seats[one.number],
            tasting_id=sealed.tasting,
            number=one.number,
            spare=one.spare,
            token=draw_token(),
        )
        for one in sealed.seats
    )
    db.flush()
    db.add_all(
        Serving(
            id=serving.id,
            tasting_id=sealed.tasting,
            seat_id=seats[serving.seat],
            comparison_id=comparisons[serving.comparison],
            sitting=serving.sitting,
            round=serving.round,
            pours=list(serving.pours) or None,
        )
        for serving in sealed.servings
    )
    _add_cups(db, sealed)


def _add_cups(db: Session, sealed: SealedTasting) -> None:
    cups = [(serving.id, cup) for serving in sealed.servings for cup in serving.cups]
    db.add_all(
        Cup(id=cup.id, tasting_id=sealed.tasting, code=cup.code, bowl=cup.bowl) for _, cup in cups
    )
    db.flush()
    db.add_all(
        Placement(
            serving_id=serving, position=cup.position, cup_id=cup.id, tasting_id=sealed.tasting
        )
        for serving, cup in cups
    )
