"""Every value of a scored table as rows for a spreadsheet, one value a row."""

import csv
import io
from collections.abc import Iterator

from server.reports.scored import TableAnalysis
from server.reports.scored_answers import SeatTable
from server.sheets.sheet import Attribute, add_words
from server.sheets.values import Value

HEAD = (
    "assessor", "sitting", "place", "code", "bowl", "brew", "sample", "label",
    "question", "pass", "answer", "number", "minutes",
)  # fmt: skip
FORMULA = ("=", "+", "-", "@", "\t", "\r")


def write_rows(analysis: TableAnalysis) -> bytes:
    """Write the values that count, with what stood under their codes.

    Text that a spreadsheet would take for a formula gets an apostrophe before it.
    """
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow(HEAD)
    writer.writerows(row for table in analysis.tables for row in _list_rows(analysis, table))
    return file.getvalue().encode()


def _list_rows(analysis: TableAnalysis, table: SeatTable) -> Iterator[tuple[str, ...]]:
    mine = add_words(analysis.sheet, table.answer.words)
    attributes = {one.name: one for one in mine.attributes}
    for value in table.answer.values:
        yield _make_row(analysis, table, value, attributes[value.attribute])


def _make_row(
    analysis: TableAnalysis, table: SeatTable, value: Value, attribute: Attribute
) -> tuple[str, ...]:
    truth = table.filled.key.get((value.code, value.bowl))
    number = attribute.scale.to_number(value.value)
    sample = truth.sample if truth else ""
    return (
        table.assessor,
        str(table.sitting),
        str(truth.position) if truth else "",
        value.code,
        str(value.bowl or ""),
        table.pots.get((value.code, value.bowl), ""),
        sample,
        _disarm(analysis.label(sample)),
        _disarm(attribute.label),
        value.time,
        _disarm(attribute.scale.describe(value.value)),
        "" if number is None else f"{number:g}",
        "" if value.minutes is None else f"{value.minutes:g}",
    )


def _disarm(text: str) -> str:
    return f"'{text}" if text.startswith(FORMULA) else text
