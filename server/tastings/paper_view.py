"""A paper score sheet as whoever types it in sees it: codes, what was asked, what is missing."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from server.blinding.table_stands import is_scored
from server.sheets.blocks import Block, list_blocks
from server.sheets.scales.base import Kind
from server.tastings import answering
from server.tastings.answering import SeatPlace
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE
from server.tastings.paper_sheets import find_sheet
from server.tastings.scoring import Spread, get_spread
from server.tastings.scoring_drafts import find_kept, write_draft
from server.tastings.scoring_passes import PASS_NAMES
from server.tastings.scoring_view import Gap, TableView, look_at_table
from server.tastings.scoring_words import is_asked_for_words

Stage = Literal["words", "open", "locked", "over"]


@dataclass(frozen=True)
class PaperView:
    """One sheet of a seat in a sitting; ``fields`` is what was typed so far.

    ``stage`` says whether words of the seat's own come first, and whether it can be typed in;
    ``too_early`` that the sheet of an earlier sitting must be locked before it.
    """

    number: int
    tasting: str
    stage: Stage
    too_early: bool
    table: TableView
    blocks: tuple[Block, ...]
    fields: Mapping[str, str]

    @property
    def gaps(self) -> tuple[tuple[Gap, ...], ...]:
        """What is missing, question by question, each in one pass."""
        found: dict[tuple[str, str], tuple[Gap, ...]] = {}
        for one in self.table.gaps:
            found[one.time, one.label] = (*found.get((one.time, one.label), ()), one)
        return tuple(found.values())

    @staticmethod
    def name_pass(time: str) -> str:
        """Return the name of a pass, to be translated."""
        return PASS_NAMES[time]

    @property
    def asked(self) -> int:
        """How many values there may be."""
        return sum(len(one.entries) for one in self.blocks)

    @property
    def given(self) -> int:
        """How many values there are, those begun too."""
        return len(self.table.told)


def find_paper_view(bench: Bench, token: str, sitting: int) -> PaperView:
    """Return a sheet of the seat behind a link.

    Raises
    ------
    NotFound
        No such seat, or no such sheet.
    """
    place = answering.get_place(bench, token)
    serving = find_sheet(place, sitting)
    spread, draft = get_spread(place, serving), find_kept(bench, place, serving)
    table = look_at_table(place, serving, write_draft(draft))
    assert table
    return PaperView(
        place.seat.number,
        place.tasting.name,
        _find_stage(place, spread),
        _is_too_early(place, sitting),
        table,
        list_blocks(spread.sheet, spread.stands, str(serving.id)),
        {
            one.place.name_part(part): text
            for one in draft.answer.values
            for part, text in _get_scale(spread, one.attribute).fill_paper(one.value).items()
        },
    )


def _get_scale(spread: Spread, name: str) -> Kind:
    attribute = spread.sheet.find_attribute(name)
    assert attribute
    return attribute.scale


def _find_stage(place: SeatPlace, spread: Spread) -> Stage:
    if spread.serving.id in place.record.answers:
        return "locked"
    if place.tasting.state not in AT_THE_TABLE:
        return "over"
    return "words" if is_asked_for_words(place) else "open"


def _is_too_early(place: SeatPlace, sitting: int) -> bool:
    return any(one.sitting < sitting and is_scored(place.layout, one) for one in place.ahead)
