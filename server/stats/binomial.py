"""Exact binomial test, its power and its limits, for any chance of guessing right."""

from typing import TYPE_CHECKING, Literal

from server.stats.checks import (
    check_counts,
    check_open_unit,
    check_probability,
    check_trials,
)
from server.stats.results import Interval

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# A p-value that equals alpha in exact arithmetic may come out some last digits
# above it; within this relative margin the two count as equal.
TIE = 1e-12


def p_value(correct: int, trials: int, chance: float) -> float:
    """Return the exact one-sided p-value of a forced-choice test.

    Parameters
    ----------
    correct : int
        Number of correct answers, 0 to `trials`.
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.

    Returns
    -------
    float
        P(X >= `correct`) for X binomial(`trials`, `chance`).

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    The tail is a regularized incomplete beta function [1]_, so that no term of
    the sum is lost in tails of any size.

    References
    ----------
    .. [1] Abramowitz, M. & Stegun, I. A. (1964). Handbook of Mathematical
       Functions, equation 26.5.24 (equation number from memory).

    Examples
    --------
    >>> round(p_value(8, 12, 1 / 3), 10)
    0.0187584323
    """
    check_counts(correct, trials)
    check_open_unit("chance", chance)
    return tail(correct, trials, chance)


def tail(correct: int, trials: int, p_correct: float) -> float:
    """Return P(X >= `correct`) for X binomial(`trials`, `p_correct`).

    The arguments are as in `p_value`, except that `p_correct` may be 0 or 1
    and that nothing is checked.

    Examples
    --------
    >>> tail(1, 2, 0.5)
    0.75
    """
    from scipy import special  # takes half a second to load

    if correct <= 0:
        return 1.0
    return float(special.betainc(correct, trials - correct + 1, p_correct))


def critical_number(trials: int, chance: float, alpha: float) -> int | None:
    """Return the smallest number of correct answers significant at `alpha`.

    Parameters
    ----------
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    alpha : float
        One-sided level of the test, above 0 and below 1.

    Returns
    -------
    int or None
        Smallest x with P(X >= x) <= `alpha`; None if not even `trials`
        correct answers reach it.

    Raises
    ------
    ValueError
        If an argument is out of range.

    References
    ----------
    ISO 4120 and ASTM E1885 tabulate it for the triangle test.

    Examples
    --------
    >>> critical_number(24, 1 / 3, 0.05)
    13
    >>> critical_number(2, 1 / 3, 0.05) is None
    True
    """
    check_trials(trials)
    check_open_unit("chance", chance)
    check_open_unit("alpha", alpha)
    if not reaches(tail(trials, trials, chance), alpha):
        return None
    low, high = 0, trials  # P(X >= low) > alpha >= P(X >= high)
    while high - low > 1:
        middle = (low + high) // 2
        if reaches(tail(middle, trials, chance), alpha):
            high = middle
        else:
            low = middle
    return high


def reaches(p: float, alpha: float) -> bool:
    """Tell whether a p-value is at most `alpha`, an exact tie included.

    Examples
    --------
    >>> reaches(0.05, 0.05)
    True
    """
    return p <= alpha * (1 + TIE)


def power(trials: int, chance: float, alpha: float, p_correct: float) -> float:
    """Return the exact power of a forced-choice test.

    Parameters
    ----------
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    alpha : float
        One-sided level of the test, above 0 and below 1.
    p_correct : float
        Probability of a correct answer that is supposed true, 0 to 1.

    Returns
    -------
    float
        Probability that the critical number is reached; 0 if there is none.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    Power is not monotone in `trials`: it drops whenever the critical number
    goes up by one.

    Examples
    --------
    >>> round(power(30, 1 / 3, 0.05, 1 / 3 + 0.3 * 2 / 3), 10)
    0.7090831412
    """
    check_probability("p_correct", p_correct)
    critical = critical_number(trials, chance, alpha)
    return 0.0 if critical is None else tail(critical, trials, p_correct)


def clopper_pearson(
    correct: int,
    trials: int,
    level: float,
    sided: Literal["two", "upper", "lower"] = "two",
) -> Interval:
    """Return exact confidence limits of a proportion.

    Parameters
    ----------
    correct : int
        Number of correct answers, 0 to `trials`.
    trials : int
        Number of answers, 1 or more.
    level : float
        Confidence level, above 0 and below 1.
    sided : {"two", "upper", "lower"}
        Both limits, each with half the error; or one limit with all of it,
        the other being 0 or 1.

    Returns
    -------
    Interval
        Limits of the proportion, each from 0 to 1.

    Raises
    ------
    ValueError
        If an argument is out of range.

    References
    ----------
    .. [1] Clopper, C. J. & Pearson, E. S. (1934). The use of confidence or
       fiducial limits illustrated in the case of the binomial. Biometrika,
       26, 404-413.

    Examples
    --------
    >>> low, high = clopper_pearson(30, 60, 0.95, sided="upper")
    >>> low, round(high, 6)
    (0.0, 0.612589)
    """
    from scipy import special  # takes half a second to load

    check_counts(correct, trials)
    check_open_unit("level", level)
    if sided not in ("two", "upper", "lower"):
        raise ValueError(f"sided must be two, upper or lower, not {sided}")
    error = (1 - level) / 2 if sided == "two" else 1 - level
    low, high = 0.0, 1.0
    if sided != "upper" and correct > 0:
        low = float(special.betaincinv(correct, trials - correct + 1, error))
    if sided != "lower" and correct < trials:
        high = float(special.betainccinv(correct + 1, trials - correct, error))
    return Interval(low, high)


def distribution(trials: int, p_correct: float) -> "NDArray[np.float64]":
    """Return the probability of every number of correct answers.

    Parameters
    ----------
    trials : int
        Number of answers, 1 or more.
    p_correct : float
        Probability of a correct answer, 0 to 1.

    Returns
    -------
    ndarray of float, shape (trials + 1,)
        P(X = 0), ..., P(X = `trials`) for X binomial(`trials`, `p_correct`).

    Raises
    ------
    ValueError
        If an argument is out of range.

    Examples
    --------
    >>> distribution(2, 0.5).round(10).tolist()
    [0.25, 0.5, 0.25]
    """
    import numpy as np
    from scipy import special  # takes half a second to load

    check_trials(trials)
    check_probability("p_correct", p_correct)
    right = np.arange(trials + 1, dtype=np.float64)
    wrong = trials - right
    ways = special.gammaln(trials + 1.0) - special.gammaln(right + 1) - special.gammaln(wrong + 1)
    logs = ways + special.xlogy(right, p_correct) + special.xlog1py(wrong, -p_correct)
    return np.asarray(np.exp(logs), dtype=np.float64)
