"""Exact binomial tests, one- and two-sided, their power, and limits of a proportion."""

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

Sides = Literal["one", "two"]


def p_value(correct: int, trials: int, chance: float, sided: Sides = "one") -> float:
    """Return the exact p-value of a forced-choice test.

    Parameters
    ----------
    correct : int
        Number of correct answers, 0 to `trials`.
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    sided : {"one", "two"}
        Whether few correct answers count as well as many; two-sided only at
        chance 1/2, where `correct` may be the choices of either sample.

    Returns
    -------
    float
        P(X >= `correct`) for X binomial(`trials`, `chance`); two-sided, twice
        the tail of the larger count, at most 1.

    Raises
    ------
    ValueError
        If an argument is out of range, or a two-sided test has another chance
        than 1/2.

    Notes
    -----
    At chance 1/2 the distribution is symmetric, so doubling the smaller tail is
    the exact two-sided test whatever its definition. The tail is a regularized
    incomplete beta function [1]_, so that no term of the sum is lost in tails of
    any size.

    References
    ----------
    .. [1] Abramowitz, M. & Stegun, I. A. (1964). Handbook of Mathematical
       Functions, equation 26.5.24 (equation number from memory).

    Examples
    --------
    >>> round(p_value(8, 12, 1 / 3), 10)
    0.0187584323
    >>> p_value(7, 24, 0.5, sided="two") == p_value(17, 24, 0.5, sided="two")
    True
    """
    check_counts(correct, trials)
    check_open_unit("chance", chance)
    check_sided(sided, chance)
    if sided == "one":
        return tail(correct, trials, chance)
    return min(1.0, 2 * tail(max(correct, trials - correct), trials, chance))


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


def critical_number(trials: int, chance: float, alpha: float, sided: Sides = "one") -> int | None:
    """Return the smallest number of correct answers significant at `alpha`.

    Parameters
    ----------
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    alpha : float
        Level of the test, above 0 and below 1.
    sided : {"one", "two"}
        Two-sided only at chance 1/2; the number is then that of the larger
        count, whichever sample it chose.

    Returns
    -------
    int or None
        Smallest x with P(X >= x) <= `alpha`, two-sided 2 P(X >= x) <= `alpha`;
        None if not even `trials` correct answers reach it.

    Raises
    ------
    ValueError
        If an argument is out of range, or a two-sided test has another chance
        than 1/2.

    References
    ----------
    Tabulated in ISO 4120 and ASTM E1885 (triangle test), ISO 10399 (duo-trio
    test) and ISO 5495 (paired comparison, one- and two-sided).

    Examples
    --------
    >>> critical_number(24, 1 / 3, 0.05)
    13
    >>> critical_number(2, 1 / 3, 0.05) is None
    True
    >>> critical_number(24, 0.5, 0.05, sided="two")
    18
    """
    check_trials(trials)
    check_open_unit("chance", chance)
    check_open_unit("alpha", alpha)
    check_sided(sided, chance)
    if sided == "two":
        alpha /= 2  # below 1/2, so the number found is above half the trials
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


def check_sided(sided: str, chance: float) -> None:
    """Refuse a two-sided test where guessing does not favour both sides alike.

    Raises
    ------
    ValueError
        If `sided` is neither "one" nor "two", or "two" at a chance other than
        1/2: there the two tails differ and their sum has no agreed definition.

    Examples
    --------
    >>> check_sided("two", 0.5)
    >>> check_sided("two", 0.25)
    Traceback (most recent call last):
    ValueError: chance must be 0.5 in a two-sided test, not 0.25
    """
    if sided not in ("one", "two"):
        raise ValueError(f"sided must be one or two, not {sided}")
    if sided == "two" and chance != 0.5:
        raise ValueError(f"chance must be 0.5 in a two-sided test, not {chance}")


def reaches(p: float, alpha: float) -> bool:
    """Tell whether a p-value is at most `alpha`, an exact tie included.

    Examples
    --------
    >>> reaches(0.05, 0.05)
    True
    """
    return p <= alpha * (1 + TIE)


def power(
    trials: int, chance: float, alpha: float, p_correct: float, sided: Sides = "one"
) -> float:
    """Return the exact power of a forced-choice test.

    Parameters
    ----------
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    alpha : float
        Level of the test, above 0 and below 1.
    p_correct : float
        Probability of a correct answer that is supposed true, 0 to 1.
    sided : {"one", "two"}
        Two-sided only at chance 1/2.

    Returns
    -------
    float
        Probability that the critical number is reached, two-sided by either
        count; 0 if there is none.

    Raises
    ------
    ValueError
        If an argument is out of range, or a two-sided test has another chance
        than 1/2.

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
    critical = critical_number(trials, chance, alpha, sided)
    if critical is None:
        return 0.0
    other = tail(critical, trials, 1 - p_correct) if sided == "two" else 0.0
    return tail(critical, trials, p_correct) + other


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
