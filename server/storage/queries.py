"""Reading a tasting: its layout, its events, its seats. Nothing here knows the key."""

from collections.abc import Collection, Sequence
from itertools import groupby
from threading import Lock
from uuid import UUID

from sqlmodel import Session, col, select

from server.blinding import events as chain
from server.blinding.plans import Plan
from server.blinding.record import Record, fold
from server.blinding.sealed import (
    Layout,
    PlannedComparison,
    PlannedCup,
    PlannedSample,
    PlannedSeat,
    PlannedServing,
    PlannedSlot,
)
from server.storage.tables import (
    BrewSlot,
    Comparison,
    Cup,
    Draft,
    Event,
    Membership,
    Person,
    Placement,
    PourerLink,
    Sample,
    Seal,
    Seat,
    Serving,
    SheetCard,
    Tasting,
)

MOST_KEPT = 64  # layouts; one of a large tasting takes about a megabyte
_LAYOUTS: dict[str, Layout] = {}
_KEEPING = Lock()


def find_tasting(db: Session, tasting_id: UUID) -> Tasting | None:
    return db.get(Tasting, tasting_id)


def lock_tasting(db: Session, tasting_id: UUID) -> Tasting | None:
    """Load a tasting and keep every other writer of it out until the commit."""
    statement = select(Tasting).where(Tasting.id == tasting_id).with_for_update()
    return db.exec(statement.execution_options(populate_existing=True)).first()


def find_by_join_code(db: Session, code: str) -> Tasting | None:
    return db.exec(select(Tasting).where(Tasting.join_code == code)).first()


def find_led_tasting(db: Session, account_id: UUID, tasting_id: UUID) -> Tasting | None:
    """Return a tasting if this account leads it."""
    statement = (
        select(Tasting)
        .join(Membership, col(Membership.tasting_id) == Tasting.id)
        .where(Tasting.id == tasting_id, Membership.account_id == account_id)
    )
    return db.exec(statement).first()


def list_led_tastings(db: Session, account_id: UUID) -> Sequence[Tasting]:
    statement = (
        select(Tasting)
        .join(Membership, col(Membership.tasting_id) == Tasting.id)
        .where(Membership.account_id == account_id)
        .order_by(col(Tasting.created_at).desc())
    )
    return db.exec(statement).all()


def find_seat(db: Session, token: str) -> tuple[Seat, Tasting] | None:
    statement = (
        select(Seat, Tasting)
        .join(Tasting, col(Seat.tasting_id) == Tasting.id)
        .where(Seat.token == token)
    )
    return db.exec(statement).first()


def find_pourer_link(db: Session, token: str) -> tuple[PourerLink, Tasting] | None:
    statement = (
        select(PourerLink, Tasting)
        .join(Tasting, col(PourerLink.tasting_id) == Tasting.id)
        .where(PourerLink.token == token)
    )
    return db.exec(statement).first()


def list_pourer_links(db: Session, tasting_id: UUID) -> Sequence[PourerLink]:
    statement = select(PourerLink).where(PourerLink.tasting_id == tasting_id)
    return db.exec(statement.order_by(col(PourerLink.created_at))).all()


def list_seats(db: Session, tasting_id: UUID) -> Sequence[Seat]:
    statement = select(Seat).where(Seat.tasting_id == tasting_id)
    return db.exec(statement.order_by(col(Seat.number))).all()


def list_labels(db: Session, tasting_id: UUID) -> dict[int, str]:
    """Return what the people called themselves, by seat number."""
    statement = (
        select(Seat.number, Person.label)
        .join(Person, col(Seat.person_id) == Person.id)
        .where(Seat.tasting_id == tasting_id)
    )
    return dict(db.exec(statement).all())


def list_samples(db: Session, tasting_id: UUID) -> tuple[PlannedSample, ...]:
    statement = select(Sample).where(Sample.tasting_id == tasting_id).order_by(col(Sample.level))
    return tuple(PlannedSample(level=one.level, label=one.label) for one in db.exec(statement))


def find_draft(db: Session, seat_id: UUID, serving_id: UUID) -> Draft | None:
    return db.get(Draft, (seat_id, serving_id, ""))


def list_drafts(db: Session, tasting_id: UUID) -> Sequence[Draft]:
    """Return what the seats of a tasting have not locked yet."""
    statement = select(Draft).join(Seat, col(Draft.seat_id) == Seat.id)
    return db.exec(statement.where(Seat.tasting_id == tasting_id)).all()


def list_sheet_cards(db: Session, account_id: UUID) -> Sequence[SheetCard]:
    """Return all versions of all sheets of an account, by title, the newest version first."""
    statement = select(SheetCard).where(SheetCard.account_id == account_id)
    order = (col(SheetCard.title), col(SheetCard.line), col(SheetCard.version).desc())
    return db.exec(statement.order_by(*order)).all()


