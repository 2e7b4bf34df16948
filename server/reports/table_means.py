"""Means of a scored table's questions, kept with its finding for whoever holds samples together."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from pydantic import TypeAdapter

from server.reports.scored import TableAnalysis
from server.reports.table_grids import name_question
from server.reports.table_verdicts import Standing, list_tests
from server.stats.results import Interval


@dataclass(frozen=True)
class QuestionMeans:
    """The samples in one question that is scored in numbers.

    Attributes
    ----------
    question
        As people read it.
    declared
        Whether it was declared to count.
    standing
        What its test came to: a finding, a lead, nothing, or not tested.
    means
        Sample to its mean.
    reach
        How far two means lie apart before they are told apart, all pairs together; None where
        that is not estimable.
    apart
        Samples that are told apart, as pairs in the order of the samples.
    control, against
        The blind control, where the question is read against it, and how far each sample
        lies from it, with limits for all samples together.
    """

    question: str
    declared: bool
    standing: Standing
    means: dict[str, float | None]
    reach: float | None
    apart: tuple[tuple[str, str], ...]
    control: str = ""
    against: dict[str, tuple[float, float, float]] | None = None

    def is_apart(self, one: str, other: str) -> bool:
        """Tell whether two samples are told apart."""
        return (one, other) in self.apart or (other, one) in self.apart

    def subtract(self, one: str, other: str) -> tuple[float, Interval | None] | None:
        """Return how much higher a sample was scored than another, and limits of that."""
        mine, its = self.means.get(one), self.means.get(other)
        if self.against is not None and other == self.control and one in self.against:
            value, low, high = self.against[one]
            return value, Interval(low, high)
        if mine is None or its is None:
            return None
        value, reach = mine - its, self.reach if self.against is None else None
        return value, None if reach is None else Interval(value - reach, value + reach)


@dataclass(frozen=True)
class TableMeans:
    """What a scored table says of its samples in numbers, and how many people scored."""

    people: int
    questions: tuple[QuestionMeans, ...]


def list_means(analysis: TableAnalysis) -> TableMeans:
    """List the means of all questions that are scored in numbers."""
    return TableMeans(len(analysis.people), tuple(_list_questions(analysis)))


def write_means(analysis: TableAnalysis) -> bytes:
    """Write the means down."""
    return _get_adapter().dump_json(list_means(analysis))


def read_means(text: bytes) -> TableMeans:
    """Read what `write_means` wrote."""
    return _get_adapter().validate_json(text)


def _list_questions(analysis: TableAnalysis) -> Iterator[QuestionMeans]:
    tests = list_tests(analysis)
    for name, one in analysis.numbers.attributes.items() if analysis.numbers else ():
        found, declared = one.samples, name == analysis.primary
        against = _read_control(analysis) if declared else None
        yield QuestionMeans(
            name_question(analysis, name),
            declared,
            tests[name].standing,
            dict(found.means),
            found.hsd,
            tuple(_list_apart(found.letters)) if against is None else _list_off(analysis),
            analysis.control.control if analysis.control and declared else "",
            against,
        )


def _list_apart(letters: Mapping[str, str | None]) -> Iterator[tuple[str, str]]:
    known = [(sample, set(told)) for sample, told in letters.items() if told is not None]
    for place, (one, mine) in enumerate(known):
        yield from ((one, other) for other, its in known[place + 1 :] if not mine & its)


def _read_control(analysis: TableAnalysis) -> dict[str, tuple[float, float, float]] | None:
    if analysis.control is None:
        return None
    return {
        one.sample: (one.difference, one.lower, one.upper)
        for one in analysis.control.samples
        if one.difference is not None and one.lower is not None and one.upper is not None
    }


def _list_off(analysis: TableAnalysis) -> tuple[tuple[str, str], ...]:
    found = analysis.control
    return tuple((found.control, one.sample) for one in found.samples if one.apart) if found else ()


@cache
def _get_adapter() -> TypeAdapter[TableMeans]:
    return TypeAdapter(TableMeans)
