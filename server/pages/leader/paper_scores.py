"""Score sheets on paper: one a seat and sitting, with its codes in its own order."""

from dataclasses import dataclass, replace
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.blinding.sealed import Layout, PlannedServing
from server.blinding.table_stands import list_scored, list_stands
from server.pages.deps import Led
from server.pages.rendering import show
from server.sheets.blocks import Block, Entry, list_blocks
from server.sheets.cards import read_sheet
from server.sheets.scales.base import Paper
from server.sheets.sheet import Sheet, add_words
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound

YOUR_WORD = "Your own word"
router = APIRouter()


@dataclass(frozen=True)
class ScoreSheet:
    """The sheet of a seat in a sitting."""

    seat: int
    spare: bool
    sitting: int
    codes: tuple[str, ...]
    blocks: tuple[Block, ...]
    words: int

    @staticmethod
    def find_paper(entry: Entry) -> Paper:
        """Return how a value is asked on paper: words to tick in the seat's order."""
        paper = entry.attribute.scale.paper
        return replace(paper, words=tuple(word for _, word in entry.words) or paper.words)


@dataclass(frozen=True)
class ScoreSheets:
    """All sheets of a scored table, on paper."""

    id: UUID
    name: str
    sittings: int
    sheet: Sheet
    sheets: tuple[ScoreSheet, ...]
    sip_limit_c: str
    calibration: str


@router.get("/tastings/{tasting_id}/paper/scores")
def score_sheets(request: Request, led: Led, seat: int | None = None) -> Response:
    """Show the score sheets of all seats, or of one."""
    return show(request, "paper/scores", _lay_out(led, seat))


def _lay_out(led: LedTasting, seat: int | None) -> ScoreSheets:
    table = led.layout.plan.table
    if table is None:
        raise NotFound("Only a scored table has score sheets.")
    sheet = read_sheet(table.sheet)
    servings = [
        one for one in list_scored(led.layout)
        if one.id not in led.record.struck and seat in (None, one.seat)
    ]  # fmt: skip
    if not servings:
        raise NotFound("There is no such seat.")
    servings.sort(key=lambda one: (one.sitting, one.seat))
    return ScoreSheets(
        led.tasting.id,
        led.tasting.name,
        led.layout.plan.sittings,
        sheet,
        tuple(_fill(led.layout, sheet, one) for one in servings),
        str(table.sip_limit_c),
        table.calibration,
    )


def _fill(layout: Layout, sheet: Sheet, serving: PlannedServing) -> ScoreSheet:
    stands = list_stands(serving)
    spare = any(seat.spare for seat in layout.seats if seat.number == serving.seat)
    codes = tuple(stand.code for stand in stands)
    words = tuple(f"{YOUR_WORD} {number}" for number in range(1, sheet.own_words + 1))
    blocks = list_blocks(add_words(sheet, words), stands, str(serving.id))
    return ScoreSheet(serving.seat, spare, serving.sitting, codes, blocks, sheet.own_words)
