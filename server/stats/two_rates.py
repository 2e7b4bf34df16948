"""Two rates compared: chi-square and exact tests of a 2 x 2 table, limits of the difference."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.checks import MOST_TRIALS
from server.stats.chi_square import build_chi_square, normal_quantile
from server.stats.results import ChiSquare, Interval

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# Tables that are equally probable on paper differ in the last digits of their
# probabilities; within this relative margin they count as equally extreme.
EQUALLY_PROBABLE = 1e-7

ONE_ANSWER_ONLY = (
    "The chi-square tests are not estimable: all answers were the same one. "
    "The exact p-values are then 1."
)


@dataclass(frozen=True)
class TwoRates:
    """Two independent rates with the tests of their equality.

    Attributes
    ----------
    first_yes, first, second_yes, second : int
        Yes answers and all answers, of either sample.
    first_rate, second_rate : float
        Their proportions.
    difference : float
        First rate minus second.
    difference_interval : Interval
        Score limits of it, -1 to 1.
    pearson, yates : ChiSquare or None
        Without and with the correction for continuity; two-sided.
    exact_one_sided : float
        Fisher's exact p-value for a first rate that is the larger.
    exact_two_sided : float
        Fisher's exact p-value over all tables no more probable than this one.
    level : float
        Confidence level of the limits.
    notes : tuple of str
        Why something is None.
    """

    first_yes: int
    first: int
    second_yes: int
    second: int
    first_rate: float
    second_rate: float
    difference: float
    difference_interval: Interval
    pearson: ChiSquare | None
    yates: ChiSquare | None
    exact_one_sided: float
    exact_two_sided: float
    level: float
    notes: tuple[str, ...]


def compare_rates(
    first_yes: int, first: int, second_yes: int, second: int, level: float = 0.95
) -> TwoRates:
    """Compare two independent rates.

    Parameters
    ----------
    first_yes, first : int
        Yes answers among the answers of the first sample.
    second_yes, second : int
        The same of the second sample.
    level : float
        Confidence level of the limits, above 0 and below 1.

    Returns
    -------
    TwoRates
        Rates, difference, tests, unrounded.

    Raises
    ------
    ValueError
        If a count is out of range, or `level` not between 0 and 1.

    Notes
    -----
    With both margins fixed, the number of first yes answers is hypergeometric
    under equality [1]_; the two-sided p-value adds up all tables that are no
    more probable than the observed one. Yates' correction [2]_ takes half an
    answer off the distance between observed and expected counts, at most the
    distance itself. Every answer counts as independent of the others.

    References
    ----------
    .. [1] Fisher, R. A. (1935). The Design of Experiments, chapter 2.
    .. [2] Yates, F. (1934). Contingency tables involving small numbers and the
       chi-square test. Supplement to the Journal of the Royal Statistical
       Society, 1, 217-235.

    Examples
    --------
    >>> compared = compare_rates(60, 100, 35, 100)
    >>> round(compared.pearson.statistic, 8), round(compared.exact_one_sided, 8)
    (12.53132832, 0.0003204)
    """
    check_answers("first", first_yes, first)
    check_answers("second", second_yes, second)
    yes = first_yes + second_yes
    varied = 0 < yes < first + second
    return TwoRates(
        first_yes=first_yes,
        first=first,
        second_yes=second_yes,
        second=second,
        first_rate=first_yes / first,
        second_rate=second_yes / second,
        difference=first_yes / first - second_yes / second,
        difference_interval=difference_limits(first_yes, first, second_yes, second, level),
        pearson=_test(first_yes, first, second_yes, second, 0.0) if varied else None,
        yates=_test(first_yes, first, second_yes, second, 0.5) if varied else None,
        exact_one_sided=_one_sided(first_yes, first, second, yes),
        exact_two_sided=_two_sided(first_yes, first, second, yes),
        level=level,
        notes=() if varied else (ONE_ANSWER_ONLY,),
    )


def difference_limits(
    first_yes: int, first: int, second_yes: int, second: int, level: float
) -> Interval:
    """Return score limits of a difference of two independent proportions.

    Parameters
    ----------
    first_yes, first, second_yes, second : int
        Counts as in `compare_rates`.
    level : float
        Confidence level, above 0 and below 1.

    Returns
    -------
    Interval
        Limits of first minus second proportion, -1 to 1.

    Raises
    ------
    ValueError
        If a count is out of range, or `level` not between 0 and 1.

    Notes
    -----
    The distances of Wilson's limits l, u from the proportions p, combined by
    Pythagoras: d - sqrt((p1 - l1)² + (u2 - p2)²) to d + sqrt((u1 - p1)² + (p2 - l2)²),
    method 10 of [1]_.

    References
    ----------
    .. [1] Newcombe, R. G. (1998). Interval estimation for the difference
       between independent proportions: comparison of eleven methods.
       Statistics in Medicine, 17, 873-890.

    Examples
    --------
    >>> low, high = difference_limits(56, 70, 48, 80, 0.95)
    >>> round(low, 4), round(high, 4)
    (0.0524, 0.3339)
    """
    p, q = first_yes / first, second_yes / second
    p_low, p_high = score_limits(first_yes, first, level)
    q_low, q_high = score_limits(second_yes, second, level)
    below = math.hypot(p - p_low, q_high - q)
    above = math.hypot(p_high - p, q - q_low)
    return Interval(p - q - below, p - q + above)


def score_limits(yes: int, answers: int, level: float) -> Interval:
    """Return Wilson's score limits of a proportion.

    Raises
    ------
    ValueError
        If a count is out of range, or `level` not between 0 and 1.

    References
    ----------
    .. [1] Wilson, E. B. (1927). Probable inference, the law of succession, and
       statistical inference. Journal of the American Statistical Association,
       22, 209-212.

    Examples
    --------
    >>> low, high = score_limits(81, 263, 0.95)
    >>> round(low, 4), round(high, 4)
    (0.2553, 0.3662)
    """
    check_answers("answers", yes, answers)
    z = normal_quantile(level)
    p = yes / answers
    middle = p + z * z / (2 * answers)
    reach = z * math.sqrt(p * (1 - p) / answers + z * z / (4 * answers * answers))
    scale = 1 + z * z / answers
    low = 0.0 if yes == 0 else (middle - reach) / scale
    high = 1.0 if yes == answers else (middle + reach) / scale
    return Interval(low, high)


def count_chances(first: int, second: int, yes: int) -> "NDArray[np.float64]":
    """Return the probability of every number of first yes answers, margins fixed.

    Parameters
    ----------
    first, second : int
        Answers of either sample.
    yes : int
        Yes answers of both together, 0 to `first` + `second`.

    Returns
    -------
    ndarray of float, shape (first + 1,)
        Hypergeometric probabilities of 0, ..., `first`.

    Examples
    --------
    >>> (70 * count_chances(4, 4, 4)).round(10).tolist()
    [1.0, 16.0, 36.0, 16.0, 1.0]
    """
    import numpy as np

    counts = np.arange(first + 1)
    possible = (counts <= yes) & (yes - counts <= second)
    ways = log_choose(first, counts[possible]) + log_choose(second, yes - counts[possible])
    weights = np.exp(ways - ways.max())
    chances = np.zeros(first + 1)
    chances[possible] = weights / weights.sum()
    return chances


def check_answers(name: str, yes: int, answers: int) -> None:
    """Refuse yes answers that do not fit all answers.

    Raises
    ------
    ValueError
        If `answers` is not from 1 to a million, or `yes` not from 0 to it.

    Examples
    --------
    >>> check_answers("first", 5, 4)
    Traceback (most recent call last):
    ValueError: first must be a whole number of yes answers from 0 to 4, not 5
    """
    if not 1 <= answers <= MOST_TRIALS:
        raise ValueError(f"{name} must have from 1 to {MOST_TRIALS:,} answers, not {answers}")
    if not isinstance(yes, int) or isinstance(yes, bool) or not 0 <= yes <= answers:
        raise ValueError(
            f"{name} must be a whole number of yes answers from 0 to {answers}, not {yes}"
        )


def log_choose(n: int, k: "NDArray[np.int64]") -> "NDArray[np.float64]":
    """Return the logarithm of the number of ways to choose k of n, element by element.

    Examples
    --------
    >>> import numpy as np
    >>> np.exp(log_choose(4, np.arange(5))).round(10).tolist()
    [1.0, 4.0, 6.0, 4.0, 1.0]
    """
    import numpy as np
    from scipy import special  # takes half a second to load

    return np.asarray(
        special.gammaln(n + 1.0) - special.gammaln(k + 1.0) - special.gammaln(n - k + 1.0),
        dtype=np.float64,
    )


def _one_sided(first_yes: int, first: int, second: int, yes: int) -> float:
    chances = count_chances(first, second, yes)
    return min(1.0, float(chances[first_yes:].sum()))


def _two_sided(first_yes: int, first: int, second: int, yes: int) -> float:
    chances = count_chances(first, second, yes)
    most = chances[first_yes] * (1 + EQUALLY_PROBABLE)
    return min(1.0, float(chances[chances <= most].sum()))


def _test(first_yes: int, first: int, second_yes: int, second: int, correction: float) -> ChiSquare:
    """Return the chi-square test; every cell is equally far from its expected count."""
    n = first + second
    yes = first_yes + second_yes
    away = abs(first_yes - first * yes / n)
    kept = away - min(correction, away)
    return build_chi_square(kept * kept * n / first / second * n / yes * n / (n - yes), 1)
