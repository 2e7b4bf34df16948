"""All that is shown of a scored table, worked out once and written down as JSON."""

import json
from dataclasses import dataclass
from functools import cache

from pydantic import TypeAdapter

from server.reports.scored import TableAnalysis
from server.reports.table_beliefs import Beliefs, show_beliefs
from server.reports.table_exports import report_table
from server.reports.table_feedback import Feedback, give_feedback
from server.reports.table_figures.maps import Map
from server.reports.table_figures.pictures import (
    TOOLS,
    Figure,
    describe_figure,
    draw_figure,
    tabulate_figure,
)
from server.reports.table_figures.shown import Numbers
from server.reports.table_figures.themes import ThemeName
from server.reports.table_findings import TableFinding, conclude_table
from server.reports.table_grid import Grid
from server.reports.table_grids import list_grids, show_notes
from server.reports.table_pictures import Picture, list_pictures


@dataclass(frozen=True)
class Card:
    """A figure on a page.

    Attributes
    ----------
    name
        In its address.
    title, words
        What it is, and what it shows for those who cannot see it.
    drawn
        Whether there is a picture; otherwise ``words`` say why not.
    further
        Whether it stands among the further analyses.
    numbers
        The same as a table.
    """

    name: str
    title: str
    words: str
    drawn: bool
    further: bool
    numbers: Numbers


@dataclass(frozen=True)
class TablePage:
    """A finding with its figures and tables; every member is ready to print."""

    finding: TableFinding
    cards: tuple[Card, ...]
    grids: tuple[Grid, ...]
    notes: Grid
    beliefs: Beliefs


def build_page(analysis: TableAnalysis, pictures: tuple[Picture, ...]) -> TablePage:
    """Build what is shown."""
    return TablePage(
        conclude_table(analysis),
        tuple(map(_build_card, pictures)),
        list_grids(analysis),
        show_notes(analysis),
        show_beliefs(analysis),
    )


def _build_card(one: Picture) -> Card:
    drawn = not (isinstance(one.data, Map) and one.data.reason)
    words, numbers = describe_figure(one.data), tabulate_figure(one.data)
    return Card(one.name, one.title, words, drawn, one.further, numbers)


def write_parts(analysis: TableAnalysis) -> dict[str, bytes]:
    """Write down the page, the data of every figure, and the whole as one report."""
    pictures = list_pictures(analysis)
    page = build_page(analysis, pictures)
    parts = {"page": _get_page_adapter().dump_json(page)}
    for one in pictures:
        data = json.loads(TypeAdapter(type(one.data)).dump_json(one.data))
        parts[f"figure/{one.name}"] = json.dumps([type(one.data).__name__, data]).encode()
    parts["feedback"] = _get_feedback_adapter().dump_json(give_feedback(analysis))
    report = report_table(analysis)
    parts["report"] = json.dumps(report, allow_nan=False, ensure_ascii=False).encode()
    return parts


def read_page(text: bytes) -> TablePage:
    """Read what `write_parts` wrote of the page."""
    return _get_page_adapter().validate_json(text)


def read_feedback(text: bytes) -> dict[int, Feedback]:
    """Read what `write_parts` wrote for the assessors, by seat."""
    return _get_feedback_adapter().validate_json(text)


def draw_part(text: bytes, theme: ThemeName) -> bytes:
    """Draw a figure from what `write_parts` wrote of it."""
    name, data = json.loads(text)
    kind = next(one for one in TOOLS if one.__name__ == name)
    figure: Figure = TypeAdapter(kind).validate_json(json.dumps(data))
    return draw_figure(figure, theme)


@cache
def _get_page_adapter() -> TypeAdapter[TablePage]:
    return TypeAdapter(TablePage)


@cache
def _get_feedback_adapter() -> TypeAdapter[dict[int, Feedback]]:
    return TypeAdapter(dict[int, Feedback])
