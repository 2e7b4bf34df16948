"""Shares of several tests of one method compared: whether the difference is noticed more often."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from server.stats.binomial import clopper_pearson
from server.stats.distance_likelihood import Counts, check_tests
from server.stats.multiple import holm
from server.stats.results import Interval
from server.stats.several_rates import SeveralRates, compare_several_rates
from server.stats.shares import floor_interval, share_interval
from server.stats.thurstone import share_from_pc
from server.stats.two_rates import TwoRates, compare_rates


@dataclass(frozen=True)
class Share:
    """The share that one test found.

    Attributes
    ----------
    test : str
        Name of the test.
    correct, trials : int
        The counts.
    pc : float
        Proportion correct.
    pc_interval : Interval
        Two-sided exact limits of it.
    pd : float or None
        Share of answers that noticed the difference, by the guessing model,
        floored at 0; None if the method is two-sided.
    pd_interval : Interval or None
        The limits of `pc`, as shares, floored at 0; None also if both are below
        guessing.
    """

    test: str
    correct: int
    trials: int
    pc: float
    pc_interval: Interval
    pd: float | None
    pd_interval: Interval | None


@dataclass(frozen=True)
class SharePair:
    """Two tests of one method compared.

    Attributes
    ----------
    first, second : str
        Names of the tests.
    difference : float
        Proportion correct of the first minus that of the second.
    interval : Interval
        Score limits of it.
    pd_difference : float or None
        The same as a difference of shares before they are floored; None if the
        method is two-sided.
    pd_interval : Interval or None
        Its limits.
    p_value : float
        Exact, two-sided, for no difference.
    p_adjusted : float
        The p-value adjusted by Holm's method for all pairs.
    """

    first: str
    second: str
    difference: float
    interval: Interval
    pd_difference: float | None
    pd_interval: Interval | None
    p_value: float
    p_adjusted: float


@dataclass(frozen=True)
class ShareComparison:
    """Several tests of one method compared by their rates.

    Attributes
    ----------
    method : str
        Name of the model.
    chance : float
        Probability of a correct answer by guessing.
    tests : tuple of Share
        What each test found.
    equality : SeveralRates
        Tests that all rates are equal.
    pairs : tuple of SharePair
        Every two tests compared.
    level : float
        Confidence level of every limit.
    notes : tuple of str
        What to mind.
    """

    method: str
    chance: float
    tests: tuple[Share, ...]
    equality: SeveralRates
    pairs: tuple[SharePair, ...]
    level: float
    notes: tuple[str, ...]


BELOW_GUESSING = (
    "The limits of a share are not estimable where even the upper one is below guessing; "
    "check key and trays."
)
TWO_SIDED = (
    "Two-sided: rates are those of the sample counted, the same one in every test; "
    "shares have no sign and are not compared."
)


def compare_shares(
    counts: Sequence[Counts], level: float = 0.95, two_sided: bool = False
) -> ShareComparison:
    """Compare the shares of several independent tests of one method.

    Parameters
    ----------
    counts : sequence of Counts
        Two tests or more, of one method and of different names.
    level : float
        Confidence level of every limit, above 0 and below 1.
    two_sided : bool
        Whether either sample may be chosen more often, as in a paired
        preference test: then only rates are compared.

    Returns
    -------
    ShareComparison
        Rates, shares, tests of their equality, all pairs; unrounded.

    Raises
    ------
    ValueError
        If there are fewer than two tests, a name comes twice, a count is out of
        range, the methods differ, or `level` is not between 0 and 1.

    Notes
    -----
    The share is (pc - g) / (1 - g) with chance g, so shares are equal where rates are,
    and a difference of shares is that of the rates over 1 - g. Limits of a
    difference are Newcombe's, the p-value of a pair is Fisher's exact one: close
    to the level, the one may leave out 0 where the other is not significant;
    the exact one is the more cautious.

    To compare two tests, compare their rates: one test significant and another
    not is no difference between them.

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> pair = [Counts("fresh", TRIANGLE, 40, 80), Counts("flushed", TRIANGLE, 52, 80)]
    >>> found = compare_shares(pair)
    >>> round(found.pairs[0].pd_difference, 6), round(found.equality.exact, 6)
    (-0.225, 0.0782)
    """
    check_tests(counts)
    method = counts[0].model
    for one in counts:
        if one.model != method:
            raise ValueError(
                f"counts must be of one method, not {method.name} and {one.model.name}"
            )
    equality = compare_several_rates([c.correct for c in counts], [c.trials for c in counts])
    tests = tuple(_describe(one, level, two_sided) for one in counts)
    below = not two_sided and any(one.pd_interval is None for one in tests)
    reasons = {BELOW_GUESSING: below, TWO_SIDED: two_sided}
    return ShareComparison(
        method=method.name,
        chance=method.chance,
        tests=tests,
        equality=equality,
        pairs=_compare_pairs(counts, level, two_sided),
        level=level,
        notes=(*equality.notes, *(sentence for sentence, holds in reasons.items() if holds)),
    )


def _describe(one: Counts, level: float, two_sided: bool) -> Share:
    chance = one.model.chance
    limits = clopper_pearson(one.correct, one.trials, level)
    pc = one.correct / one.trials
    return Share(
        test=one.test,
        correct=one.correct,
        trials=one.trials,
        pc=pc,
        pc_interval=limits,
        pd=None if two_sided else max(0.0, share_from_pc(pc, chance)),
        pd_interval=None if two_sided else floor_interval(share_interval(limits, chance)),
    )


def _compare_pairs(
    counts: Sequence[Counts], level: float, two_sided: bool
) -> tuple[SharePair, ...]:
    pairs = list(itertools.combinations(counts, 2))
    compared = [
        compare_rates(first.correct, first.trials, second.correct, second.trials, level)
        for first, second in pairs
    ]
    adjusted = holm([rates.exact_two_sided for rates in compared])
    return tuple(
        _build_pair(first, second, rates, p, two_sided)
        for (first, second), rates, p in zip(pairs, compared, adjusted, strict=True)
    )


def _build_pair(
    first: Counts, second: Counts, rates: TwoRates, p_adjusted: float, two_sided: bool
) -> SharePair:
    by_noticing = 1 - first.model.chance
    low, high = rates.difference_interval
    return SharePair(
        first=first.test,
        second=second.test,
        difference=rates.difference,
        interval=rates.difference_interval,
        pd_difference=None if two_sided else rates.difference / by_noticing,
        pd_interval=None if two_sided else Interval(low / by_noticing, high / by_noticing),
        p_value=rates.exact_two_sided,
        p_adjusted=p_adjusted,
    )
