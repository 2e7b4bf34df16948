"""What answers make of a prior belief about pd, the share of noticed differences."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.checks import check_counts, check_open_unit, check_probability
from server.stats.results import Interval

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

HALVINGS = 60
TOO_LARGE = "The Bayes factor is too large a number to be written; its logarithm is given."


@dataclass(frozen=True)
class Posterior:
    """Belief about pd after the answers.

    Attributes
    ----------
    correct, trials : int
        The counts.
    chance : float
        Probability of a correct answer by guessing.
    prior : tuple of float
        (a, b) of the prior of pd, Beta(a, b); (1, 1) holds every pd equally likely.
    level : float
        Probability of the interval.
    mean, median : float
        Of the posterior of pd.
    interval : Interval
        Equal-tailed: half of 1 - `level` lies on either side.
    bayes_factor : float or None
        How many times more probable the counts are under the prior than with
        pd = 0: above 1 they speak for a difference, below 1 against one.
    log_bayes_factor : float
        Its natural logarithm.
    notes : tuple of str
    """

    correct: int
    trials: int
    chance: float
    prior: tuple[float, float]
    level: float
    mean: float
    median: float
    interval: Interval
    bayes_factor: float | None
    log_bayes_factor: float
    notes: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class _Mixture:
    """Beta(first, second) distributions of pd with their weights, and the log Bayes factor."""

    weights: "NDArray[np.float64]"
    first: "NDArray[np.float64]"
    second: float
    log_factor: float

    def tail(self, share: float) -> float:
        from scipy import special  # takes half a second to load

        return float(self.weights @ special.betaincc(self.first, self.second, share))


def update_share(
    correct: int,
    trials: int,
    chance: float,
    prior: tuple[float, float] = (1.0, 1.0),
    level: float = 0.95,
) -> Posterior:
    """Update a belief about pd by the counts of a forced-choice test.

    Parameters
    ----------
    correct : int
        Number of correct answers, 0 to `trials`.
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    prior : tuple of float
        (a, b) of the prior of pd, Beta(a, b), both above 0; uniform by default.
    level : float
        Probability of the interval, above 0 and below 1.

    Returns
    -------
    Posterior

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    An answer is correct with probability g + (1 - g) u at pd = u, never below
    guessing. Expanding the power of that sum, the posterior of u is exactly a
    mixture of Beta(a + j, b + n - k) over j = 0 ... k noticed differences among
    the k correct answers, with weights in proportion to

        C(k, j) ((1 - g)/g)^j B(a + j, b + n - k),

    whose sum over B(a, b) is the Bayes factor against u = 0. No term is negative,
    so that nothing cancels. With a uniform prior this is the beta distribution of
    the proportion correct cut off below g. Leaving the floor out changes verdicts:
    60 of 100 at g = 1/2 have the factor 1.78 with it and 0.91 without.

    References
    ----------
    .. [1] Jeffreys, H. (1961). Theory of Probability, 3rd edition, chapter 5, for
       the factor (chapter from memory).

    Examples
    --------
    >>> found = update_share(5, 6, 1 / 2)
    >>> round(found.bayes_factor, 8), round(found.mean, 5)
    (2.85714286, 0.54375)
    """
    check_open_unit("level", level)
    mixture = _mix(correct, trials, chance, prior)
    finite = mixture.log_factor < math.log(1e300)
    return Posterior(
        correct=correct,
        trials=trials,
        chance=chance,
        prior=prior,
        level=level,
        mean=float(mixture.weights @ (mixture.first / (mixture.first + mixture.second))),
        median=_find_quantile(mixture, 0.5),
        interval=Interval(
            _find_quantile(mixture, (1 + level) / 2), _find_quantile(mixture, (1 - level) / 2)
        ),
        bayes_factor=math.exp(mixture.log_factor) if finite else None,
        log_bayes_factor=mixture.log_factor,
        notes=() if finite else (TOO_LARGE,),
    )


def posterior_tail(
    correct: int,
    trials: int,
    chance: float,
    share: float,
    prior: tuple[float, float] = (1.0, 1.0),
) -> float:
    """Return the posterior probability that pd is above `share`.

    Parameters
    ----------
    correct, trials, chance, prior
        As in `update_share`.
    share : float
        A share of noticed differences, 0 to 1.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Examples
    --------
    >>> round(posterior_tail(16, 30, 1 / 3, 0.2), 8)
    0.7768086
    """
    check_probability("share", share)
    return _mix(correct, trials, chance, prior).tail(share)


def _mix(correct: int, trials: int, chance: float, prior: tuple[float, float]) -> _Mixture:
    import numpy as np
    from scipy import special  # takes half a second to load

    check_counts(correct, trials)
    check_open_unit("chance", chance)
    if not all(0 < one < math.inf for one in prior):
        raise ValueError(f"prior must be two numbers above 0, not {prior}")
    a, b = prior
    noticed = np.arange(correct + 1, dtype=np.float64)
    first, second = a + noticed, b + trials - correct
    ways = special.gammaln(correct + 1.0) - special.gammaln(noticed + 1)
    ways = ways - special.gammaln(correct - noticed + 1)
    logs = ways + noticed * math.log((1 - chance) / chance) + special.betaln(first, second)
    total = float(special.logsumexp(logs))
    return _Mixture(np.exp(logs - total), first, second, total - float(special.betaln(a, b)))


def _find_quantile(mixture: _Mixture, above: float) -> float:
    """Return the pd with probability `above` on its upper side."""
    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if mixture.tail(middle) > above:
            low = middle
        else:
            high = middle
    return (low + high) / 2
