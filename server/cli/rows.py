"""Tables typed or exported by people: every bad row is named, and nothing is half-read."""

import csv
import io
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

import click

from server.cli.files import read_file

T = TypeVar("T")
Record = tuple[int, list[str]]  # the line it begins on, its cells
DELIMITERS = (",", ";", "\t")
MOST_NAMED = 5


class BadCell(ValueError):
    """What is wrong with a row, without its line number."""


@dataclass(frozen=True)
class Row:
    """One row of a file, its cells by column."""

    line: int
    cells: dict[str, str]
    decimal_comma: bool = False

    def text(self, column: str) -> str:
        if not self.cells[column]:
            raise BadCell(f"{column} is empty")
        return self.cells[column]

    def number(self, column: str) -> float:
        typed = self.text(column)
        try:
            value = float(typed.replace(",", ".") if self.decimal_comma else typed)
        except ValueError:
            raise BadCell(f"{column} must be a number, not {typed!r}") from None
        if not math.isfinite(value) or "_" in typed:
            raise BadCell(f"{column} must be a number, not {typed!r}")
        return value

    def whole(self, column: str, least: int = 0) -> int:
        typed = self.text(column)
        if not (typed.isascii() and typed.isdigit() and len(typed) <= 9) or int(typed) < least:
            raise BadCell(f"{column} must be a whole number, {least} or more, not {typed!r}")
        return int(typed)

    def yes_no(self, column: str) -> bool:
        typed = self.text(column)
        if typed not in ("0", "1"):
            raise BadCell(f"{column} must be 1 or 0, not {typed!r}")
        return typed == "1"

    def one_of(self, column: str, words: Sequence[str]) -> str:
        typed = self.text(column)
        if typed.lower() not in words:
            raise BadCell(f"{column} must be one of {', '.join(words)}, not {typed!r}")
        return typed.lower()


@dataclass(frozen=True)
class Table:
    """A file with its header."""

    columns: tuple[str, ...]
    rows: tuple[Row, ...]

    def read(self, parse: Callable[[Row], T]) -> list[T]:
        """Return every row parsed; refuse them all if one is bad, naming each bad line."""
        read: list[T] = []
        problems: list[str] = []
        for row in self.rows:
            try:
                read.append(parse(row))
            except BadCell as error:
                problems.append(f"line {row.line}: {error}")
        if problems:
            raise click.UsageError(_tell_problems(problems))
        return read


def read_table(path: Path, *choices: Sequence[str], optional: Sequence[str] = ()) -> Table:
    """Read a CSV file that has all columns of at least one of the choices.

    The first line names the columns, upper and lower case alike; other columns
    are kept under the name they have. The delimiter is the comma, the tab or the
    semicolon; with the last, 0,5 is a number too.
    """
    text = _read_text(path)
    delimiter = _find_delimiter(text)
    (_, header), body = _split(path, text, delimiter)
    ours = {name for choice in choices for name in choice} | set(optional)
    columns = tuple(name.lower() if name.lower() in ours else name for name in header)
    _check_columns(columns, choices)
    return Table(columns, tuple(_build_rows(columns, body, delimiter == ";")))


def _read_text(path: Path) -> str:
    try:
        return read_file(path).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise click.UsageError(f"{path} is not UTF-8 text: {error.reason}") from None


def _find_delimiter(text: str) -> str:
    header = next((line for line in text.splitlines() if line.strip()), "")
    return max(DELIMITERS, key=header.count)


def _split(path: Path, text: str, delimiter: str) -> tuple[Record, list[Record]]:
    """Return the header and the rows that are not blank, each with its line number."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    records: list[Record] = []
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                records.append((begins, [cell.strip() for cell in cells]))
            begins = reader.line_num + 1
    except csv.Error as error:
        raise click.UsageError(f"line {begins}: {error}") from None
    if len(records) < 2:
        raise click.UsageError(f"{path} has no rows: the first line names the columns")
    return records[0], records[1:]


def _check_columns(columns: Sequence[str], choices: Sequence[Sequence[str]]) -> None:
    twice = sorted({name for name in columns if columns.count(name) > 1})
    if twice:
        raise click.UsageError(f"line 1: column {twice[0]!r} stands there twice")
    if not any(set(choice) <= set(columns) for choice in choices):
        needed = " or ".join(", ".join(choice) for choice in choices)
        raise click.UsageError(f"line 1: needs the columns {needed}; found {', '.join(columns)}")


def _build_rows(
    columns: tuple[str, ...], body: Sequence[Record], decimal_comma: bool
) -> Iterator[Row]:
    ragged = [
        f"line {line}: {len(cells)} cells, but the header has {len(columns)}"
        for line, cells in body
        if len(cells) != len(columns)
    ]
    if ragged:
        raise click.UsageError(_tell_problems(ragged))
    for line, cells in body:
        yield Row(line, dict(zip(columns, cells, strict=True)), decimal_comma)


def _tell_problems(problems: Sequence[str]) -> str:
    more = len(problems) - MOST_NAMED
    told = "; ".join(problems[:MOST_NAMED])
    return f"{told}; and {more} more such lines" if more > 0 else told
