"""Tastings in every state and seats at every step, put into the data of a running server."""

from dataclasses import dataclass
from uuid import UUID

from server.blinding.sealed import Layout
from server.pages.assets import SAMPLE_SESSIONS
from server.storage import queries, tables
from server.tastings import alone, answering, closing, looking, pouring, seating
from server.tastings.bench import Bench
from server.tastings.drafts import create_draft
from server.tastings.importing import get_leader_id, import_tasting
from server.tastings.marking import enter_marks, name_field
from server.tastings.planning import read_plan
from server.tastings.sealing import seal_tasting

PLAN = {
    "question": "Does the fresh cartridge leave a taste in our oolong?",
    "sample_a": "flushed cartridge",
    "sample_b": "fresh cartridge",
    "difference": "the cartridge in the water filter",
    "pourer": "absent",
    "assessors": "6",
    "size_percent": "50",
    "rounds": "2",
    "spare_seats": "1",
    "swallow": "on",
}
BREWS = {"tds": "1.31 1.32 1.31", "temperature_c": "58.5", "time": "10:15", "note": ""}


@dataclass(frozen=True)
class Table:
    """A sealed tasting, played seat by seat."""

    bench: Bench
    id: UUID
    code: str
    tokens: list[str]
    pourer: str
    layout: Layout

    def serving(self, seat: int, number: int = 1) -> tuple[UUID, tuple[str, ...]]:
        """Return a serving's id and codes."""
        found = next(one for one in self.layout.servings if (one.seat, one.round) == (seat, number))
        return found.id, found.codes

    def sit(self, seat: int) -> None:
        """Read the instructions."""
        seating.read_instructions(self.bench, self.tokens[seat - 1])

    def compare(self, seat: int, number: int = 1, *, differ: bool = False) -> None:
        """Say whether the codes fit."""
        serving, _ = self.serving(seat, number)
        answering.confirm_codes(self.bench, self.tokens[seat - 1], serving, differ=differ)

    def draft(self, seat: int, number: int = 1) -> None:
        """Fill the ballot in, and go on to look at it again."""
        serving, codes = self.serving(seat, number)
        form = {"pick": codes[0], "guess": "on", "comment": "a bit like cardboard"}
        answering.save_draft(self.bench, self.tokens[seat - 1], serving, form)

    def answer(self, seat: int, number: int = 1, place: int = 0) -> None:
        """Lock an answer."""
        serving, codes = self.serving(seat, number)
        form = {"pick": codes[place], "comment": "sweeter"}
        key = f"seat {seat}, round {number}, cup {place}"
        answering.record_answer(self.bench, self.tokens[seat - 1], serving, form, key)

    def answer_all(self) -> None:
        """Lock an answer to every planned serving."""
        for seat in range(1, self.layout.plan.assessors + 1):
            self.sit(seat)
            for number in range(1, self.layout.plan.total_rounds + 1):
                self.answer(seat, number, seat % 3)

    def read_pots(self) -> None:
        """Note the same readings for every pot."""
        rounds = range(1, self.layout.plan.total_rounds + 1)
        for slot in self.layout.slots:
            pouring.note_brew(self.bench, self.id, rounds, BREWS | {"slot": slot.name})

    def close(self) -> None:
        """Close early."""
        closing.close_tasting(self.bench, self.id, "the kettle broke", "absent")


def draft_one(bench: Bench, **changes: str) -> UUID:
    """Draft a tasting; any field of the plan can be changed."""
    return create_draft(bench, get_leader_id(bench), read_plan(PLAN | changes))


def seal_one(bench: Bench, **changes: str) -> Table:
    """Draft a tasting and seal it."""
    tasting_id = draft_one(bench, **changes)
    seal_tasting(bench, tasting_id)
    return look_up(bench, tasting_id)


def look_up(bench: Bench, tasting_id: UUID) -> Table:
    """Return a sealed tasting with its links."""
    with bench.reading() as db:
        tasting = db.get_one(tables.Tasting, tasting_id)
        tokens = [seat.token for seat in queries.list_seats(db, tasting_id)]
        pourer = queries.list_pourer_links(db, tasting_id)[0].token
        layout = queries.load_layout(db, tasting)
    return Table(bench, tasting_id, tasting.join_code, tokens, pourer, layout)


