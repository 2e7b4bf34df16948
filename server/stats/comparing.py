"""Distances of several tests compared: whether the samples of one lie farther apart."""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from server.stats.chi_square import build_chi_square
from server.stats.distance_likelihood import (
    Counts,
    check_tests,
    common_deviance,
    common_limits,
    difference_limits,
    find_common,
    pair_deviance,
    subtract,
)
from server.stats.likelihood import find_likelihood_interval
from server.stats.multiple import holm
from server.stats.results import ChiSquare, HalfOpenInterval, OpenInterval
from server.stats.thurstone import d_prime_se

WALD = "wald"
LIKELIHOOD_RATIO = "likelihood ratio"

NEAR_LEVEL = 0.95  # a d′ is near 0 if its limits at this level reach 0, whatever level is asked for

NEAR_CHANCE = (
    "The likelihood ratio decides: a d′ is 0, or so near to it that its likelihood limits at 0.95 "
    "reach 0, and there Wald's test does not hold. The p-values are then rather too large than too "
    "small."
)
BELOW_CHANCE = (
    "A test has fewer correct answers than guessing gives: its d′ is put at 0; check key and trays."
)
ALL_CORRECT = (
    "A d′ is not estimable where every answer was correct, nor is a difference from it; "
    "the likelihood ratio decides, and the likelihood sets the limits it can."
)
SEVERAL_METHODS = (
    "d′ of different methods can be compared as far as tasters decide "
    "as the methods' models suppose."
)


@dataclass(frozen=True)
class Distance:
    """The distance that one test found.

    Attributes
    ----------
    test, method : str
        Names of the test and of its method's model.
    correct, trials : int
        The counts.
    pc : float
        Proportion correct.
    d_prime : float or None
        Distance between the samples, in standard deviations; 0 at or below
        chance, None if every answer was correct.
    d_prime_se : float or None
        Its standard error by the delta method; None in both those cases.
    d_prime_interval : HalfOpenInterval
        Likelihood limits of d′.
    """

    test: str
    method: str
    correct: int
    trials: int
    pc: float
    d_prime: float | None
    d_prime_se: float | None
    d_prime_interval: HalfOpenInterval


@dataclass(frozen=True)
class DistancePair:
    """Two distances compared.

    Attributes
    ----------
    first, second : str
        Names of the tests.
    difference : float or None
        d′ of the first minus d′ of the second.
    interval : OpenInterval
        Likelihood limits of it.
    statistic, p_value : float
        Likelihood ratio for no difference, one degree of freedom.
    p_adjusted : float
        The p-value adjusted by Holm's method for all pairs.
    """

    first: str
    second: str
    difference: float | None
    interval: OpenInterval
    statistic: float
    p_value: float
    p_adjusted: float


@dataclass(frozen=True)
class DistanceComparison:
    """Several distances compared.

    Attributes
    ----------
    tests : tuple of Distance
        What each test found.
    mean, mean_se : float or None
        Mean of the distances weighted by their inverse variances, and its
        standard error; None if a standard error is missing.
    wald : ChiSquare or None
        Wald's test that all are equal.
    common : float or None
        The distance that suits all tests best, by maximum likelihood; None if
        every answer of every test was correct.
    common_interval : HalfOpenInterval
        Likelihood limits of it, if all are equal.
    likelihood_ratio : ChiSquare
        Likelihood-ratio test that all are equal.
    used : {"wald", "likelihood ratio"}
        The test to go by.
    p_value : float
        Of that test.
    pairs : tuple of DistancePair
        Every two tests compared.
    level : float
        Confidence level of every limit.
    notes : tuple of str
        Why something is None, and what to mind.
    """

    tests: tuple[Distance, ...]
    mean: float | None
    mean_se: float | None
    wald: ChiSquare | None
    common: float | None
    common_interval: HalfOpenInterval
    likelihood_ratio: ChiSquare
    used: str
    p_value: float
    pairs: tuple[DistancePair, ...]
    level: float
    notes: tuple[str, ...]


