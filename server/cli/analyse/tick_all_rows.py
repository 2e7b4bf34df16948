"""Files of ticked words: a cup a line or a word a line, every bad line named."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

import click

from server.cli.rows import Row, Table, read_table

CUP = ("assessor", "sample")
LONG = (*CUP, "word", "ticked")
MOST_NAMED = 5


class Tick(NamedTuple):
    """One answer by one word, and its line."""

    line: int
    assessor: str
    sample: str
    word: str
    ticked: bool


def read_ticks(file: Path) -> dict[tuple[str, str, str], bool]:
    """Read who ticked what for which sample, by assessor, sample and word.

    An empty cell is a missing answer and has no entry.
    """
    table = read_table(file, LONG, CUP, optional=LONG)
    half = [name for name in LONG[2:] if name in table.columns]
    if len(half) == 1 or set(table.columns) == set(CUP):
        raise click.UsageError(
            f"line 1: needs the columns {', '.join(LONG)}, or {', '.join(CUP)} and one for every "
            f"word; found {', '.join(table.columns)}"
        )
    ticks = _read_long(table) if half else _read_wide(table)
    answers = _gather(ticks)
    samples = {sample for _, sample, _ in answers}
    if len(samples) < 2:
        raise click.UsageError(f"{file} has {len(samples)} samples: two or more are needed")
    return answers


def _read_long(table: Table) -> list[Tick]:
    def parse(row: Row) -> list[Tick]:
        return list(_take(row, row.text("word"), "ticked"))

    return _join(table.read(parse))


def _read_wide(table: Table) -> list[Tick]:
    words = [name for name in table.columns if name not in CUP]
    _refuse_twice((row.line, (row.cells["assessor"], row.cells["sample"])) for row in table.rows)

    def parse(row: Row) -> list[Tick]:
        return [tick for word in words for tick in _take(row, word, word)]

    return _join(table.read(parse))


def _take(row: Row, word: str, column: str) -> Iterator[Tick]:
    assessor, sample = row.text("assessor"), row.text("sample")
    if row.cells[column]:
        yield Tick(row.line, assessor, sample, word, row.yes_no(column))


def _join(read: Iterable[list[Tick]]) -> list[Tick]:
    return [tick for ticks in read for tick in ticks]


def _gather(ticks: list[Tick]) -> dict[tuple[str, str, str], bool]:
    _refuse_twice((one.line, (one.assessor, one.sample, one.word)) for one in ticks)
    return {(one.assessor, one.sample, one.word): one.ticked for one in ticks}


def _refuse_twice(answers: Iterable[tuple[int, tuple[str, ...]]]) -> None:
    seen: dict[tuple[str, ...], int] = {}
    problems = []
    for line, key in answers:
        first = seen.setdefault(key, line)
        if first != line:
            what = ", ".join(key[1:])
            problems.append(f"lines {first} and {line}: {key[0]} answers on {what} twice")
    if problems:
        more = len(problems) - MOST_NAMED
        told = "; ".join(problems[:MOST_NAMED])
        raise click.UsageError(f"{told}; and {more} more such lines" if more > 0 else told)
