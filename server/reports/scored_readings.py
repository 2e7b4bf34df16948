"""Readings of one scored table: the planned one, and those that count other answers."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from server.blinding.record import Record
from server.reports.counting import (
    Answers,
    count_voided_instead,
    find_contested_answers,
    find_late_answers,
    find_voided_answers,
)
from server.sheets.analysis import Analysis
from server.sheets.samples import Samples, compare_samples
from server.sheets.scores import Score, collect_ratings, group_scores
from server.stats.binomial import reaches


@dataclass(frozen=True)
class TableReading:
    """The question that counts, under one rule of which answers count.

    Attributes
    ----------
    name
        ``planned``, ``contested_first``, ``contested_last``, ``late``, ``voided``, or
        ``without`` somebody.
    who
        Who is left out; or empty.
    answers
        How many sheets count.
    f, df, p_value
        Test of the samples; None if there is none.
    detected
        Whether p reaches the planned level.
    passed
        How many questions have a p that does: all of them, if none was declared.
    """

    name: str
    who: str
    answers: int
    f: float | None
    df: tuple[float, float] | None
    p_value: float | None
    detected: bool
    passed: int


def read_numbers(numbers: Analysis, primary: str, answers: int) -> TableReading:
    """Read the planned analysis itself."""
    tests = {name: one.samples for name, one in numbers.attributes.items()}
    return _read(tests, primary, numbers.alpha, ("planned", "", answers))


def read_p(p: float | None, alpha: float, answers: int, name: str) -> TableReading:
    """Read a question that another test than an analysis of variance decides."""
    detected = p is not None and reaches(p, alpha)
    return TableReading(name, "", answers, None, None, p, detected, int(detected))


def read_scores(
    scores: Sequence[Score], primary: str, alpha: float, answers: int, name: str, who: str = ""
) -> TableReading:
    """Read scores under another rule: the primary question alone, or all if there is none."""
    tests = {
        question: compare_samples(collect_ratings(mine), alpha)[0]
        for question, mine in group_scores(scores).items()
        if primary in ("", question) and any(one.value is not None for one in mine)
    }
    return _read(tests, primary, alpha, (name, who, answers))


def _read(
    tests: Mapping[str, Samples], primary: str, alpha: float, rule: tuple[str, str, int]
) -> TableReading:
    one = tests.get(primary)
    p = one.p_value if one else None
    name, who, answers = rule
    return TableReading(
        name=name,
        who=who,
        answers=answers,
        f=one.f if one else None,
        df=one.df if one else None,
        p_value=p,
        detected=p is not None and p <= alpha,
        passed=sum(x.p_value is not None and x.p_value <= alpha for x in tests.values()),
    )


def list_other_answers(record: Record, standing: Answers) -> Iterator[tuple[str, dict[UUID, Any]]]:
    """Yield every other set of answers that could be counted, where it differs."""
    contested = find_contested_answers(record)
    if contested:
        for place, name in enumerate(("contested_first", "contested_last")):
            changed = {serving: given[place] for serving, given in contested.items()}
            if dict(standing) | changed != standing:
                yield name, dict(standing) | changed
    late = find_late_answers(record)
    if late:
        yield "late", dict(standing) | late
    if find_voided_answers(record):
        yield "voided", count_voided_instead(record, standing)


def leave_out(scores: Sequence[Score], who: Collection[str]) -> list[Score]:
    """Return the scores of all others."""
    return [one for one in scores if one.assessor not in who]


def count_sheets(scored: Mapping[str, int], who: Collection[str]) -> int:
    """Count the sheets of all others."""
    return sum(many for name, many in scored.items() if name not in who)
