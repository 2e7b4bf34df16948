"""Exact power of the test of people's mean, by walking over every panel that can come out."""

from collections import Counter
from functools import lru_cache
from itertools import combinations_with_replacement
from math import comb, exp, lgamma

from server.stats.binomial import reaches
from server.stats.checks import check_open_unit
from server.stats.overdispersed import log_pmf
from server.stats.panel_tests import compare_mean_with_chance

MOST_PANELS = 1_100
"""Panels that are walked over at most: about a second."""


def mean_test_power(
    assessors: int, replicates: int, chance: float, alpha: float, share: float, gamma: float
) -> float | None:
    """Return how often `panel_tests.compare_mean_with_chance` finds the mean above chance.

    Parameters
    ----------
    assessors : int
        Number of assessors, 2 or more.
    replicates : int
        Answers of each.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    alpha : float
        One-sided level of the test, above 0 and below one half.
    share, gamma : float
        Mean share of noticed differences, and over-dispersion, that are supposed true.

    Returns
    -------
    float or None
        Exact; at `share` 0 it is the true level. None if more than 1,100 panels, people
        who answered alike counted once, would have to be walked over.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Examples
    --------
    >>> round(mean_test_power(6, 3, 1 / 3, 0.05, 0.5, 0.0), 4)
    0.7357
    >>> mean_test_power(60, 12, 1 / 3, 0.05, 0.5, 0.0) is None
    True
    """
    import numpy as np

    check_open_unit("alpha", alpha)
    if alpha >= 0.5:
        raise ValueError(f"alpha must be below one half, not {alpha}")
    if assessors < 2:
        raise ValueError(f"assessors must be 2 or more, not {assessors}")
    chances = np.exp(log_pmf(replicates, chance, share, gamma)).tolist()
    if not can_be_walked(assessors, replicates):
        return None
    found = _find_panels(assessors, replicates, chance, alpha)
    return float(sum(_weigh(panel, chances) for panel in found))


def can_be_walked(assessors: int, replicates: int) -> bool:
    """Tell whether the panels of so many assessors are few enough to be walked over.

    Examples
    --------
    >>> can_be_walked(6, 3), can_be_walked(60, 12), can_be_walked(1, 3), can_be_walked(6, 0)
    (True, False, False, False)
    """
    some = assessors > 1 and replicates > 0
    return some and comb(assessors + replicates, replicates) <= MOST_PANELS


@lru_cache(maxsize=64)
def _find_panels(
    assessors: int, replicates: int, chance: float, alpha: float
) -> tuple[tuple[int, ...], ...]:
    """List the panels that the test finds; below chance it finds none."""
    trials = [replicates] * assessors
    panels = combinations_with_replacement(range(replicates + 1), assessors)
    above = (one for one in panels if sum(one) > chance * assessors * replicates)
    return tuple(one for one in above if _is_found(one, trials, chance, alpha))


def _is_found(panel: tuple[int, ...], trials: list[int], chance: float, alpha: float) -> bool:
    p = compare_mean_with_chance(panel, trials, chance).p_value
    return p is not None and reaches(p, alpha)


def _weigh(panel: tuple[int, ...], chances: list[float]) -> float:
    """Return the chance of a panel, whoever of it answered how."""
    counted = Counter(panel)
    ways = lgamma(len(panel) + 1) - sum(lgamma(number + 1) for number in counted.values())
    likely = 1.0
    for count, number in counted.items():
        likely *= chances[count] ** number
    return exp(ways) * likely
