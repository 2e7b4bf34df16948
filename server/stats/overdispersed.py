"""Correct answers of an assessor when assessors differ: a beta-binomial above a guessing floor."""

from functools import lru_cache
from typing import TYPE_CHECKING

from server.stats.checks import check_probability, check_trials

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_REPLICATES = 1_000


def log_pmf(trials: int, chance: float, mean: float, gamma: float) -> "NDArray[np.float64]":
    """Return the log probability of every number of correct answers of one assessor.

    Parameters
    ----------
    trials : int
        Answers of the assessor, 1 to 1,000.
    chance : float
        Probability of a correct answer by guessing, 0 or more and below 1; 0
        gives the plain beta-binomial distribution.
    mean : float
        Mean over assessors of the share of answers that notice the difference,
        0 to 1.
    gamma : float
        Over-dispersion, 0 to 1: 0 if the share is the same for all (a binomial
        distribution), 1 if each assessor notices always or never.

    Returns
    -------
    ndarray of float, shape (trials + 1,)
        log P(X = 0), ..., log P(X = `trials`); minus infinity where impossible.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    An assessor's share u has a beta distribution with parameters a and b, so that
    mean = a/(a + b) and gamma = 1/(a + b + 1); a noticed difference is answered
    correctly, any other with probability g = `chance`, so that each answer is
    correct with probability g + (1 - g) u. Of n answers j notice it with the
    beta-binomial probability [1]_ [2]_

        C(n, j) prod[i<j](m(1-c) + ic) prod[i<n-j]((1-m)(1-c) + ic) / prod[i<n](1-c + ic),

    m the mean and c = gamma, and k - j of the others are guessed:

        P(X = k) = sum over j of P(j) C(n-j, k-j) g^(k-j) (1-g)^(n-k).

    Products instead of gamma functions of a and b lose no digits as gamma goes to
    0, and the common factor of their first terms, taken out, leaves a value at
    gamma = 1 too. No term of either formula is negative, so nothing cancels.

    References
    ----------
    .. [1] Skellam, J. G. (1948). A probability distribution derived from the
       binomial distribution by regarding the probability of success as variable
       between the sets of trials. Journal of the Royal Statistical Society B,
       10, 257-261.
    .. [2] Griffiths, D. A. (1973). Maximum likelihood estimation for the
       beta-binomial distribution and an application to the household
       distribution of the total number of cases of a disease. Biometrics, 29,
       637-648: the form in products.

    Examples
    --------
    >>> import numpy as np
    >>> np.exp(log_pmf(2, 0.0, 0.5, 1 / 3)).round(10).tolist()
    [0.3333333333, 0.3333333333, 0.3333333333]
    >>> np.exp(log_pmf(2, 0.5, 0.5, 1.0)).round(10).tolist()
    [0.125, 0.25, 0.625]
    """
    import numpy as np

    _check_assessor(trials, chance, mean, gamma)
    noticed = _log_noticed(trials, mean, gamma)
    if chance == 0:
        return noticed
    guessed = _log_guessed(trials, chance)
    return np.asarray(np.logaddexp.reduce(noticed + guessed, axis=1), dtype=np.float64)


def _check_assessor(trials: int, chance: float, mean: float, gamma: float) -> None:
    check_trials(trials)
    if trials > MOST_REPLICATES:
        raise ValueError(
            f"trials of one assessor must be at most {MOST_REPLICATES:,}, not {trials}"
        )
    if not 0 <= chance < 1:
        raise ValueError(f"chance must be 0 or more and below 1, not {chance}")
    check_probability("mean", mean)
    check_probability("gamma", gamma)


def _log_noticed(trials: int, mean: float, gamma: float) -> "NDArray[np.float64]":
    """Return the log probability that 0, ..., `trials` answers notice the difference."""
    import numpy as np

    later = np.arange(1, trials) * gamma
    with np.errstate(divide="ignore"):  # the log of 0 is what an impossible number gets
        right = _sum_up(np.log(mean), np.log(mean * (1 - gamma) + later))
        wrong = _sum_up(np.log1p(-mean), np.log((1 - mean) * (1 - gamma) + later))
        both = np.zeros(trials + 1)
        both[1:trials] = np.log1p(-gamma)
        # Computed as the others are, so that at a mean of 0 or 1 they cancel to the last digit.
        every = _sum_up(np.float64(0), np.log(1 - gamma + later))[-1]
    return np.asarray(_log_ways(trials) + right + wrong[::-1] + both - every, dtype=np.float64)


def _sum_up(first: "np.float64", later: "NDArray[np.float64]") -> "NDArray[np.float64]":
    """Return the sums of the first 0, 1, ... terms."""
    import numpy as np

    return np.concatenate(([0.0], np.cumsum(np.concatenate(([first], later)))))


def _log_ways(trials: int) -> "NDArray[np.float64]":
    """Return the logs of the binomial coefficients of `trials`."""
    import numpy as np

    factorial = np.concatenate(([0.0], np.cumsum(np.log(np.arange(1, trials + 1)))))
    return np.asarray(factorial[-1] - factorial - factorial[::-1], dtype=np.float64)


@lru_cache(maxsize=32)  # a fit asks for the same table again and again
def _log_guessed(trials: int, chance: float) -> "NDArray[np.float64]":
    """Return log P(k correct | j noticed), k down and j across, by guessing the others."""
    import numpy as np

    table = np.full((trials + 1, trials + 1), -np.inf)
    for noticed in range(trials + 1):
        others = trials - noticed
        right = np.arange(others + 1)
        table[noticed:, noticed] = (
            _log_ways(others) + right * np.log(chance) + (others - right) * np.log1p(-chance)
        )
    table.flags.writeable = False
    return table
