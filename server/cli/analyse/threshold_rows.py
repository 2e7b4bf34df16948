"""Files of answers along a series of concentrations."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from server.cli.rows import BadCell, Row, Table, read_table

if TYPE_CHECKING:
    from server.stats.series import Answer

BY_ANSWER = ("assessor", "concentration", "correct")
BY_STEP = ("concentration", "correct", "trials")


@dataclass(frozen=True)
class SeriesFile:
    """What a file holds; only rows that name their assessor tell of single people."""

    answers: "tuple[Answer, ...]"
    by_assessor: bool


def read_series(path: Path) -> SeriesFile:
    """Read answers, one row each, or counts, one row a concentration."""
    table = read_table(path, BY_ANSWER, BY_STEP)
    answers = table.read(_parse)
    by_assessor = "assessor" in table.columns
    if not by_assessor:
        _refuse_repeats(table, answers)
    return SeriesFile(tuple(answers), by_assessor)


def _parse(row: Row) -> "Answer":
    from server.stats.series import Answer

    assessor = row.text("assessor") if "assessor" in row.cells else ""
    concentration = _read_concentration(row)
    if "trials" not in row.cells:
        return Answer(assessor, concentration, int(row.yes_no("correct")))
    correct, trials = row.whole("correct"), row.whole("trials", least=1)
    if correct > trials:
        raise BadCell(f"correct must be at most trials ({trials}), not {correct}")
    return Answer(assessor, concentration, correct, trials)


def _read_concentration(row: Row) -> float:
    from server.stats.series import check_concentration

    concentration = row.number("concentration")
    if concentration == 0:
        raise BadCell("concentration must be above 0; leave blanks without any of it out")
    try:
        check_concentration(concentration)
    except ValueError as error:
        raise BadCell(str(error)) from error
    return concentration


def _refuse_repeats(table: Table, answers: "Sequence[Answer]") -> None:
    lines: dict[float, int] = {}
    for row, answer in zip(table.rows, answers, strict=True):
        if answer.concentration in lines:
            raise click.UsageError(
                f"line {row.line}: concentration {answer.concentration:g} stands in line "
                f"{lines[answer.concentration]} already"
            )
        lines[answer.concentration] = row.line
