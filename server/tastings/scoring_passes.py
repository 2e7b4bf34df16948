"""The passes over a table: question by question, code by code, in a seat's own order."""

from dataclasses import dataclass

from server.blinding.sealed import PlannedServing
from server.methods.base import N_
from server.sheets.places import Place, list_places
from server.sheets.sheet import Attribute
from server.sheets.shuffling import order_attributes, order_words
from server.sheets.values import Answer
from server.tastings.answering import SeatPlace
from server.tastings.journal import AT_THE_TABLE
from server.tastings.scoring import Spread, is_sip_held

PASS_NAMES = {
    "dry": N_("Dry"),
    "crust": N_("Crust"),
    "break": N_("Break"),
    "hot": N_("Hot"),
    "warm": N_("Warm"),
    "cool": N_("Cool"),
    "": N_("The rest"),
}
NAMELESS = N_("Score sheet")
SMELT = ("dry", "crust", "break")  # passes without a sip
HELD = N_(
    "Nobody sips yet: this waits until the check bowl is cool enough. What you entered stays "
    "here until then."
)


@dataclass(frozen=True)
class Asked:
    """One value to give; ``before`` says what was given in the pass before, in its words."""

    place: Place
    before: str

    @property
    def field(self) -> str:
        """Name of its field."""
        return self.place.field


@dataclass(frozen=True)
class Cell:
    """What is asked of one code, or of all together: then there is no code."""

    code: str
    asked: tuple[Asked, ...]


@dataclass(frozen=True)
class Question:
    """One attribute in one pass; ``words`` are those to tick, in this seat's order.

    ``codes`` are those of the whole table, in the order of tasting.
    """

    attribute: Attribute
    cells: tuple[Cell, ...]
    words: tuple[tuple[int, str], ...]
    codes: tuple[str, ...]


@dataclass(frozen=True)
class Pass:
    """One pass over the table; ``held`` while the first sip is not allowed yet."""

    time: str
    name: str
    questions: tuple[Question, ...]
    held: bool


def is_held(place: SeatPlace, sitting: int, time: str) -> bool:
    """Tell whether a pass waits for the first sip."""
    return time not in SMELT and is_sip_held(place.record, sitting)


def is_refused(place: SeatPlace, serving: PlannedServing, time: str) -> bool:
    """Tell whether a value of a pass cannot be taken now.

    What counts is the moment it is received. An answered table has had its sips, and what
    comes when the tasting is over is kept as late.
    """
    is_open = place.tasting.state in AT_THE_TABLE and serving.id not in place.record.answers
    return is_open and is_held(place, serving.sitting, time)


def list_passes(place: SeatPlace, spread: Spread, answer: Answer) -> tuple[Pass, ...]:
    """List the passes over a table as a seat meets them."""
    sitting, times = spread.serving.sitting, spread.sheet.passes
    return tuple(
        Pass(
            time,
            PASS_NAMES[time] if len(times) > 1 else NAMELESS,
            list_questions(spread, answer, time),
            is_held(place, sitting, time),
        )
        for time in times
    )


def list_questions(spread: Spread, answer: Answer, time: str) -> tuple[Question, ...]:
    """List the questions of one pass in the order in which a seat meets them."""
    seed = str(spread.serving.id)
    return tuple(
        Question(
            one,
            _list_cells(spread, answer, one, time),
            order_words(one, seed) if one.scale.kind == "tick-all" else (),
            spread.codes,
        )
        for one in order_attributes(spread.sheet, seed)
        if time in one.times
    )


def _list_cells(
    spread: Spread, answer: Answer, attribute: Attribute, time: str
) -> tuple[Cell, ...]:
    only = spread.sheet.model_copy(update={"attributes": (attribute,)})
    cells: dict[str, list[Asked]] = {}
    for place in list_places(only, spread.stands):
        if place.time == time:
            before = _find_before(attribute, answer, place)
            cells.setdefault(place.code, []).append(Asked(place, before))
    return tuple(Cell(code, tuple(asked)) for code, asked in cells.items())


def _find_before(attribute: Attribute, answer: Answer, place: Place) -> str:
    """Say the latest value of an earlier pass."""
    for time in reversed(attribute.times[: attribute.times.index(place.time)]):
        said = answer.find_value(place._replace(time=time))
        if said is not None:
            return attribute.scale.describe(said.value)
    return ""
