"""The numbers of a finding as lines of label and value, ready to print."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from server.methods.asked import find_model
from server.methods.registry import get_method
from server.reports import labels
from server.reports.analysis import Analysis, People
from server.reports.display import (
    NO_VALUE,
    show_count,
    show_d_prime,
    show_number,
    show_p,
    show_range,
    show_share,
)
from server.reports.facts import fill, is_one_answer_each
from server.reports.limits import say_brews
from server.reports.reach import GOOD_POWER
from server.reports.relief_words import say_relief
from server.stats.counts import CountsResult
from server.stats.results import Interval


@dataclass(frozen=True)
class NumberLine:
    """One number: a stable name, its label and its value as text."""

    name: str
    label: str
    value: str


@dataclass(frozen=True)
class ReadingLine:
    """One way to count: its label, k of n, p, and whether it reaches the planned level."""

    name: str
    label: str
    counted: str
    p: str
    outcome: str


def list_numbers(analysis: Analysis) -> tuple[NumberLine, ...]:
    """List the numbers of a finding; only the first line if there is none."""
    lines = [show_answers(analysis)]
    if analysis.counts is not None:
        lines += _show_test(analysis, analysis.counts)
        lines += _show_estimates(analysis, analysis.counts)
        lines += _show_controls(analysis, analysis.counts)
        lines += show_reach(analysis)
    return tuple(lines)


def show_answers_only(analysis: Analysis) -> tuple[NumberLine, ...]:
    """List only how many answers are on record, for a tasting that has no finding."""
    return (show_answers(analysis),)


def list_readings(analysis: Analysis) -> tuple[ReadingLine, ...]:
    """List every way to count if there is more than the planned one."""
    readings = (analysis.main, *analysis.alternatives) if analysis.alternatives else ()
    return tuple(
        ReadingLine(
            one.name,
            labels.READINGS[one.name],
            f"{one.correct} of {one.trials}",
            labels.NO_P if one.p_value is None else show_p(one.p_value),
            labels.REACHES[one.detected],
        )
        for one in readings
    )


def _line(name: str, value: str, **facts: str) -> NumberLine:
    return NumberLine(name, labels.NUMBERS[name].format(**facts), value)


def show_answers(analysis: Analysis) -> NumberLine:
    """Show how many of the planned answers count."""
    return _line("answers", f"{analysis.main.trials} of {analysis.reach.planned}")


def _show_test(analysis: Analysis, counts: CountsResult) -> Iterator[NumberLine]:
    p = show_p(counts.p_value)
    yield _line("correct", f"{counts.correct} of {counts.trials}")
    chance = show_share(counts.chance)
    yield _line("expected", fill(labels.EXPECTED, analysis, chance=chance))
    yield _line("critical", labels.NONE_NEEDED if counts.critical is None else str(counts.critical))
    yield _line("p_value", labels.NOT_PLANNED_P.format(p=p) if analysis.exploratory else p)
    yield show_alpha(analysis)


def show_alpha(analysis: Analysis) -> NumberLine:
    """Show the planned level."""
    return _line("alpha", show_number(analysis.plan.alpha))


def _show_estimates(analysis: Analysis, counts: CountsResult) -> Iterator[NumberLine]:
    yield _line("pc", show_limits(show_share, counts.pc, counts.pc_interval, counts))
    pd = labels.NUMBERS["pd_one_each" if is_one_answer_each(analysis) else "pd"]
    share = show_limits(show_share, counts.pd, counts.pd_interval, counts)
    yield NumberLine("pd", pd, share)
    upper = NO_VALUE
    if counts.pd_upper is not None:
        upper = labels.ONE_SIDED.format(
            value=show_share(counts.pd_upper), level=show_share(counts.level)
        )
    yield _line("pd_upper", upper)
    d_prime = show_limits(show_d_prime, counts.d_prime, counts.d_prime_interval, counts)
    yield _line("d_prime", labels.NO_D_PRIME.get(find_model(analysis.plan).name, d_prime))


def show_limits(
    show: Callable[[float], str],
    value: float | None,
    limits: tuple[float, float | None] | None,
    counts: CountsResult,
) -> str:
    """Show an estimate with its two-sided limits."""
    if limits is None:
        return NO_VALUE
    low, high = limits
    return labels.TWO_SIDED.format(
        value=NO_VALUE if value is None else show(value),
        level=show_share(counts.level),
        low=show(low),
        high=labels.OPEN_LIMIT if high is None else show(high),
    )


def _show_controls(analysis: Analysis, counts: CountsResult) -> Iterator[NumberLine]:
    """Show the share of right answers of each control against that of the test."""
    test = _show_rate(counts.correct, counts.trials, counts.pc_interval, counts)
    for one in analysis.controls:
        if one.pc_interval is None:
            yield _line(one.purpose.value, labels.NO_CONTROL_ANSWER)
            continue
        rate = _show_rate(one.correct, one.trials, one.pc_interval, counts)
        yield _line(one.purpose.value, labels.AGAINST_TEST.format(rate=rate, test=test))
        if one.declared is not None:
            size = show_share(one.declared.share)
            yield _line("positive_power", show_share(one.declared.power), size=size)


def _show_rate(correct: int, trials: int, limits: Interval, counts: CountsResult) -> str:
    return f"{correct} of {trials}, {show_limits(show_share, correct / trials, limits, counts)}"


def show_reach(analysis: Analysis) -> Iterator[NumberLine]:
    """Show what the test could find, and what stands behind its answers."""
    reach = analysis.reach
    share, d_prime = show_share(reach.size_share), reach.size_d_prime
    size = labels.SIZE_SHARE.format(share=share)
    if d_prime is not None:
        size = labels.SIZE.format(share=share, d=show_d_prime(d_prime))
    yield _line("size", size)
    yield from show_powers(analysis)
    findable = NO_VALUE if reach.findable_share is None else show_share(reach.findable_share)
    yield _line("findable", findable, power=show_share(GOOD_POWER))
    yield from show_background(analysis)
    guesses = analysis.guesses
    marked = f"{guesses.correct} of {guesses.guesses}" if guesses.guesses else labels.NONE_MARKED
    yield _line("guesses", marked)
    cues = analysis.cues
    if cues.asked:
        named = {"named": len(cues.named), "asked": cues.asked, "right": cues.correct}
        yield _line("cues", (labels.CUES if cues.named else labels.NO_CUES).format(**named))


def show_powers(analysis: Analysis) -> Iterator[NumberLine]:
    """Show the chance to find the size that matters, as planned and as reached."""
    yield _line("power_planned", show_share(analysis.reach.power_planned))
    yield _line("power_reached", show_share(analysis.reach.power_reached or 0.0))


def show_background(analysis: Analysis) -> Iterator[NumberLine]:
    """Show the people and the brews behind the answers."""
    yield _line("people", _show_sittings(analysis) or _show_people(analysis.people))
    yield _line("brews", say_brews(analysis))
    if analysis.plan.relief:
        yield _line("relief", say_relief(analysis.plan.relief, analysis.plan.days))


def _show_people(people: People) -> str:
    each = show_range(people.fewest, people.most)
    return f"{show_count(people.persons, 'taster')}, {each} each"


def _show_sittings(analysis: Analysis) -> str:
    """Show the servings, sittings and days of somebody who tasted alone; empty of a panel."""
    if analysis.alone is None:
        return ""
    return labels.SITTINGS.format(
        taster=show_count(analysis.people.persons, "taster"),
        servings=show_count(analysis.main.trials, get_method(analysis.plan.method).serving),
        sittings=show_count(len(analysis.alone.begun), "sitting"),
        days=show_count(analysis.alone.days, "day"),
    )
