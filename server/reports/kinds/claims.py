"""What narrows the numbers where servings of two kinds are called one or the other."""

from collections.abc import Iterator

from server.reports.analysis import Analysis
from server.reports.control_limits import say_positive
from server.reports.facts import fill
from server.reports.kinds import words
from server.reports.verdicts import Verdict


def limit_numbers(analysis: Analysis, _: Verdict) -> Iterator[str]:
    """Say what the p-value compares, what everybody knew, and what is odd."""
    plan, found = analysis.plan, analysis.kinds
    yield words.WITHIN
    if found is not None and found.rates.difference < 0:
        yield fill(words.REVERSED[plan.method], analysis)
    yield words.TOLD if plan.told_shares else words.NOT_TOLD
    if plan.open_cups:
        yield fill(words.OPEN[plan.open_cups], analysis)
    yield from say_positive(analysis)