def compare_distances(counts: Sequence[Counts], level: float = 0.95) -> DistanceComparison:
    """Compare the d′ of several independent tests, of one method or of several.

    Parameters
    ----------
    counts : sequence of Counts
        Two tests or more, of different names.
    level : float
        Confidence level of every limit, above 0 and below 1.

    Returns
    -------
    DistanceComparison
        Distances, tests of their equality, all pairs; unrounded.

    Raises
    ------
    ValueError
        If there are fewer than two tests, a name comes twice, a count is out of
        range, a method has no d′, or `level` is not between 0 and 1.

    Notes
    -----
    Wald's statistic is Σ (d_i - mean)² / V_i with V_i the variance of d_i by the delta
    method and the mean weighted by 1/V_i; k - 1 degrees of freedom [1]_ [2]_. The
    likelihood ratio is twice the log-likelihood that is lost when all
    distances have to be equal, with the same degrees of freedom [3]_. It needs no
    standard error, so it decides where one does not exist or means
    nothing. Near d′ = 0 its distribution is smaller than chi-square, as a d′
    cannot be below 0: its p-values err on the large side. Pairs always go by the
    likelihood ratio, so that limits and p-value say the same.

    To compare two tests, compare their distances: one test significant and
    another not is no difference between them.

    References
    ----------
    .. [1] Marascuilo, L. A. (1970). Extensions of the significance test for
       one-parameter signal detection hypotheses. Psychometrika, 35, 237-243.
    .. [2] Bi, J., Ennis, D. M. & O'Mahony, M. (1997). How to estimate and use
       the variance of d' from difference tests. Journal of Sensory Studies,
       12, 87-104.
    .. [3] Wilks, S. S. (1938). The large-sample distribution of the likelihood
       ratio for testing composite hypotheses. Annals of Mathematical
       Statistics, 9, 60-62.

    Examples
    --------
    >>> from server.stats.forced_choice import TRIANGLE
    >>> pair = [Counts("fresh", TRIANGLE, 40, 80), Counts("flushed", TRIANGLE, 52, 80)]
    >>> found = compare_distances(pair)
    >>> round(found.wald.statistic, 8), round(found.mean, 8), found.used
    (3.57631039, 1.86720359, 'wald')
    """
    _check(counts)
    tests = tuple(_describe(one, level) for one in counts)
    mean, mean_se, wald = _test_wald(tests)
    ratio = _test_likelihood(counts)
    near = any(_is_near_chance(one) for one in counts)
    decides = ratio if wald is None or near else wald
    return DistanceComparison(
        tests=tests,
        mean=mean,
        mean_se=mean_se,
        wald=wald,
        common=find_common(counts),
        common_interval=common_limits(counts, level),
        likelihood_ratio=ratio,
        used=WALD if decides is wald else LIKELIHOOD_RATIO,
        p_value=decides.p_value,
        pairs=_compare_pairs(counts, level),
        level=level,
        notes=_notes(counts, near),
    )


def _check(counts: Sequence[Counts]) -> None:
    check_tests(counts)
    for one in counts:
        if one.model.without_d_prime:
            raise ValueError(
                f"counts must hold methods that have a d′, not {one.model.name}: "
                f"{one.model.without_d_prime}"
            )


def _describe(one: Counts, level: float) -> Distance:
    pc = one.correct / one.trials
    return Distance(
        test=one.test,
        method=one.model.name,
        correct=one.correct,
        trials=one.trials,
        pc=pc,
        d_prime=one.d_prime,
        d_prime_se=d_prime_se(one.model, pc, one.trials),
        d_prime_interval=find_likelihood_interval(one.model, one.correct, one.trials, level),
    )


def _is_near_chance(one: Counts) -> bool:
    return find_likelihood_interval(one.model, one.correct, one.trials, NEAR_LEVEL).low == 0


def _test_wald(
    tests: Sequence[Distance],
) -> tuple[float | None, float | None, ChiSquare | None]:
    """Return weighted mean, its standard error and Wald's test."""
    found = [
        (one.d_prime, one.d_prime_se**2)
        for one in tests
        if one.d_prime is not None and one.d_prime_se is not None
    ]
    if len(found) < len(tests):
        return None, None, None
    weight = sum(1 / variance for _, variance in found)
    mean = sum(d / variance for d, variance in found) / weight
    statistic = sum((d - mean) ** 2 / variance for d, variance in found)
    return mean, 1 / math.sqrt(weight), build_chi_square(statistic, len(tests) - 1)


def _test_likelihood(counts: Sequence[Counts]) -> ChiSquare:
    common = find_common(counts)
    lost = 0.0 if common is None else common_deviance(counts, common)
    return build_chi_square(lost, len(counts) - 1)


def _compare_pairs(counts: Sequence[Counts], level: float) -> tuple[DistancePair, ...]:
    pairs = list(itertools.combinations(counts, 2))
    ratios = [build_chi_square(pair_deviance(*pair, 0.0), 1) for pair in pairs]
    adjusted = holm([ratio.p_value for ratio in ratios])
    return tuple(
        DistancePair(
            first=first.test,
            second=second.test,
            difference=subtract(first.d_prime, second.d_prime),
            interval=difference_limits(first, second, level),
            statistic=ratio.statistic,
            p_value=ratio.p_value,
            p_adjusted=p,
        )
        for (first, second), ratio, p in zip(pairs, ratios, adjusted, strict=True)
    )


def _notes(counts: Sequence[Counts], near: bool) -> tuple[str, ...]:
    reasons = {
        ALL_CORRECT: any(one.d_prime is None for one in counts),
        NEAR_CHANCE: near,
        BELOW_CHANCE: any(one.correct < one.model.chance * one.trials for one in counts),
        SEVERAL_METHODS: len({one.model for one in counts}) > 1,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
