"""The numbers of a similarity test, among those that every forced-choice test has."""

from collections.abc import Iterator
from dataclasses import replace

from server.reports import numbers
from server.reports.analysis import Analysis
from server.reports.display import NO_VALUE, show_share
from server.reports.few import labels
from server.reports.few.facts import find_declared, say_few
from server.reports.numbers import NumberLine, ReadingLine

OF_A_DIFFERENCE = {"pd_upper", "size", "power_planned", "power_reached", "findable"}
"""Numbers of a test that is to find a difference."""


def list_numbers(analysis: Analysis) -> tuple[NumberLine, ...]:
    """List the numbers; what decides a similarity test comes after the count."""
    shared = [one for one in numbers.list_numbers(analysis) if one.name not in OF_A_DIFFERENCE]
    if analysis.counts is None:
        return tuple(shared)
    return (*shared[:2], *_show_test(analysis), *shared[2:], *_show_passing(analysis))


def list_readings(analysis: Analysis) -> tuple[ReadingLine, ...]:
    """List every way to count, with what it says of the limit."""
    readings = (analysis.main, *analysis.alternatives)
    lines = numbers.list_readings(analysis)
    return tuple(
        replace(line, outcome=labels.OUTCOMES[one.similar])
        for line, one in zip(lines, readings, strict=False)
    )


def _line(name: str, value: str, **facts: str) -> NumberLine:
    return NumberLine(name, labels.NUMBERS[name].format(**facts), value)


def _show_test(analysis: Analysis) -> Iterator[NumberLine]:
    few, declared = analysis.few, find_declared(analysis.plan)
    most = few.most_correct if few else None
    upper = few.upper if few else None
    yield _line("most_correct", labels.NONE_PASSES if most is None else str(most))
    level = show_share(1 - declared.beta)
    yield _line("upper", NO_VALUE if upper is None else show_share(upper), level=level)
    yield _line("limit", say_few("{limit}", analysis))
    yield _line("beta", say_few("{beta}", analysis))


def _show_passing(analysis: Analysis) -> Iterator[NumberLine]:
    yield _line("passes_planned", say_few("{passes_planned}", analysis))
    yield _line("passes_reached", say_few("{passes}", analysis))
