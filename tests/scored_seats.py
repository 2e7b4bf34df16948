"""Scored tables to sit at in tests: Lantern Row, a small invented roastery, tastes its batches."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from server.blinding.events import Kind
from server.blinding.seal import read_sealed
from server.blinding.sealed import PlannedServing, SealedTasting
from server.sheets.cards import write_sheet
from server.sheets.places import Place, list_places
from server.sheets.scales.base import Json
from server.sheets.scales.category import Category
from server.sheets.scales.comment import Comment
from server.sheets.scales.control import Control
from server.sheets.scales.defect import Defect
from server.sheets.scales.hedonic import Hedonic
from server.sheets.scales.line import Line
from server.sheets.scales.magnitude import Magnitude
from server.sheets.scales.ranking import Ranking
from server.sheets.scales.right import Right
from server.sheets.scales.tick_all import TickAll
from server.sheets.sheet import Attribute, Sheet
from server.storage import key, queries, tables
from server.tastings import answering, paper_sheets, scoring, scoring_lock, seating
from server.tastings.answering import Outcome, SeatPlace
from server.tastings.bench import Bench
from server.tastings.drafts import keep_draft
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.scoring import Spread
from server.tastings.sealing import seal_tasting
from tests.drawn_tables import list_batches, plan_table

SWEET = Attribute(
    name="sweet",
    label="Sweet",
    definition="Sweetness as you taste it.",
    passes=("hot", "cool"),
    scale=Line(low="none", high="very strong"),
)
FAULT = Attribute(
    name="fault",
    label="Fault",
    scope="cup",
    passes=("hot",),
    scale=Defect(levels=("faint", "clear"), words=("papery", "ash")),
)
NOTE = Attribute(name="note", label="Anything else", required=False, scale=Comment())
SHORT = Sheet(title="Roast check", attributes=(SWEET, FAULT, NOTE))
EVERY_KIND = Sheet(
    title="All kinds",
    own_words=2,
    attributes=(
        SWEET,
        Attribute(name="body", label="Body", scale=Category(words=("thin", "middle", "heavy"))),
        Attribute(
            name="strength",
            label="Strength",
            scale=Magnitude(reference="house", reference_value=10),
        ),
        Attribute(name="sour", label="Sour", scale=Right(words=("too low", "right", "too high"))),
        Attribute(name="liking", label="Liking", scale=Hedonic()),
        Attribute(name="hints", label="Hints", scale=TickAll(words=("cocoa", "lemon", "ash"))),
        FAULT,
        Attribute(
            name="apart",
            label="Apart",
            scale=Control(control="the open cup", words=("none", "much")),
        ),
        Attribute(
            name="order", label="Order", scale=Ranking(first="best", last="least", ties=True)
        ),
        NOTE,
    ),
)
SAID: dict[str, Json] = {
    "line": 620,
    "category": 1,
    "magnitude": "12.5",
    "right": 0,
    "hedonic": 6,
    "tick-all": [],
    "defect": {"found": False},
    "control": 1,
    "comment": "clean",
}
"""One value a kind; of a ranking it depends on the codes."""


@dataclass(frozen=True)
class ScoredTable:
    """A sealed scored table with all its links."""

    bench: Bench
    id: UUID
    code: str
    sealed: SealedTasting
    tokens: dict[int, str]
    pourer: str

    def servings(self, seat: int) -> list[PlannedServing]:
        """Servings of a seat, first one first."""
        mine = (one for one in self.sealed.servings if one.seat == seat)
        return sorted(mine, key=lambda one: one.round)

    def place(self, seat: int) -> SeatPlace:
        """A seat as it stands now."""
        place = answering.find_place(self.bench, self.tokens[seat])
        assert place
        return place

    def spread(self, seat: int) -> Spread:
        """What a seat scores now."""
        place = self.place(seat)
        assert place.current
        return scoring.get_spread(place, place.current)

    def sit(self, seat: int) -> None:
        """Read the instructions and confirm the codes."""
        seating.read_instructions(self.bench, self.tokens[seat])
        serving = self.place(seat).current
        assert serving
        answering.confirm_codes(self.bench, self.tokens[seat], serving.id, differ=False)

    def fill(self, seat: int, **other: Json) -> dict[str, str]:
        """Return the form of a whole table; values of attributes may be changed, None: none."""
        spread = self.spread(seat)
        form: dict[str, str] = {"serving": str(spread.serving.id)}
        for place in list_places(spread.sheet, spread.stands):
            form |= write_value(spread, place, **other)
        return form

    def step(self, name: str, sitting: int = 1) -> None:
        """Let the bowl clock note a step of the whole table, such as ``poured`` or ``sip``."""
        body = {"code": None, "bowl": None, "seat": None, "celsius": None}
        with open_journal(self.bench, self.id, AT_THE_TABLE) as journal:
            journal.append(Kind.BOWL_STEP, sitting=sitting, step=name, **body)

    def lock(self, seat: int, form: dict[str, str], key: str = "form-1") -> Outcome:
        """Lock a form."""
        serving = UUID(form["serving"])
        return scoring_lock.lock_answer(self.bench, self.tokens[seat], serving, form, key)


def write_value(
    spread: Spread, place: Place, *, paper: bool = False, **other: Json
) -> dict[str, str]:
    """Return the fields of a value, as a device has them or as they are typed from paper."""
    attribute = spread.sheet.find_attribute(place.attribute)
    assert attribute
    value = other.get(attribute.name, SAID.get(attribute.scale.kind, [[c] for c in spread.codes]))
    scale = attribute.scale
    fields = {} if value is None else scale.fill_paper(value) if paper else scale.fill(value)
    return {place.name_part(part): text for part, text in fields.items()}


def write_paper(table: ScoredTable, seat: int, sitting: int = 1, **other: Json) -> dict[str, str]:
    """Return what is typed in of a seat's paper sheet; changes are those of `ScoredTable.fill`."""
    place = table.place(seat)
    spread = scoring.get_spread(place, paper_sheets.find_sheet(place, sitting))
    form: dict[str, str] = {}
    for one in list_places(spread.sheet, spread.stands):
        form |= write_value(spread, one, paper=True, **other)
    return form


def seal_table(bench: Bench, account: UUID, sheet: Sheet = SHORT, **changed: Any) -> ScoredTable:
    """Draft and seal a table of four batches; changes are those of `drawn_tables.plan_table`."""
    plan = plan_table(sheet=write_sheet(sheet), **({"primary": ""} | changed))
    labels = {one.level: one.label for one in list_batches(4)}
    tasting_id = keep_draft(bench, account, plan, labels)
    seal_tasting(bench, tasting_id)
    with bench.reading() as db:
        tasting = db.get_one(tables.Tasting, tasting_id)
        text = key.read_sealed_text(db, tasting_id)
        assert text
        return ScoredTable(
            bench,
            tasting_id,
            tasting.join_code,
            read_sealed(text),
            {seat.number: seat.token for seat in queries.list_seats(db, tasting_id)},
            queries.list_pourer_links(db, tasting_id)[0].token,
        )
