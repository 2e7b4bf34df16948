"""The numbers of a finding in which servings of two kinds are called one or the other."""

from collections.abc import Iterator

from server.reports import labels as shared
from server.reports.analysis import Analysis
from server.reports.display import NO_VALUE, show_d_prime, show_p, show_share
from server.reports.kinds import labels
from server.reports.numbers import (
    NumberLine,
    show_alpha,
    show_answers,
    show_reach,
)
from server.stats.two_rates import score_limits
from server.stats.yes_no import YesNoResult


def list_numbers(analysis: Analysis) -> tuple[NumberLine, ...]:
    """List the numbers of a finding; only the first line if there is none."""
    lines = [show_answers(analysis)]
    if analysis.kinds is not None:
        lines += _show_test(analysis, analysis.kinds)
        lines += _show_distance(analysis, analysis.kinds)
        lines += show_reach(analysis)
    return tuple(lines)


def name_calls(analysis: Analysis) -> tuple[str, str]:
    """Name yes to the first kind of servings, and to the second."""
    first, second = labels.CALLS[analysis.plan.method]
    names = {"a": analysis.samples[0].label, "b": analysis.samples[-1].label}
    return first.format(**names), second.format(**names)


def show_rate(yes: int, answers: int, level: float) -> str:
    """Show a rate with its limits."""
    low, high = score_limits(yes, answers, level)
    return labels.RATE.format(
        yes=yes,
        all=answers,
        share=show_share(yes / answers),
        level=show_share(level),
        low=show_share(low),
        high=show_share(high),
    )


def _line(name: str, value: str, **facts: str) -> NumberLine:
    return NumberLine(name, labels.NUMBERS[name].format(**facts), value.replace("-", "−"))


def _show_test(analysis: Analysis, found: YesNoResult) -> Iterator[NumberLine]:
    rates, calls, p = found.rates, name_calls(analysis), show_p(found.p_value)
    yield _line("correct", f"{analysis.main.correct} of {analysis.main.trials}")
    yield _line("p_value", shared.NOT_PLANNED_P.format(p=p) if analysis.exploratory else p)
    yield show_alpha(analysis)
    hits = show_rate(rates.first_yes, rates.first, found.level)
    yield _line("hits", hits, call=calls[0])
    alarms = show_rate(rates.second_yes, rates.second, found.level)
    yield _line("false_alarms", alarms, call=calls[1])


def _show_distance(analysis: Analysis, found: YesNoResult) -> Iterator[NumberLine]:
    rates, distance = found.rates, found.distance
    yield _line(
        "difference",
        labels.DIFFERENCE.format(
            value=show_share(rates.difference),
            level=show_share(found.level),
            low=show_share(rates.difference_interval.low),
            high=show_share(rates.difference_interval.high),
        ),
    )
    yield _line("d_prime", _show_d_prime(found))
    criterion = distance.criterion
    shown = NO_VALUE
    if criterion is not None:
        shown = labels.CRITERION[analysis.plan.method].format(value=show_d_prime(criterion))
    yield _line("criterion", shown)


def _show_d_prime(found: YesNoResult) -> str:
    low, high = found.distance.d_prime_interval
    return labels.DIFFERENCE.format(
        value=show_d_prime(found.distance.d_prime),
        level=show_share(found.level),
        low=shared.OPEN_LOW if low is None else show_d_prime(low),
        high=shared.OPEN_LIMIT if high is None else show_d_prime(high),
    )
