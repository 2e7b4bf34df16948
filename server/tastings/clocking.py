"""The bowl clock: what is to be done next, and when; read from stored moments alone."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import UUID

from server.blinding.events import Kind
from server.blinding.record import Record
from server.blinding.sealed import Layout
from server.blinding.table_plans import get_table
from server.blinding.table_record import BowlStep
from server.blinding.table_stands import list_ring, list_scored
from server.sheets.cards import read_sheet
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.calibrating import find_calibration
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.refusals import Invalid, NotFound

POURED, BROKEN, SKIMMED, CHECKED, SIP = "poured", "broken", "skimmed", "checked", "sip"
CELSIUS = re.compile(r"[0-9]{1,2}(?:[.,][0-9])?", re.ASCII)
BAD_READING = "Give what the check bowl reads, such as 63.5 °C."
NOT_YET = "Not its turn: bowls are poured, broken and skimmed in the same order."


@dataclass(frozen=True)
class Pace:
    """Seconds between two pours, and from a pour to the break of its crust."""

    gap: int = 20
    wait: int = 240


@dataclass(frozen=True)
class Bowl:
    """A bowl around the table, or the whole table where cups are people's own."""

    code: str | None
    bowl: int | None
    steps: Mapping[str, BowlStep]

    @property
    def label(self) -> str:
        """What it is called."""
        if self.code is None:
            return "all cups"
        return f"{self.code} bowl {self.bowl}" if self.bowl else self.code

    def find_time(self, step: str) -> datetime | None:
        """Return when a step was done."""
        found = self.steps.get(step)
        return datetime.fromisoformat(found.at) if found else None


@dataclass(frozen=True)
class Call:
    """What is to be done next to a bowl; without ``due`` as soon as hands are free."""

    step: str
    bowl: Bowl
    due: datetime | None


@dataclass(frozen=True)
class ClockFace:
    """The clock of one sitting; ``turn`` is the seat whose turn it is to break.

    ``open_bowl`` is what stands there before the codes, ``count`` changes with all of it.
    """

    sitting: int
    sittings: int
    pace: Pace
    now: datetime
    bowls: tuple[Bowl, ...]
    calls: tuple[Call, ...]
    seats: tuple[int, ...]
    turn: int
    limit_c: Decimal
    readings: tuple[BowlStep, ...]
    sip: BowlStep | None
    count: int
    open_bowl: str
    is_calibrated: bool

    @property
    def is_poured(self) -> bool:
        """Tell whether all bowls are poured: then one of them may be read."""
        return all(POURED in one.steps for one in self.bowls)


def read_pace(form: Mapping[str, str]) -> Pace:
    """Return the pace that was typed; what cannot be one is as usual."""
    usual = Pace()
    gap, wait = form.get("gap", ""), form.get("wait", "")
    return Pace(
        int(gap) if re.fullmatch("[0-9]{1,3}", gap) else usual.gap,
        int(wait) if re.fullmatch("[0-9]{1,4}", wait) else usual.wait,
    )


def read_clock(
    bench: Bench, tasting_id: UUID, layout: Layout, sitting: int, pace: Pace
) -> ClockFace:
    """Return the clock of a sitting as the journal has it now."""
    with bench.reading() as db:
        record = queries.load_record(db, tasting_id)
    return show_clock(layout, record, sitting, pace, bench.clock())


def show_clock(
    layout: Layout, record: Record, sitting: int, pace: Pace, now: datetime
) -> ClockFace:
    """Return the clock of a sitting.

    Raises
    ------
    NotFound
        It is no scored table, or there is no such sitting.
    """
    bowls = _list_bowls(layout, record, sitting)
    steps = [one for one in record.bowl_steps if one.sitting == sitting]
    open_bowl, calibrated = get_table(layout.plan).calibration, find_calibration(record, sitting)
    seats = tuple(seat.number for seat in layout.seats if not seat.spare)
    broken = sum(BROKEN in one.steps for one in bowls)
    return ClockFace(
        sitting=sitting,
        sittings=layout.plan.sittings,
        pace=pace,
        now=now,
        bowls=bowls,
        calls=tuple(_list_calls(bowls, pace, breaks=is_broken(layout))),
        seats=seats,
        turn=seats[broken % len(seats)],
        limit_c=get_table(layout.plan).sip_limit_c,
        readings=tuple(one for one in steps if one.step == CHECKED),
        sip=next((one for one in steps if one.step == SIP), None),
        count=len(steps) + (calibrated is not None),
        open_bowl=open_bowl,
        is_calibrated=calibrated is not None,
    )


def is_broken(layout: Layout) -> bool:
    """Tell whether bowls steep under a crust: shared ones, or where the sheet says so."""
    table = get_table(layout.plan)
    return table.shared or bool({"crust", "break"} & set(read_sheet(table.sheet).passes))


