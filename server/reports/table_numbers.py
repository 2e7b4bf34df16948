"""The numbers of a scored table's finding, and every way to count it."""

from collections.abc import Iterator

from server.reports import table_words as words
from server.reports.display import NO_VALUE, show_count, show_p, show_share
from server.reports.numbers import NumberLine, ReadingLine
from server.reports.scored import TableAnalysis
from server.reports.scored_readings import TableReading
from server.reports.table_calibration import say_open_bowls
from server.reports.table_figures.shown import show_value
from server.reports.table_grids import name_question
from server.reports.table_method_words import METHODS
from server.reports.table_names import show_points
from server.reports.table_orders import (
    find_declared_order,
    find_least,
    find_least_of_pair,
    name_test,
)
from server.reports.table_verdicts import find_declared


def list_table_numbers(analysis: TableAnalysis) -> tuple[NumberLine, ...]:
    """List the numbers of a finding."""
    return tuple(NumberLine(name, words.NUMBERS[name], value) for name, value in _list(analysis))


def _list(analysis: TableAnalysis) -> Iterator[tuple[str, str]]:
    declared = find_declared(analysis)
    yield "declared", name_question(analysis, declared) if declared else words.NONE_DECLARED
    if own := list(_list_own(analysis)):
        yield from own
    elif analysis.numbers is not None and analysis.primary in analysis.numbers.attributes:
        one = analysis.numbers.attributes[analysis.primary].samples
        yield "p", _show(one.p_value)
        yield "f", _show_f(one.f, one.df)
        yield "method", words.METHODS[_name_method(analysis, one.method)]
        if one.interaction is not None:
            yield "interaction", show_p(one.interaction.p_value)
    counted = {"answered": analysis.answered, "planned": analysis.planned}
    yield "sheets", words.COUNTED_OF.format(**counted)
    yield "people", str(len(analysis.people))
    yield "samples", str(len(analysis.samples))
    missing = analysis.missing.required + analysis.missing.optional
    yield "missing", words.COUNTED_OF.format(answered=missing, planned=analysis.missing.places)
    if analysis.open_bowls is not None:
        yield "open_bowl", say_open_bowls(analysis.open_bowls)


def _list_own(analysis: TableAnalysis) -> Iterator[tuple[str, str]]:
    """Yield the numbers of a test that is no analysis of variance."""
    control, order = analysis.control, find_declared_order(analysis)
    if control is not None:
        yield "p", _show(control.p_value)
        yield "control", show_points(control.base)
        yield "method", METHODS["control"]
    elif order is not None:
        yield "p", _show(order.p_value)
        yield "method", name_test(order)
        if order.complete is not None:
            yield "least", _show_gap(find_least(order.complete))
            yield "least_pair", _show_gap(find_least_of_pair(order.complete))


def _show(p: float | None) -> str:
    return NO_VALUE if p is None else show_p(p)


def _show_gap(gap: float | None) -> str:
    return NO_VALUE if gap is None else f"{gap:g}"


def _name_method(analysis: TableAnalysis, method: str) -> str:
    mine = (one for one in analysis.scores if one.attribute == analysis.primary)
    return "bowls" if method == "reml" and any(one.bowl for one in mine) else method


def _show_f(f: float | None, df: tuple[float, float] | None) -> str:
    if f is None or df is None:
        return NO_VALUE
    one, other = (f"{round(value, 1):g}" for value in df)
    return words.FREEDOM.format(f=show_value(f), one=one, other=other)


def list_table_readings(analysis: TableAnalysis) -> tuple[ReadingLine, ...]:
    """List every way to count; none if there is one only."""
    readings = analysis.readings
    return tuple(_read(analysis, one) for one in readings) if len(readings) > 1 else ()


def _read(analysis: TableAnalysis, one: TableReading) -> ReadingLine:
    alpha = show_share(analysis.alpha)
    outcome = words.REACHED[one.detected].format(alpha=alpha)
    if not analysis.primary and find_declared_order(analysis) is None:
        outcome = words.READ_LEADS.format(passed=one.passed, alpha=alpha)
    return ReadingLine(
        name=one.name,
        label=words.READINGS[one.name].format(who=one.who),
        counted=show_count(one.answers, "sheet"),
        p=_show(one.p_value),
        outcome=outcome,
    )
