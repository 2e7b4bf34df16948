"""Exact power of forced-choice tests, over arrays of numbers of answers and of distances."""

from typing import TYPE_CHECKING

from server.stats.binomial import TIE, Sides, check_sided
from server.stats.checks import check_open_unit, check_probability, check_trials

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    from server.stats.thurstone import ForcedChoice


def power_curve(
    trials: "ArrayLike",
    chance: float,
    alpha: float,
    p_correct: "ArrayLike",
    sided: Sides = "one",
) -> "NDArray[np.float64]":
    """Return the exact power of a forced-choice test, element by element.

    Parameters
    ----------
    trials : array_like of int
        Numbers of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    alpha : float
        Level of the test, above 0 and below 1.
    p_correct : array_like of float
        Probabilities of a correct answer that are supposed true, 0 to 1; of a
        shape that goes with `trials`.
    sided : {"one", "two"}
        Two-sided only at chance 1/2; both tails then count.

    Returns
    -------
    ndarray of float, shape as `trials` and `p_correct` broadcast
        Probability of a significant number of correct answers; 0 where no
        number is significant.

    Raises
    ------
    ValueError
        If an argument is out of range, or a two-sided test has another chance
        than 1/2.

    Notes
    -----
    With c the critical number of n answers, the power is P(X >= c), two-sided
    P(X >= c) + P(X <= n - c), for X binomial(n, `p_correct`). It rises with
    `p_correct` (above chance) but goes up and down with n: whenever c goes up by
    one, one answer more lowers it [1]_.

    References
    ----------
    .. [1] Chernick, M. R. & Liu, C. Y. (2002). The saw-toothed behavior of power
       versus sample size and software solutions: single binomial proportion using
       exact methods. The American Statistician, 56, 149-155.

    Examples
    --------
    >>> power_curve([43, 44], 1 / 3, 0.05, 1 / 3 + 0.3 * 2 / 3).round(6).tolist()
    [0.852986, 0.815083]
    >>> power_curve(24, 0.5, 0.05, [0.25, 0.5, 0.75], sided="two").round(6).tolist()
    [0.607413, 0.022656, 0.607413]
    """
    import numpy as np

    numbers = _check_numbers(trials)
    shares = np.asarray(p_correct, dtype=np.float64)
    for extreme in (shares.min(initial=0.0), shares.max(initial=0.0)):
        check_probability("p_correct", float(extreme))
    criticals = critical_numbers(numbers, chance, alpha, sided)
    return power_at(criticals, numbers, shares, sided)


def power_of_d_prime(
    model: "ForcedChoice", trials: int, alpha: float, d: "ArrayLike", sided: Sides = "one"
) -> "NDArray[np.float64]":
    """Return the exact power of a test at every d′.

    Parameters
    ----------
    model : ForcedChoice
        The method's model, of a method that has a d′.
    trials : int
        Number of answers, 1 or more.
    alpha : float
        Level of the test, above 0 and below 1.
    d : array_like of float
        Distances in standard deviations, 0 or more.
    sided : {"one", "two"}
        Two-sided only at chance 1/2.

    Returns
    -------
    ndarray of float, shape of `d`
        Power as in `power_curve`; at 0 it is the attained level.

    Raises
    ------
    ValueError
        If an argument is out of range, or the method has no d′.

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> power_of_d_prime(TRIANGLE, 202, 0.05, [0.0, 1.0, 2.0]).round(4).tolist()
    [0.0491, 0.8015, 1.0]
    """
    import numpy as np

    distances = np.asarray(d, dtype=np.float64)
    return power_curve(trials, model.chance, alpha, model.pc(distances), sided)


def critical_numbers(
    trials: "NDArray[np.int64]", chance: float, alpha: float, sided: Sides = "one"
) -> "NDArray[np.int64]":
    """Return the critical number of every number of answers.

    Parameters
    ----------
    trials : ndarray of int
        Numbers of answers, 1 or more.
    chance, alpha, sided
        As in `binomial.critical_number`.

    Returns
    -------
    ndarray of int, shape of `trials`
        As `binomial.critical_number` gives; `trials` + 1 where that is None.

    Raises
    ------
    ValueError
        If `chance` or `alpha` is out of range, or a two-sided test has another
        chance than 1/2.

    Examples
    --------
    >>> import numpy as np
    >>> critical_numbers(np.array([2, 12, 24]), 1 / 3, 0.05).tolist()
    [3, 8, 13]
    """
    import numpy as np
    from scipy import special  # takes half a second to load

    check_open_unit("chance", chance)
    check_open_unit("alpha", alpha)
    check_sided(sided, chance)
    if sided == "two":
        alpha /= 2
    # The normal quantile, mended for skewness (Cornish & Fisher 1938), says where to
    # look; the exact tail decides.
    z = -special.ndtri(alpha)
    spread = np.sqrt(trials * chance * (1 - chance))
    guess = trials * chance + z * spread + (z * z - 1) * (1 - 2 * chance) / 6 + 0.5
    critical = np.asarray(np.clip(np.ceil(guess), 1, trials + 1), dtype=np.int64)
    most = alpha * (1 + TIE)
    while (low := tails(critical, trials, chance) > most).any():
        critical = critical + low
    while (high := (critical > 1) & (tails(critical - 1, trials, chance) <= most)).any():
        critical = critical - high
    return critical


def power_at(
    criticals: "NDArray[np.int64]",
    trials: "NDArray[np.int64]",
    p_correct: "float | NDArray[np.float64]",
    sided: Sides,
) -> "NDArray[np.float64]":
    """Return the probability of reaching critical numbers; nothing is checked.

    Examples
    --------
    >>> import numpy as np
    >>> power_at(np.array([2, 3]), np.array([2, 2]), 0.5, "two").tolist()
    [0.5, 0.0]
    """
    above = tails(criticals, trials, p_correct)
    return above + tails(criticals, trials, 1 - p_correct) if sided == "two" else above


def tails(
    correct: "NDArray[np.int64]",
    trials: "NDArray[np.int64]",
    p_correct: "float | NDArray[np.float64]",
) -> "NDArray[np.float64]":
    """Return P(X >= correct) element by element; 0 where correct > trials.

    Examples
    --------
    >>> import numpy as np
    >>> tails(np.array([0, 1, 3]), np.array([2, 2, 2]), 0.5).tolist()
    [1.0, 0.75, 0.0]
    """
    import numpy as np
    from scipy import special  # takes half a second to load

    inside = np.clip(correct, 1, trials)
    upper = np.asarray(special.betainc(inside, trials - inside + 1, p_correct), dtype=np.float64)
    return np.where(correct > trials, 0.0, np.where(correct < 1, 1.0, upper))


def _check_numbers(trials: "ArrayLike") -> "NDArray[np.int64]":
    import numpy as np

    numbers = np.asarray(trials)
    for one in {numbers.min(initial=1).item(), numbers.max(initial=1).item()}:
        check_trials(one)
    return numbers.astype(np.int64)
