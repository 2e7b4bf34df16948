"""How many trials a test needs, and what a given number of trials can find."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.binomial import TIE, critical_number
from server.stats.checks import check_open_unit, check_probability
from server.stats.thurstone import share_from_pc

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_PLANNED = 100_000


@dataclass(frozen=True)
class RequiredTrials:
    """Number of trials that keeps both risks of a test.

    Attributes
    ----------
    chance, alpha, power, p_correct : float
        What was asked for.
    trials : int
        Smallest number whose exact power reaches `power`.
    critical : int
        Critical number at `trials`.
    achieved_alpha, achieved_power : float
        Exact level and power at `trials`.
    trials_stable : int
        Smallest number from which on the power never falls below `power`.
    """

    chance: float
    alpha: float
    power: float
    p_correct: float
    trials: int
    critical: int
    achieved_alpha: float
    achieved_power: float
    trials_stable: int


def trials_for_power(chance: float, alpha: float, power: float, p_correct: float) -> RequiredTrials:
    """Return how many trials a forced-choice test needs.

    Parameters
    ----------
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    alpha : float
        One-sided level of the test, above 0 and below 1.
    power : float
        Wanted probability of reaching the critical number, above 0 and below 1.
    p_correct : float
        Probability of a correct answer to be found, above `chance`, at most 1.

    Returns
    -------
    RequiredTrials
        The first number of trials with that power and the stable one.

    Raises
    ------
    ValueError
        If an argument is out of range, or the difference so small that the
        search would have to pass 100,000 trials.

    Notes
    -----
    Every number of trials up to a bound is tried. The bound N follows from
    Hoeffding's inequality [1]_: under guessing P(X >= n g + t) is at most
    exp(-2 t²/n), so the critical number is less than n g + sqrt(n ln(1/alpha)/2) + 1;
    the same inequality at p puts the risk of staying below it at no more than
    1 - power as soon as

        n >= (sqrt(ln(1/alpha)) + sqrt(ln(1/(1-power))))² / (2 (p - g)²) = N.

    So the power never falls below the wanted one from N on, and what happens
    before N decides both numbers.

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
    """
    import numpy as np

    _check_plan(chance, alpha, power, p_correct)
    tried = np.arange(1, _search_bound(chance, alpha, power, p_correct) + 1, dtype=np.int64)
    criticals = _critical_numbers(tried, chance, alpha)
    powers = _tails(criticals, tried, p_correct)
    enough = powers >= power * (1 - TIE)
    first = int(np.argmax(enough))
    short = np.flatnonzero(~enough)
    return RequiredTrials(
        chance=chance,
        alpha=alpha,
        power=power,
        p_correct=p_correct,
        trials=int(tried[first]),
        critical=int(criticals[first]),
        achieved_alpha=float(_tails(criticals, tried, chance)[first]),
        achieved_power=float(powers[first]),
        trials_stable=int(tried[short[-1]]) + 1 if short.size else 1,
    )


def smallest_share(trials: int, chance: float, alpha: float, power: float) -> float | None:
    """Return the smallest share of noticed differences that a test would find.

    Parameters
    ----------
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    alpha : float
        One-sided level of the test, above 0 and below 1.
    power : float
        Wanted probability of finding it, above 0 and below 1.

    Returns
    -------
    float or None
        Share by the guessing model, 0 to 1, at which the exact power is
        `power`; None if no number of correct answers reaches `alpha`.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Examples
    --------
    >>> round(smallest_share(24, 1 / 3, 0.05, 0.8), 4)
    0.4067
    >>> smallest_share(2, 1 / 3, 0.05, 0.8) is None
    True
    """
    from scipy import special  # takes half a second to load

    check_open_unit("power", power)
    critical = critical_number(trials, chance, alpha)
    if critical is None:
        return None
    p_correct = float(special.betaincinv(critical, trials - critical + 1, power))
    return max(0.0, share_from_pc(p_correct, chance))


def _check_plan(chance: float, alpha: float, power: float, p_correct: float) -> None:
    check_open_unit("chance", chance)
    check_open_unit("alpha", alpha)
    check_open_unit("power", power)
    check_probability("p_correct", p_correct)
    if p_correct <= chance:
        raise ValueError(f"p_correct must be above chance ({chance:.4f}), not {p_correct}")


def _search_bound(chance: float, alpha: float, power: float, p_correct: float) -> int:
    risks = math.sqrt(-math.log(alpha)) + math.sqrt(-math.log1p(-power))
    gap = p_correct - chance
    if risks > gap * math.sqrt(2 * MOST_PLANNED):
        raise ValueError(
            f"p_correct {p_correct} is too near to chance ({chance:.4f}): "
            f"the search for a number of trials stops at {MOST_PLANNED:,}"
        )
    return math.ceil((risks / gap) ** 2 / 2)


def _tails(
    correct: "NDArray[np.int64]", trials: "NDArray[np.int64]", p_correct: float
) -> "NDArray[np.float64]":
    """Return P(X >= correct) element by element; 0 where correct > trials."""
    import numpy as np
    from scipy import special  # takes half a second to load

    inside = np.clip(correct, 1, trials)
    upper = np.asarray(special.betainc(inside, trials - inside + 1, p_correct), dtype=np.float64)
    return np.where(correct > trials, 0.0, np.where(correct < 1, 1.0, upper))


def _critical_numbers(
    trials: "NDArray[np.int64]", chance: float, alpha: float
) -> "NDArray[np.int64]":
    """Return the critical number of each number of trials; trials + 1 where there is none."""
    import numpy as np
    from scipy import special  # takes half a second to load

    # A normal approximation says where to look; the exact tail decides.
    spread = np.sqrt(trials * chance * (1 - chance))
    guess = trials * chance - special.ndtri(alpha) * spread + 0.5
    critical = np.asarray(np.clip(np.ceil(guess), 1, trials + 1), dtype=np.int64)
    most = alpha * (1 + TIE)
    while (low := _tails(critical, trials, chance) > most).any():
        critical[low] += 1
    while (high := (critical > 1) & (_tails(critical - 1, trials, chance) <= most)).any():
        critical[high] -= 1
    return critical
