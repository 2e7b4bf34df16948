"""Answers of assessors from a file: one row an assessor, or one row an answer."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import click

from server.cli.rows import BadCell, Row, read_table


@dataclass(frozen=True)
class Answers:
    """One row of the file: an assessor's counts, or one answer."""

    line: int
    assessor: str
    correct: int
    trials: int


def read_counts(file: Path) -> tuple[list[int], list[int]]:
    """Return correct answers and all answers of each assessor, in order of appearance."""
    table = read_table(file, ("assessor", "correct"), optional=("trials",))
    if "trials" in table.columns:
        rows = table.read(_parse_counts)
        _check_once(rows)
    else:
        rows = table.read(_parse_answer)
    correct: dict[str, int] = {}
    trials: dict[str, int] = {}
    for row in rows:
        correct[row.assessor] = correct.get(row.assessor, 0) + row.correct
        trials[row.assessor] = trials.get(row.assessor, 0) + row.trials
    return list(correct.values()), list(trials.values())


def _parse_counts(row: Row) -> Answers:
    correct, trials = row.whole("correct"), row.whole("trials", least=1)
    if correct > trials:
        raise BadCell(f"correct must be at most trials ({trials}), not {correct}")
    return Answers(row.line, row.text("assessor"), correct, trials)


def _parse_answer(row: Row) -> Answers:
    return Answers(row.line, row.text("assessor"), int(row.yes_no("correct")), 1)


def _check_once(rows: Sequence[Answers]) -> None:
    first: dict[str, int] = {}
    for row in rows:
        if row.assessor in first:
            raise click.UsageError(
                f"line {row.line}: assessor {row.assessor!r} stands on "
                f"line {first[row.assessor]} already"
            )
        first[row.assessor] = row.line