def find_sheet_card(db: Session, account_id: UUID, sheet_id: UUID) -> SheetCard | None:
    """Return a version of a sheet if this account keeps it."""
    card = db.get(SheetCard, sheet_id)
    return card if card and card.account_id == account_id else None


def find_seal_hash(db: Session, tasting_id: UUID) -> str | None:
    """Return the published hash; the sealed text itself only `storage.key` reads."""
    return db.exec(select(Seal.hash).where(Seal.tasting_id == tasting_id)).first()


def load_events(db: Session, tasting_id: UUID) -> list[chain.Event]:
    statement = select(Event).where(Event.tasting_id == tasting_id).order_by(col(Event.seq))
    return [
        chain.Event.model_validate(one.model_dump(exclude={"tasting_id"}))
        for one in db.exec(statement)
    ]


def load_all_events(db: Session, tasting_ids: Collection[UUID]) -> dict[UUID, list[chain.Event]]:
    """As `load_events`, of several tastings at once."""
    wanted = select(Event).where(col(Event.tasting_id).in_(tasting_ids))
    loaded: dict[UUID, list[chain.Event]] = {one: [] for one in tasting_ids}
    for one in db.exec(wanted.order_by(col(Event.seq))):
        event = chain.Event.model_validate(one.model_dump(exclude={"tasting_id"}))
        loaded[one.tasting_id].append(event)
    return loaded


def load_record(db: Session, tasting_id: UUID) -> Record:
    """Fold the events of a sealed tasting into what is the case now."""
    seal = find_seal_hash(db, tasting_id)
    return fold(load_events(db, tasting_id), seal or "")


def load_layout(db: Session, tasting: Tasting) -> Layout:
    """Return the layout from the tables that carry no key.

    What is sealed never changes, so a process keeps the layouts it has read, by their seal.
    """
    seal = find_seal_hash(db, tasting.id)
    if seal is None:
        return _read_layout(db, tasting)
    kept = _LAYOUTS.get(seal)
    if kept is None:
        kept = _read_layout(db, tasting)
        with _KEEPING:
            while len(_LAYOUTS) >= MOST_KEPT:
                del _LAYOUTS[next(iter(_LAYOUTS))]  # that of longest ago
            _LAYOUTS[seal] = kept
    return kept


def _read_layout(db: Session, tasting: Tasting) -> Layout:
    comparisons = _list_comparisons(db, tasting.id)
    return Layout(
        tasting=tasting.id,
        plan=Plan.model_validate(tasting.plan),
        samples=list_samples(db, tasting.id),
        comparisons=tuple(
            PlannedComparison.model_validate(one.model_dump(include={"name", "samples", "purpose"}))
            for one in comparisons
        ),
        slots=_slots(db, tasting.id),
        seats=tuple(
            PlannedSeat(number=seat.number, spare=seat.spare) for seat in list_seats(db, tasting.id)
        ),
        servings=_servings(db, tasting.id, {one.id: one.name for one in comparisons}),
    )


def _list_comparisons(db: Session, tasting_id: UUID) -> Sequence[Comparison]:
    statement = select(Comparison).where(Comparison.tasting_id == tasting_id)
    return db.exec(statement.order_by(col(Comparison.name))).all()


def _slots(db: Session, tasting_id: UUID) -> tuple[PlannedSlot, ...]:
    statement = (
        select(BrewSlot, Sample.level)
        .join(Sample, col(BrewSlot.sample_id) == Sample.id)
        .where(BrewSlot.tasting_id == tasting_id)
        .order_by(col(BrewSlot.round), col(Sample.level), col(BrewSlot.n))
    )
    return tuple(
        PlannedSlot(name=slot.name, sample=level, n=slot.n, round=slot.round, brews=slot.brews)
        for slot, level in db.exec(statement)
    )


def _servings(db: Session, tasting_id: UUID, names: dict[UUID, str]) -> tuple[PlannedServing, ...]:
    statement = (
        select(Serving, Seat.number, Placement.position, Cup)
        .join(Seat, col(Serving.seat_id) == Seat.id)
        .join(Placement, col(Placement.serving_id) == Serving.id)
        .join(Cup, col(Placement.cup_id) == Cup.id)
        .where(Serving.tasting_id == tasting_id)
        .order_by(col(Serving.sitting), col(Serving.round), col(Seat.number))
        .order_by(col(Placement.position))
    )
    return tuple(
        PlannedServing(
            id=rows[0][0].id,
            seat=rows[0][1],
            sitting=rows[0][0].sitting,
            round=rows[0][0].round,
            comparison=names[rows[0][0].comparison_id],
            cups=tuple(
                PlannedCup(id=cup.id, code=cup.code, position=position, bowl=cup.bowl)
                for _, _, position, cup in rows
            ),
            pours=tuple(rows[0][0].pours or ()),
        )
        for rows in (list(group) for _, group in groupby(db.exec(statement), lambda row: row[0].id))
    )
