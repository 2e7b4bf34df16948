"""Files of scores: a score a line or a sheet a line, every bad line named."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from server.cli.rows import BadCell, Row, Table, read_table

if TYPE_CHECKING:
    from server.sheets.scores import Score

WHOSE = ("assessor", "sample")
LONG = (*WHOSE, "attribute", "value")
REPEATS = ("replicate", "cup", "sitting")  # what tells scores of one cell apart
OPTIONAL = (*REPEATS, "position")
MOST_NAMED = 5


class Line(NamedTuple):
    """The scores of one line, and what no other line may have as well."""

    number: int
    key: tuple[str, ...]
    scores: "tuple[Score, ...]"


@dataclass(frozen=True)
class Layout:
    """Where in a file what stands."""

    attributes: tuple[str, ...]  # a column each; none if every line names its own
    bowls: str | None
    keys: tuple[str, ...]  # columns that no two lines have alike; none if they may

    def read(self, row: Row) -> Line:
        from server.sheets.scores import Score  # statistics load when they are asked for

        assessor, sample = row.text("assessor"), row.text("sample")
        bowl = row.text(self.bowls) if self.bowls else None
        position = row.whole("position", least=1) if row.cells.get("position") else None
        sitting = row.cells.get("sitting") or None
        found = tuple(
            Score(assessor, sample, name, value, bowl, position, sitting)
            for name, value in self._read_values(row)
        )
        return Line(row.line, tuple(row.cells[name] for name in self.keys), found)

    def _read_values(self, row: Row) -> Iterator[tuple[str, float | None]]:
        if not self.attributes:
            yield row.text("attribute"), _read_value(row, "value")
        for name in self.attributes:
            yield name, _read_value(row, name)


def read_scores(file: Path, shared_bowls: str | None = None) -> "list[Score]":
    """Read a panel's scores; an empty cell is a missing value.

    `shared_bowls` names the column of the bowl that several assessors tasted from.
    """
    bowls = None if shared_bowls is None else shared_bowls.strip().lower()
    ours = (*LONG, *OPTIONAL, *((bowls,) if bowls else ()))
    table = read_table(file, WHOSE, optional=ours)
    layout = _find_layout(table, bowls)
    lines = table.read(layout.read)
    _refuse_repeats(lines, layout.keys)
    return [score for line in lines for score in line.scores]


def _find_layout(table: Table, bowls: str | None) -> Layout:
    columns = set(table.columns)
    if bowls is not None and (bowls not in columns or bowls in LONG):
        others = ", ".join(name for name in table.columns if name not in LONG)
        raise click.UsageError(f"--shared-bowls must be one of the columns {others}, not {bowls!r}")
    keys = [name for name in REPEATS if name in columns]
    if keys:
        keys = [*keys, bowls] if bowls and bowls not in keys else keys
    if set(LONG) <= columns:
        return Layout((), bowls, (*LONG[:3], *keys) if keys else ())
    if "attribute" in columns:
        raise click.UsageError(f"line 1: needs the columns {', '.join(LONG)}; 'value' is missing")
    attributes = tuple(name for name in table.columns if name not in (*WHOSE, *OPTIONAL, bowls))
    if not attributes or "" in attributes:
        missing = "a column has no name" if attributes else "no column is left for an attribute"
        raise click.UsageError(f"line 1: {missing}")
    return Layout(attributes, bowls, (*WHOSE, *keys) if keys else ())


def _read_value(row: Row, column: str) -> float | None:
    if not row.cells[column]:
        return None
    try:
        return row.number(column)
    except BadCell as error:
        raise BadCell(f"{error}; leave the cell of a missing value empty") from None


def _refuse_repeats(lines: Sequence[Line], keys: Sequence[str]) -> None:
    seen: dict[tuple[str, ...], int] = {}
    problems = [
        f"lines {seen[line.key]} and {line.number}: the same {', '.join(keys)} "
        f"({', '.join(line.key)})"
        for line in lines
        if keys and seen.setdefault(line.key, line.number) != line.number
    ]
    if problems:
        more = len(problems) - MOST_NAMED
        told = "; ".join(problems[:MOST_NAMED])
        raise click.UsageError(f"{told}; and {more} more such lines" if more > 0 else told)
