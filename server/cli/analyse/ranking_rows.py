"""Files of rankings: a rank a line or an assessor a line, every gap named by its line."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from server.cli.rows import BadCell, Row, Table, read_table

if TYPE_CHECKING:
    from server.stats.rankings import Rankings

LONG = ("assessor", "sample", "rank")
MOST_NAMED = 5


class Ranked(NamedTuple):
    """One assessor's ranks by sample, and the line they begin on."""

    assessor: str
    line: int
    ranks: dict[str, float]


class Mark(NamedTuple):
    """One rank that an assessor gave, and its line."""

    line: int
    assessor: str
    sample: str
    rank: float


def read_rankings(file: Path) -> "Rankings":
    """Read a panel's rankings, a rank a line or an assessor a line; refuse incomplete ones."""
    from server.stats.rankings import build_rankings

    table = read_table(file, LONG, ("assessor",), optional=LONG)
    half = [name for name in LONG[1:] if name in table.columns]
    if len(half) == 1:
        raise click.UsageError(
            f"line 1: needs the columns {', '.join(LONG)}, or assessor and one for every "
            f"sample; found {', '.join(table.columns)}"
        )
    ranked = _gather(table) if half else _read_wide(table)
    samples = list(dict.fromkeys(name for one in ranked for name in one.ranks))
    if len(samples) < 2:
        raise click.UsageError(f"{file} ranks {len(samples)} samples: two or more are needed")
    _refuse(_find_gaps(ranked, samples))
    return build_rankings(
        [[one.ranks[name] for name in samples] for one in ranked],
        samples,
        [one.assessor for one in ranked],
    )


def _read_wide(table: Table) -> list[Ranked]:
    samples = [name for name in table.columns if name != "assessor"]

    def parse(row: Row) -> Ranked:
        return Ranked(
            row.text("assessor"), row.line, {name: _read_rank(row, name) for name in samples}
        )

    ranked = table.read(parse)
    seen: dict[str, int] = {}
    problems = [
        f"lines {seen[one.assessor]} and {one.line}: {one.assessor} ranks twice"
        for one in ranked
        if seen.setdefault(one.assessor, one.line) != one.line
    ]
    _refuse(problems)
    return ranked


def _gather(table: Table) -> list[Ranked]:
    """Put the ranks of a table with a rank a line together, assessor by assessor."""

    def parse(row: Row) -> Mark:
        return Mark(row.line, row.text("assessor"), row.text("sample"), _read_rank(row, "rank"))

    ranked: dict[str, Ranked] = {}
    seen: dict[tuple[str, str], int] = {}
    problems = []
    for line, assessor, sample, rank in table.read(parse):
        first = seen.setdefault((assessor, sample), line)
        if first != line:
            problems.append(f"lines {first} and {line}: {assessor} ranks {sample} twice")
        ranked.setdefault(assessor, Ranked(assessor, line, {})).ranks[sample] = rank
    _refuse(problems)
    return list(ranked.values())


def _read_rank(row: Row, column: str) -> float:
    rank = row.number(column)
    if rank < 1 or 2 * rank != int(2 * rank):
        raise BadCell(f"{column} must be a rank, 1 or more, or half way, not {row.text(column)!r}")
    return rank


def _find_gaps(ranked: Sequence[Ranked], samples: Sequence[str]) -> list[str]:
    """Return what keeps each assessor's ranks from being a ranking of all samples."""
    from server.stats.rankings import check_ranking

    problems = []
    for one in ranked:
        missing = [name for name in samples if name not in one.ranks]
        if missing:
            problems.append(f"line {one.line}: {one.assessor} has no rank of {', '.join(missing)}")
            continue
        try:
            check_ranking(list(one.ranks.values()))
        except ValueError as error:
            problems.append(f"line {one.line}: {one.assessor}: {error}")
    return problems


def _refuse(problems: Sequence[str]) -> None:
    if problems:
        more = len(problems) - MOST_NAMED
        told = "; ".join(problems[:MOST_NAMED])
        raise click.UsageError(f"{told}; and {more} more such lines" if more > 0 else told)
