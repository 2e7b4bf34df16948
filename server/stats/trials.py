"""How many trials a test needs, and what a given number of trials can find."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.binomial import TIE, Sides, check_sided
from server.stats.checks import check_open_unit, check_probability, check_trials
from server.stats.power import critical_numbers, power_at
from server.stats.thurstone import share_from_pc

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_PLANNED = 100_000
HALVINGS = 54  # from an interval within 0 to 1 to the last digit


class TooManyTrials(ValueError):
    """A difference so near to chance that the search for a number of trials gives up.

    Examples
    --------
    >>> trials_for_power(1 / 3, 0.05, 0.8, 0.3334)  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    server.stats.trials.TooManyTrials: p_correct 0.3334 is too near to chance (0.3333): ...
    """


@dataclass(frozen=True)
class RequiredTrials:
    """Number of trials that keeps both risks of a test.

    Attributes
    ----------
    chance, alpha, power, p_correct : float
        What was asked for.
    sided : {"one", "two"}
        Whether the test has one tail or two.
    trials : int
        Smallest number whose exact power reaches `power`.
    critical : int
        Critical number at `trials`; two-sided, of the larger count.
    achieved_alpha, achieved_power : float
        Exact level and power at `trials`.
    trials_stable : int
        Smallest number from which on the power never falls below `power`.
    """

    chance: float
    alpha: float
    power: float
    p_correct: float
    sided: Sides
    trials: int
    critical: int
    achieved_alpha: float
    achieved_power: float
    trials_stable: int


def trials_for_power(
    chance: float, alpha: float, power: float, p_correct: float, sided: Sides = "one"
) -> RequiredTrials:
    """Return how many trials a forced-choice test needs.

    Parameters
    ----------
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    alpha : float
        Level of the test, above 0 and below 1.
    power : float
        Wanted probability of reaching the critical number, above 0 and below 1.
    p_correct : float
        Probability of a correct answer to be found, above `chance`, at most 1;
        two-sided, that of the answer that is the more frequent one.
    sided : {"one", "two"}
        Two-sided only at chance 1/2; both tails then count to the power.

    Returns
    -------
    RequiredTrials
        The first number of trials with that power and the stable one.

    Raises
    ------
    TooManyTrials
        A ValueError: the difference is so small that the search would have to
        pass 100,000 trials.
    ValueError
        If an argument is out of range, or a two-sided test has another chance
        than 1/2.

    Notes
    -----
    Every number of trials up to a bound is tried. The bound N follows from
    Hoeffding's inequality [1]_: under guessing P(X >= n g + t) is at most
    exp(-2 t²/n), so the critical number is less than n g + sqrt(n ln(1/alpha)/2) + 1;
    the same inequality at p puts the risk of staying below it at no more than
    1 - power as soon as

        n >= (sqrt(ln(1/alpha)) + sqrt(ln(1/(1-power))))² / (2 (p - g)²) = N.

    So the power never falls below the wanted one from N on, and what happens
    before N decides both numbers. Two-sided, each tail has alpha/2, and the tail on
    the side of p alone has the power from N on.

    References
    ----------
    .. [1] Hoeffding, W. (1963). Probability inequalities for sums of bounded
       random variables. Journal of the American Statistical Association, 58,
       13-30, theorem 1.
    .. [2] Ennis, J. M. & Jesionka, V. (2011). The power of sensory
       discrimination methods revisited. Journal of Sensory Studies, 26,
       371-382: the stable number, and why the first one misleads.

    Examples
    --------
    >>> need = trials_for_power(1 / 3, 0.05, 0.8, 1 / 3 + 0.5 * 2 / 3)
    >>> need.trials, need.critical, need.trials_stable
    (16, 9, 16)
    >>> trials_for_power(0.5, 0.05, 0.8, 0.75, sided="two").trials
    30
    """
    import numpy as np

    _check_plan(chance, alpha, power, p_correct, sided)
    tried = np.arange(1, _search_bound(chance, alpha, power, p_correct, sided) + 1, dtype=np.int64)
    criticals = critical_numbers(tried, chance, alpha, sided)
    powers = power_at(criticals, tried, p_correct, sided)
    first, stable = find_first_and_stable(powers, power)
    return RequiredTrials(
        chance=chance,
        alpha=alpha,
        power=power,
        p_correct=p_correct,
        sided=sided,
        trials=int(tried[first]),
        critical=int(criticals[first]),
        achieved_alpha=float(power_at(criticals, tried, chance, sided)[first]),
        achieved_power=float(powers[first]),
        trials_stable=stable,
    )


def find_first_and_stable(powers: "NDArray[np.float64]", power: float) -> tuple[int, int]:
    """Return where the power is first reached, and the number of trials it lasts from.

    Parameters
    ----------
    powers : ndarray of float, shape (n,)
        Power with 1, 2, ..., n trials, somewhere at least `power`.
    power : float
        Wanted power.

    Returns
    -------
    tuple of int
        Place in `powers`, and the smallest number of trials from which on no
        power falls short.

    Examples
    --------
    >>> import numpy as np
    >>> find_first_and_stable(np.array([0.5, 0.9, 0.7, 0.8, 0.9]), 0.8)
    (1, 4)
    """
    import numpy as np

    enough = powers >= power * (1 - TIE)
    short = np.flatnonzero(~enough)
    return int(np.argmax(enough)), int(short[-1]) + 2 if short.size else 1


def smallest_share(
    trials: int, chance: float, alpha: float, power: float, sided: Sides = "one"
) -> float | None:
    """Return the smallest share of noticed differences that a test would find.

    Parameters
    ----------
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    alpha : float
        Level of the test, above 0 and below 1.
    power : float
        Wanted probability of finding it, above 0 and below 1.
    sided : {"one", "two"}
        Two-sided only at chance 1/2.

    Returns
    -------
    float or None
        Share by the guessing model, 0 to 1, at which the exact power is
        `power`; 0 if guessing alone has it already; None if no number of
        correct answers reaches `alpha`.

    Raises
    ------
    ValueError
        If an argument is out of range, or a two-sided test has another chance
        than 1/2.

    Examples
    --------
    >>> round(smallest_share(24, 1 / 3, 0.05, 0.8), 4)
    0.4067
    >>> smallest_share(2, 1 / 3, 0.05, 0.8) is None
    True
    """
    return smallest_shares([trials], chance, alpha, power, sided)[0]


def smallest_shares(
    trials: Sequence[int], chance: float, alpha: float, power: float, sided: Sides = "one"
) -> tuple[float | None, ...]:
    """Return `smallest_share` of every number of answers, all at once.

    Raises
    ------
    ValueError
        As `smallest_share`.

    Examples
    --------
    >>> [round(share, 2) for share in smallest_shares([43, 44, 45], 1 / 3, 0.05, 0.8)]
    [0.28, 0.29, 0.28]
    """
    import numpy as np

    check_open_unit("power", power)
    for one in trials:
        check_trials(one)
    numbers = np.asarray(trials, dtype=np.int64)
    criticals = critical_numbers(numbers, chance, alpha, sided)
    some = criticals <= numbers
    found = _solve_power(np.minimum(criticals, numbers), numbers, power, chance, sided)
    return tuple(
        max(0.0, share_from_pc(float(p), chance)) if there else None
        for p, there in zip(found, some, strict=True)
    )


def _solve_power(
    criticals: "NDArray[np.int64]",
    trials: "NDArray[np.int64]",
    power: float,
    chance: float,
    sided: Sides,
) -> "NDArray[np.float64]":
    """Return the proportions correct, `chance` or more, at which the power is `power`."""
    import numpy as np
    from scipy import special  # takes half a second to load

    upper = special.betaincinv(criticals, trials - criticals + 1, power)
    high = np.asarray(np.maximum(upper, chance), dtype=np.float64)
    if sided == "one":
        return high
    low = np.full(high.shape, chance)  # two tails have the power earlier than the one alone
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        below = power_at(criticals, trials, middle, sided) < power
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return high


def _check_plan(chance: float, alpha: float, power: float, p_correct: float, sided: Sides) -> None:
    check_open_unit("chance", chance)
    check_open_unit("alpha", alpha)
    check_open_unit("power", power)
    check_sided(sided, chance)
    check_probability("p_correct", p_correct)
    if p_correct <= chance:
        raise ValueError(f"p_correct must be above chance ({chance:.4f}), not {p_correct}")


def _search_bound(chance: float, alpha: float, power: float, p_correct: float, sided: Sides) -> int:
    """Return a number of trials from which on the power is surely enough."""
    tail = alpha / 2 if sided == "two" else alpha
    risks = math.sqrt(-math.log(tail)) + math.sqrt(-math.log1p(-power))
    gap = p_correct - chance
    if risks > gap * math.sqrt(2 * MOST_PLANNED):
        raise TooManyTrials(
            f"p_correct {p_correct} is too near to chance ({chance:.4f}): "
            f"the search for a number of trials stops at {MOST_PLANNED:,}"
        )
    return math.ceil((risks / gap) ** 2 / 2)
