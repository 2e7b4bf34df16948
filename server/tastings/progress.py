"""What leaders see while tasting goes on: who has answered, never whether rightly."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from uuid import UUID

from server.blinding.events import State
from server.blinding.record import GivenAnswer, Record, fold
from server.blinding.sealed import Layout
from server.methods.fields import tell_answer
from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.clocks import measure_ahead, tell_ahead
from server.tastings.closing import Reached, count_reached
from server.tastings.serving_states import Mark, find_mark
from server.tastings.sitting_lines import SittingLine, list_sitting_lines
from server.tastings.stopping import say_advice
from server.tastings.table_counts import Begun, Count, count_begun, count_values, list_asked_rounds


@dataclass(frozen=True)
class SeatLine:
    """A seat's row on the board; ``clock`` says how wrong that of its device is, if it is.

    At a scored table ``counts`` has how many values each of its sittings has so far.
    """

    number: int
    spare: bool
    taken: bool
    label: str
    marks: tuple[Mark, ...]
    clock: str
    counts: tuple[Count, ...] = ()


@dataclass(frozen=True)
class Contest:
    """Answers to one serving that differ; what is right in them nobody can see here."""

    serving: UUID
    seat: int
    round: int
    given: tuple[GivenAnswer, ...]
    settled: bool

    @property
    def choices(self) -> tuple[tuple[int, str], ...]:
        """The number of every answer, and what it says."""
        return tuple(
            (one.revision, tell_answer(one.answer) or f"answer {one.revision}")
            for one in self.given
        )


@dataclass(frozen=True)
class Progress:
    """The board of a sealed tasting; alone it is read by ``sittings``.

    ``headings`` names the columns: rounds, at a scored table sittings. ``advice`` is what a
    sequential plan says, ``go on`` or ``stop``, and empty elsewhere.
    """

    tasting_id: UUID
    state: State
    version: int
    headings: tuple[str, ...]
    seats: tuple[SeatLine, ...]
    reached: Reached
    contests: tuple[Contest, ...]
    brews: int
    slots: int
    sittings: tuple[SittingLine, ...] = ()
    advice: str = ""


@dataclass(frozen=True)
class LedTasting:
    """A sealed tasting as its leader may see it before unsealing."""

    tasting: tables.Tasting
    layout: Layout
    record: Record
    seal: str
    labels: Mapping[int, str]
    clocks: Mapping[int, timedelta] = field(default_factory=dict)
    begun: Mapping[UUID, Begun] = field(default_factory=dict)

    @property
    def named(self) -> list[tuple[int, str]]:
        """Seats whose people gave a name that is not forgotten."""
        return sorted((number, label) for number, label in self.labels.items() if label)

    @property
    def state(self) -> State:
        """Where the tasting stands."""
        return State(self.tasting.state)


def find_led(bench: Bench, account_id: UUID, tasting_id: UUID) -> LedTasting | None:
    """Return a sealed tasting that this account leads."""
    with bench.reading() as db:
        tasting = queries.find_led_tasting(db, account_id, tasting_id)
        seal = queries.find_seal_hash(db, tasting_id)
        if tasting is None or seal is None:
            return None
        layout, events = queries.load_layout(db, tasting), queries.load_events(db, tasting_id)
        record = fold(events, seal)
        clocks = measure_ahead(events, record, layout)
        labels = queries.list_labels(db, tasting_id)
        begun = count_begun(queries.list_drafts(db, tasting_id)) if layout.plan.table else {}
        return LedTasting(tasting, layout, record, seal, labels, clocks, begun)


def show_progress(led: LedTasting) -> Progress:
    """Return the board."""
    layout, record = led.layout, led.record
    by_place = {(one.seat, one.round): one for one in layout.servings}
    rounds = list_asked_rounds(layout)
    counts = count_values(layout, record, led.begun)
    seats = tuple(
        SeatLine(
            seat.number,
            seat.spare,
            seat.number in record.seats_taken,
            led.labels.get(seat.number, ""),
            tuple(find_mark(record, by_place[seat.number, number]) for number in rounds),
            tell_ahead(led.clocks.get(seat.number, timedelta(0))),
            tuple(counts[by_place[seat.number, number].id] for number in rounds if counts),
        )
        for seat in layout.seats
    )
    return Progress(
        led.tasting.id,
        led.state,
        record.version,
        _name_columns(layout, rounds),
        seats,
        count_reached(layout, record),
        tuple(_contests(layout, record)),
        len(record.brews),
        len(layout.slots),
        list_sitting_lines(layout, record) if layout.plan.alone else (),
        say_advice(layout.plan, record),
    )


def _name_columns(layout: Layout, rounds: tuple[int, ...]) -> tuple[str, ...]:
    if layout.plan.table is None:
        return tuple(f"Round {number}" for number in rounds)
    return tuple(f"Sitting {number}" for number in range(1, len(rounds) + 1))


def _contests(layout: Layout, record: Record) -> list[Contest]:
    return [
        Contest(
            one.id,
            one.seat,
            one.round,
            (record.answers[one.id], *record.contests[one.id]),
            one.id in record.settlements,
        )
        for one in layout.servings
        if one.id in record.contests
    ]