def _list_bowls(layout: Layout, record: Record, sitting: int) -> tuple[Bowl, ...]:
    if layout.plan.table is None:
        raise NotFound("Only a scored table has a bowl clock.")
    servings = [one for one in list_scored(layout) if one.sitting == sitting]
    if not servings:
        raise NotFound("There is no such sitting.")
    places: list[tuple[str | None, int | None]] = [(None, None)]
    if layout.plan.table.shared:
        places = [(one.code, bowl) for one in list_ring(servings) for bowl in one.bowls]
    return tuple(Bowl(*place, _find_steps(record, sitting, place)) for place in places)


def _find_steps(
    record: Record, sitting: int, place: tuple[str | None, int | None]
) -> dict[str, BowlStep]:
    mine = (one for one in record.bowl_steps if (one.code, one.bowl) == place)
    return {one.step: one for one in mine if one.sitting == sitting}


def _list_calls(bowls: Sequence[Bowl], pace: Pace, *, breaks: bool) -> list[Call]:
    """List what may be done next, the most urgent first: one call a step."""
    first = bowls[0].find_time(POURED)
    calls = []
    for at, bowl in enumerate(bowls):
        if POURED not in bowl.steps:
            due = first + timedelta(seconds=at * pace.gap) if first else None
            calls.append(Call(POURED, bowl, due))
            break
    crusted = next((one for one in bowls if BROKEN not in one.steps), None)
    poured = crusted.find_time(POURED) if crusted else None
    if breaks and crusted and poured:
        calls.append(Call(BROKEN, crusted, poured + timedelta(seconds=pace.wait)))
    foamy = next((one for one in bowls if SKIMMED not in one.steps), None)
    if breaks and foamy and not crusted:
        calls.append(Call(SKIMMED, foamy, None))
    return sorted(calls, key=lambda call: (call.due is not None, call.due or first))


def record_step(bench: Bench, tasting_id: UUID, sitting: int, form: Mapping[str, str]) -> None:
    """Record that a bowl was poured, broken or skimmed; told again, change nothing.

    Raises
    ------
    Invalid
        It is another bowl's turn, or there is no such seat.
    NotFound
        There is no such step.
    """
    with open_journal(bench, tasting_id, AT_THE_TABLE) as journal:
        layout = queries.load_layout(journal.db, journal.tasting)
        record = queries.load_record(journal.db, tasting_id)
        face = show_clock(layout, record, sitting, Pace(), bench.clock())
        step, label = form.get("step", ""), form.get("bowl", "")
        bowl = next((one for one in face.bowls if one.label == label), None)
        if step not in (POURED, BROKEN, SKIMMED) or bowl is None:
            raise NotFound("There is no such step of the bowl clock.")
        if step in bowl.steps:
            return
        if (step, bowl) not in [(one.step, one.bowl) for one in face.calls]:
            raise Invalid(step=NOT_YET)
        seat = _read_seat(form.get("seat", ""), face.seats)
        journal.begin_serving()
        journal.append(
            Kind.BOWL_STEP, sitting=sitting, step=step, code=bowl.code, bowl=bowl.bowl, seat=seat,
            celsius=None,
        )  # fmt: skip


def record_reading(bench: Bench, tasting_id: UUID, sitting: int, typed: str) -> None:
    """Record what a check bowl reads; at or below the limit the first sip is free.

    Raises
    ------
    Invalid
        It is no reading, or bowls are still to be poured.
    """
    typed = typed.strip()
    if not CELSIUS.fullmatch(typed):
        raise Invalid(celsius=BAD_READING)
    celsius = typed.replace(",", ".")
    with open_journal(bench, tasting_id, AT_THE_TABLE) as journal:
        layout = queries.load_layout(journal.db, journal.tasting)
        record = queries.load_record(journal.db, tasting_id)
        face = show_clock(layout, record, sitting, Pace(), bench.clock())
        if face.sip is not None or (face.readings and face.readings[-1].celsius == celsius):
            return
        if not face.is_poured:
            raise Invalid(celsius="Pour all bowls first: the one poured last is the hottest.")
        body = {"sitting": sitting, "code": None, "bowl": None, "seat": None, "celsius": celsius}
        journal.append(Kind.BOWL_STEP, step=CHECKED, **body)
        if Decimal(celsius) <= face.limit_c:
            journal.append(Kind.BOWL_STEP, step=SIP, **body)


def _read_seat(typed: str, seats: Sequence[int]) -> int | None:
    if not typed:
        return None
    if typed not in map(str, seats):
        raise Invalid(seat="There is no such seat.")
    return int(typed)
