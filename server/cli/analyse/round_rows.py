"""Answers in the order of answering from a file, and where its rounds ended."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

import click

from server.cli.rows import BadCell, Row, Table, read_table

ROUND_COLUMNS = ("round", "block")


@dataclass(frozen=True)
class Answer:
    """One row of the file."""

    line: int
    correct: int
    round: str


@dataclass(frozen=True)
class RoundAnswers:
    """All answers of a test.

    `looks` says after how many answers a round was complete; None if the file
    names no rounds. `short` are the names of complete rounds that lost answers.
    """

    correct: tuple[int, ...]
    block: int
    looks: tuple[int, ...] | None
    short: tuple[str, ...]


def read_rounds(file: Path, block: int | None) -> RoundAnswers:
    """Return the answers of a file, a complete round being `block` answers.

    Without `block` it is as many as the first round of the file has, and one
    answer where the file names no rounds. The last round is complete only if it
    has that many; one before it is, though it may have lost answers.
    """
    if block is not None and block < 1:
        raise click.UsageError(f"block must be 1 or more, not {block}")
    table = read_table(file, ("correct",), optional=ROUND_COLUMNS)
    column = _find_column(table)
    answers = table.read(lambda row: _parse(row, column))
    correct = tuple(answer.correct for answer in answers)
    if column is None:
        return RoundAnswers(correct, 1 if block is None else block, None, ())
    rounds = [list(group) for _, group in groupby(answers, key=lambda answer: answer.round)]
    _check_once(rounds, column)
    size = len(rounds[0]) if block is None else block
    _check_sizes(rounds, size, column)
    return RoundAnswers(correct, size, *_find_looks(rounds, size))


def _find_column(table: Table) -> str | None:
    found = [name for name in ROUND_COLUMNS if name in table.columns]
    if len(found) > 1:
        raise click.UsageError("line 1: has both a column round and a column block; keep one")
    return found[0] if found else None


def _parse(row: Row, column: str | None) -> Answer:
    try:
        name = "" if column is None else row.text(column)
    except BadCell as error:
        raise BadCell(f"{error}; every answer belongs to one") from None
    return Answer(row.line, int(row.yes_no("correct")), name)


def _check_once(rounds: Sequence[Sequence[Answer]], column: str) -> None:
    ended: dict[str, int] = {}
    for answers in rounds:
        first = answers[0]
        if first.round in ended:
            raise click.UsageError(
                f"line {first.line}: {column} {first.round!r} had ended on line "
                f"{ended[first.round]}; answers go in the order of answering"
            )
        ended[first.round] = answers[-1].line


def _check_sizes(rounds: Sequence[Sequence[Answer]], size: int, column: str) -> None:
    for answers in rounds:
        if len(answers) > size:
            beyond = answers[size]
            raise click.UsageError(
                f"line {beyond.line}: {column} {beyond.round!r} has {len(answers)} answers, "
                f"more than the {size} of a complete one; see --block"
            )


def _find_looks(
    rounds: Sequence[Sequence[Answer]], size: int
) -> tuple[tuple[int, ...], tuple[str, ...]]:
    """Return after how many answers rounds were complete, and which had lost some."""
    looks: list[int] = []
    short: list[str] = []
    trials = 0
    for number, answers in enumerate(rounds, start=1):
        trials += len(answers)
        if len(answers) == size:
            looks.append(trials)
        elif number < len(rounds):
            looks.append(trials)
            short.append(answers[0].round)
    return tuple(looks), tuple(short)