def serve_one(bench: Bench) -> Table:
    """A tasting in full swing: each of its seats stands at another step.

    Seat 1 reads the instructions, 2 compares codes, 3 calls, 4 tastes, 5 looks at its
    answer again; 6 has answered everything, round 1 twice and differently.
    """
    table = seal_one(bench)
    seating.take_seat(bench, table.code, 2, "a" * 8, "Wren")
    for seat in range(2, 7):
        table.sit(seat)
    table.compare(3, differ=True)
    for seat in (4, 5):
        table.compare(seat)
    table.draft(5)
    for number in (1, 2):
        table.compare(6, number)
        table.answer(6, number)
    table.answer(6, 1, 1)
    void_one(table, 2)
    pouring.note_brew(bench, table.id, (1, 2), BREWS | {"slot": table.layout.slots[0].name})
    return table


def void_one(table: Table, seat: int) -> None:
    """Spill a tray; the spare one stands in."""
    bar = pouring.find_bar(table.bench, table.pourer)
    assert bar
    pouring.void_serving(table.bench, bar, table.serving(seat)[0], "spilt")


def end_one(bench: Bench, *, unsealed: bool) -> Table:
    """A tasting that was closed, or played to its finding."""
    table = seal_one(bench)
    if unsealed:
        table.answer_all()
        table.read_pots()
    else:
        table.sit(1)
        table.compare(1)
        table.draft(1)
    table.close()
    if unsealed:
        closing.unseal_tasting(bench, table.id)
    return table


def abandon_one(bench: Bench) -> Table:
    """A tasting that was given up."""
    table = seal_one(bench)
    closing.abandon_tasting(bench, table.id, "the kettle broke")
    return table


def look_one(bench: Bench) -> UUID:
    """A draft whose cups are about to be looked at."""
    tasting_id = draft_one(bench)
    looking.draw_looks(bench, tasting_id)
    return tasting_id


ALONE = {"pourer": "alone", "sittings": "2", "rounds": "3", "pots": "usual"}
STEPS_ALONE = ("rules", "prepare", "pour", "codes", "ballot", "next", "marks", "pause", "done")


def seat_one(bench: Bench, until: str, **changes: str) -> Table:
    """One person who pours and tastes, at one of `STEPS_ALONE`."""
    table = seal_one(bench, **ALONE | changes)
    token, servings = table.tokens[0], table.layout.servings
    acts = {
        "prepare": lambda: table.sit(1),
        "pour": lambda: alone.prepare_sitting(bench, token, 1),
        "codes": lambda: alone.record_shuffle(bench, token, servings[0].id, 24),
        "ballot": lambda: table.compare(1),
        "next": lambda: table.answer(1),
        "marks": lambda: [table.answer(1, number) for number in (2, 3)],
        "pause": lambda: turn_cups(table, 1),
        "done": lambda: [
            *(table.answer(1, number) for number in (4, 5, 6)),
            turn_cups(table, 2),
        ],
    }
    for step in STEPS_ALONE[1 : STEPS_ALONE.index(until) + 1]:
        acts[step]()
    return table


def read_cups(table: Table, sitting: int) -> dict[str, str]:
    """What stands under the cups of a sitting, as the form for marks says it: as listed."""
    return {
        name_field(cup): slot
        for one in table.layout.servings
        if one.sitting == sitting
        for cup, slot in zip(one.cups, one.pours, strict=True)
    }


def turn_cups(table: Table, sitting: int) -> None:
    """Enter the marks of a sitting."""
    enter_marks(table.bench, table.tokens[0], sitting, read_cups(table, sitting))


def import_sample(bench: Bench, name: str) -> UUID:
    """A sample session, unsealed."""
    document = (SAMPLE_SESSIONS / f"{name}.json").read_bytes()
    return import_tasting(bench, get_leader_id(bench), document)
