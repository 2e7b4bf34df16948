"""Take a free seat: by the tasting's short code, or by the seat's own link."""

from dataclasses import dataclass
from uuid import UUID

from sqlmodel import col, select

from server.blinding.events import Kind, State
from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.refusals import NotFound, Refusal


@dataclass(frozen=True)
class SeatChoice:
    """A seat as the joining page lists it."""

    number: int
    spare: bool
    taken: bool


@dataclass(frozen=True)
class JoinView:
    """What somebody sees who has only the short code: neutral name, seats, nothing else."""

    name: str
    code: str
    open: bool
    seats: tuple[SeatChoice, ...]
    claim_key: str


class SeatTaken(Refusal):
    """Somebody else sits there."""


def tidy_code(text: str) -> str:
    """Return a typed short code as it is stored: capitals without blanks."""
    return "".join(text.split()).upper()


def find_join_view(bench: Bench, code: str) -> JoinView | None:
    """Return the seats behind a short code."""
    with bench.reading() as db:
        tasting = queries.find_by_join_code(db, tidy_code(code))
        if tasting is None or tasting.state == State.DRAFT:
            return None
        seats = tuple(
            SeatChoice(seat.number, seat.spare, seat.taken_at is not None)
            for seat in queries.list_seats(db, tasting.id)
        )
        is_open = tasting.state in AT_THE_TABLE
        return JoinView(tasting.name, tasting.join_code, is_open, seats, bench.draw_token())


def take_seat(bench: Bench, code: str, number: int, claim_key: str, label: str) -> str:
    """Take a seat and return its link's token; the same form twice takes one seat.

    Raises
    ------
    NotFound
        No such tasting or seat.
    SeatTaken
        Somebody else took it first.
    """
    with bench.reading() as db:
        tasting = queries.find_by_join_code(db, tidy_code(code))
    if tasting is None:
        raise NotFound("There is no tasting with this code.")
    with open_journal(bench, tasting.id, AT_THE_TABLE) as journal:
        seats = queries.list_seats(journal.db, tasting.id)
        mine = next((seat for seat in seats if seat.claim_key == claim_key), None)
        if mine is not None:
            return mine.token
        seat = next((seat for seat in seats if seat.number == number), None)
        if seat is None:
            raise NotFound("There is no such seat.")
        if seat.taken_at is not None:
            raise SeatTaken(f"Seat {number} is taken. Choose another one.")
        seat.taken_at, seat.claim_key = bench.clock(), claim_key
        if label:
            person = tables.Person(id=bench.draw_uuid(), label=label)
            journal.db.add(person)
            journal.db.flush()
            seat.person_id = person.id
        journal.append(Kind.SEAT_TAKEN, seat=number)
        return seat.token


def read_instructions(bench: Bench, token: str) -> None:
    """Note that a seat has read the instructions; whoever opens its link sits there."""
    with bench.reading() as db:
        found = queries.find_seat(db, token)
    if found is None:
        raise NotFound("There is no such seat.")
    with open_journal(bench, found[1].id, AT_THE_TABLE) as journal:
        seat = journal.db.get_one(tables.Seat, found[0].id)
        if seat.instructed_at is None:
            seat.instructed_at = bench.clock()
        if seat.taken_at is None:
            seat.taken_at = bench.clock()
            journal.append(Kind.SEAT_TAKEN, seat=seat.number)


def erase_person(bench: Bench, tasting_id: UUID, number: int) -> None:
    """Forget what the person at a seat called themselves."""
    with bench.writing() as db:
        person = db.exec(
            select(tables.Person)
            .join(tables.Seat, col(tables.Seat.person_id) == tables.Person.id)
            .where(tables.Seat.tasting_id == tasting_id, tables.Seat.number == number)
        ).first()
        if person is None:
            raise NotFound("Nobody at this seat gave a name.")
        person.label, person.erased_at = "", bench.clock()
        db.commit()
