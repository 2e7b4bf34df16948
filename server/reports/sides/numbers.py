"""The numbers of a finding in which either sample may be chosen more often."""

from collections.abc import Iterator

from server.methods.registry import get_method
from server.methods.traits import asks_for_liking
from server.reports import labels as shared
from server.reports.analysis import Analysis
from server.reports.display import NO_VALUE, show_d_prime, show_p, show_share
from server.reports.facts import find_lead
from server.reports.numbers import (
    NumberLine,
    ReadingLine,
    show_alpha,
    show_answers,
    show_background,
    show_limits,
    show_powers,
)
from server.reports.reach import GOOD_POWER
from server.reports.readings import Reading
from server.reports.sides import labels
from server.stats.counts import CountsResult
from server.stats.results import Interval


def list_numbers(analysis: Analysis) -> tuple[NumberLine, ...]:
    """List the numbers of a finding; only the first line if there is none."""
    lines = [show_answers(analysis)]
    if analysis.counts is not None:
        lines += _show_test(analysis, analysis.counts)
        lines += _show_estimates(analysis, analysis.counts)
        lines += _show_reach(analysis)
    return tuple(lines)


def list_readings(analysis: Analysis) -> tuple[ReadingLine, ...]:
    """List every way to count if there is more than the planned one."""
    readings = (analysis.main, *analysis.alternatives) if analysis.alternatives else ()
    return tuple(
        ReadingLine(
            one.name,
            _name_reading(analysis, one),
            _count(analysis, one),
            shared.NO_P if one.p_value is None else show_p(one.p_value),
            shared.REACHES[one.detected],
        )
        for one in readings
    )


def find_share_limits(analysis: Analysis) -> Interval | None:
    """Return the limits of the share of answers for the sample that is ahead."""
    counts = analysis.counts
    if counts is None:
        return None
    low, high = counts.pc_interval
    return Interval(low, high) if _is_b_ahead(analysis) else Interval(1 - high, 1 - low)


def find_size(analysis: Analysis) -> float:
    """Return the size that matters as the share of answers for one sample."""
    return (1 + analysis.reach.size_share) / 2


def show_size(analysis: Analysis) -> str:
    """Show the size that matters, as the share of answers for one sample."""
    return show_share(find_size(analysis))


def show_even_split(analysis: Analysis) -> str:
    """Show how many answers each sample has if they are split evenly."""
    return f"{analysis.main.trials / 2:.1f}".removesuffix(".0")


def show_critical(counts: CountsResult) -> str:
    """Show how many answers for one sample show a lean."""
    if counts.critical is None:
        return shared.NONE_NEEDED
    return labels.say_needed(counts.critical, counts.trials)


def _is_b_ahead(analysis: Analysis) -> bool:
    return 2 * analysis.main.correct >= analysis.main.trials


def _line(name: str, value: str, **facts: str) -> NumberLine:
    return NumberLine(name, labels.NUMBERS[name].format(**facts), value)


def _show_test(analysis: Analysis, counts: CountsResult) -> Iterator[NumberLine]:
    lead, p = find_lead(analysis), show_p(counts.p_value)
    yield _line("correct", f"{lead.count} of {counts.trials}", lead=lead.ahead)
    yield _line("expected", show_even_split(analysis))
    yield _line("critical", show_critical(counts))
    yield _line("p_value", shared.NOT_PLANNED_P.format(p=p) if analysis.exploratory else p)
    yield show_alpha(analysis)
    policy = analysis.plan.no_preference
    if policy in labels.POLICIES:
        count = str(analysis.main.neither)
        yield _line("neither", labels.POLICIES[policy].format(count=count))


def _show_estimates(analysis: Analysis, counts: CountsResult) -> Iterator[NumberLine]:
    lead, limits = find_lead(analysis), find_share_limits(analysis)
    share = show_limits(show_share, lead.count / counts.trials, limits, counts)
    yield _line("pc", share, lead=lead.ahead)
    if not asks_for_liking(get_method(analysis.plan.method)):
        d_prime = show_limits(show_d_prime, counts.d_prime, counts.d_prime_interval, counts)
        yield _line("d_prime", d_prime)


def _show_reach(analysis: Analysis) -> Iterator[NumberLine]:
    reach = analysis.reach
    size = labels.SIZE.format(share=show_size(analysis))
    if reach.size_d_prime is not None:
        size = labels.WITH_D_PRIME.format(size=size, d=show_d_prime(reach.size_d_prime))
    yield _line("size", size)
    yield from show_powers(analysis)
    share = reach.findable_share
    findable = NO_VALUE if share is None else show_share((1 + share) / 2)
    yield _line("findable", findable, power=show_share(GOOD_POWER))
    yield from show_background(analysis)
    yield from _show_notes(analysis)


def _show_notes(analysis: Analysis) -> Iterator[NumberLine]:
    guesses, cues = analysis.guesses.guesses, analysis.cues
    if not asks_for_liking(get_method(analysis.plan.method)):
        yield _line("guesses", str(guesses) if guesses else shared.NONE_MARKED)
    if cues.asked:
        named = labels.CUES.format(named=len(cues.named), asked=cues.asked)
        none = shared.NO_CUES.format(asked=cues.asked)
        yield _line("cues", named if cues.named else none)


def _name_reading(analysis: Analysis, reading: Reading) -> str:
    a, b = analysis.samples[0].label, analysis.samples[-1].label
    return labels.READINGS.get(reading.name, shared.READINGS[reading.name]).format(a=a, b=b)


def _count(analysis: Analysis, reading: Reading) -> str:
    """Show how often a reading chose the sample that is ahead in the planned one."""
    k = reading.correct if _is_b_ahead(analysis) else reading.trials - reading.correct
    return labels.COUNTED.format(k=k, n=reading.trials, lead=find_lead(analysis).ahead)
