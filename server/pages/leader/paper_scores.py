"""Score sheets on paper: one a seat and sitting, with its codes in its own order."""

from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.blinding.sealed import Layout, PlannedServing
from server.blinding.table_stands import Stand, list_scored, list_stands
from server.pages.deps import Led
from server.pages.rendering import show
from server.sheets.cards import read_sheet
from server.sheets.places import Place, list_places
from server.sheets.scales.base import Paper
from server.sheets.scales.tick_all import TickAll
from server.sheets.sheet import Attribute, Sheet
from server.sheets.shuffling import order_attributes, order_words
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound

router = APIRouter()


class Row(NamedTuple):
    """One thing to fill in; ``bowl`` is 0 where there is one cup or one value for all."""

    attribute: Attribute
    bowl: int
    paper: Paper


class Block(NamedTuple):
    """What is asked in one pass of one code; without a code, of the whole table."""

    time: str
    code: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class ScoreSheet:
    """The sheet of a seat in a sitting."""

    seat: int
    spare: bool
    sitting: int
    codes: tuple[str, ...]
    blocks: tuple[Block, ...]
    words: int


@dataclass(frozen=True)
class ScoreSheets:
    """All sheets of a scored table, on paper."""

    id: UUID
    name: str
    sittings: int
    sheet: Sheet
    sheets: tuple[ScoreSheet, ...]
    sip_limit_c: str


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
    )


def _fill(layout: Layout, sheet: Sheet, serving: PlannedServing) -> ScoreSheet:
    seed, stands = str(serving.id), list_stands(serving)
    mine = sheet.model_copy(update={"attributes": order_attributes(sheet, seed)})
    spare = any(seat.spare for seat in layout.seats if seat.number == serving.seat)
    codes = tuple(stand.code for stand in stands)
    blocks = _list_blocks(mine, stands, seed)
    return ScoreSheet(serving.seat, spare, serving.sitting, codes, blocks, sheet.own_words)


def _list_blocks(sheet: Sheet, stands: tuple[Stand, ...], seed: str) -> tuple[Block, ...]:
    def read_row(place: Place) -> Row:
        attribute = sheet.find_attribute(place.attribute)
        assert attribute is not None
        return Row(attribute, place.bowl, find_paper(attribute, seed))

    places = groupby(list_places(sheet, stands), key=lambda one: (one.time, one.code))
    return tuple(
        Block(time, code, tuple(read_row(one) for one in group)) for (time, code), group in places
    )


def find_paper(attribute: Attribute, seed: str) -> Paper:
    """Return how an attribute looks on a seat's paper: words to tick in the seat's order."""
    paper = attribute.scale.paper
    if not isinstance(attribute.scale, TickAll):
        return paper
    words = tuple(word for _, word in order_words(attribute, seed))
    return Paper(paper.shape, words, paper.several, paper.millimetres, paper.choices)
