"""What answers make of a prior opinion on the share that notices the difference."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from server.stats.checks import check_counts, check_open_unit, check_probability
from server.stats.crossings import find_crossing
from server.stats.results import Interval
from server.stats.similarity import is_below_guessing

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

LARGEST_LOG = 700.0  # beyond it, e to the power is no longer a number
NEGLIGIBLE = 46.0  # terms smaller than the largest by this power of e (1e-20) are left out

DEPENDS_ON_PRIOR = (
    "The Bayes factor depends on the prior: a wide prior counts against a difference when the "
    "share is small."
)
BEYOND_NUMBERS = "The Bayes factor is too far from 1 for a number; its logarithm is given."
FEWER_THAN_GUESSING = "Fewer correct answers than guessing explains; check key and trays."
INDEPENDENT = "All answers count as independent; several answers of one person are not."


class Prior(NamedTuple):
    """A beta distribution of the share before the answers; by default every share alike.

    Attributes
    ----------
    a, b : float
        Parameters, above 0: mean a/(a + b), weight as of a + b answers.

    Examples
    --------
    >>> Prior()
    Prior(a=1.0, b=1.0)
    """

    a: float = 1.0
    b: float = 1.0


UNIFORM = Prior()


class Beyond(NamedTuple):
    """Posterior probability that the share is above a limit.

    Examples
    --------
    >>> Beyond(0.2, 0.75).probability
    0.75
    """

    share: float
    probability: float


@dataclass(frozen=True)
class _Mixture:
    """Beta distributions with the same `b`; weights that add up to 1."""

    weights: "Array"
    a: "Array"
    b: float
    log_total: float  # log of the sum of the weights before they were scaled


@dataclass(frozen=True)
class SharePosterior:
    """The share that notices the difference, after the answers.

    Attributes
    ----------
    correct, trials : int
        Correct answers and all answers.
    chance : float
        Probability of a correct answer by guessing.
    prior : Prior
        What was held of the share before the answers.
    level : float
        Posterior probability of `interval`.
    mean, median : float
        Of the posterior distribution of the share.
    interval : Interval
        Equal-tailed: as much probability below it as above.
    above : tuple of Beyond
        Probability of a share above each limit asked for.
    log_bayes_factor : float
        Natural logarithm of `bayes_factor`.
    bayes_factor : float or None
        How many times as probable the answers are under the prior as with a
        share of 0; None if it is too large or too small for a number.
    notes : tuple of str
        What it rests on, and why something is None.
    """

    correct: int
    trials: int
    chance: float
    prior: Prior
    level: float
    mean: float
    median: float
    interval: Interval
    above: tuple[Beyond, ...]
    log_bayes_factor: float
    bayes_factor: float | None
    notes: tuple[str, ...]


def describe_posterior(
    correct: int,
    trials: int,
    chance: float,
    prior: Prior = UNIFORM,
    level: float = 0.95,
    limits: Sequence[float] = (),
) -> SharePosterior:
    """Describe the share that notices the difference, given answers and a prior.

    Parameters
    ----------
    correct : int
        Number of correct answers, 0 to `trials`.
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    prior : Prior
        Parameters of the beta distribution of the share, each above 0.
    level : float
        Posterior probability of the interval, above 0 and below 1.
    limits : sequence of float
        Shares, 0 to 1, whose exceedance is to be judged.

    Returns
    -------
    SharePosterior
        Mean, median, interval, exceedances and Bayes factor, unrounded.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    Of share d each answer notices the difference and is correct, or is guessed
    and correct with probability g, so that the likelihood of k correct of n is

        (g + (1-g) d)^k ((1-g)(1-d))^(n-k).

    With the first power written out by the binomial theorem, its term j says that
    j of the k correct answers noticed the difference and the others were guessed.
    Under a Beta(a, b) prior each term keeps the form of a beta distribution, so
    the posterior is a mixture of Beta(a + j, b + n - k), j = 0 ... k, with weights

        w(j) = C(k, j) ((1-g)/g)^j B(a + j, b + n - k) / B(a, b).

    No term is negative, so nothing cancels, however far k is below chance, and the
    sum of the weights is the Bayes factor against a share of 0. With a uniform
    prior it is the distribution Beta(k + 1, n - k + 1) of the proportion correct,
    cut off below g: the share is never negative. Answers do not lose their meaning
    if a sequential plan decided when to stop.

    References
    ----------
    .. [1] Jeffreys, H. (1961). Theory of Probability, 3rd ed., Oxford: the Bayes
       factor.

    Examples
    --------
    >>> found = describe_posterior(16, 30, 1 / 3, limits=[0.2])
    >>> round(found.mean, 8), round(found.bayes_factor, 8)
    (0.30065371, 4.13500652)
    >>> [round(x, 8) for x in found.interval], round(found.above[0].probability, 8)
    ([0.06048302, 0.54824302], 0.7768086)
    """
    check_counts(correct, trials)
    check_open_unit("chance", chance)
    check_open_unit("level", level)
    for limit in limits:
        check_probability("limits", limit)
    _check_prior(prior)
    mixture = _mix(correct, trials, chance, prior)
    outside = (1 - level) / 2
    factor = math.exp(mixture.log_total) if abs(mixture.log_total) <= LARGEST_LOG else None
    return SharePosterior(
        correct=correct,
        trials=trials,
        chance=chance,
        prior=Prior(*(float(x) for x in prior)),
        level=level,
        mean=float(mixture.weights @ (mixture.a / (mixture.a + mixture.b))),
        median=_find_quantile(mixture, 0.5),
        interval=Interval(_find_quantile(mixture, outside), _find_quantile(mixture, 1 - outside)),
        above=tuple(Beyond(float(x), _exceed(mixture, x)) for x in limits),
        log_bayes_factor=mixture.log_total,
        bayes_factor=factor,
        notes=_notes(correct, trials, chance, factor),
    )


def _check_prior(prior: Prior) -> None:
    for name, value in zip(Prior._fields, prior, strict=True):
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"prior {name} must be above 0 and finite, not {value}")


def _mix(correct: int, trials: int, chance: float, prior: Prior) -> _Mixture:
    """Return the posterior; j of the correct answers noticed the difference in term j."""
    import numpy as np
    from scipy import special  # takes half a second to load

    noticed = np.arange(correct + 1, dtype=np.float64)
    a, b = prior.a + noticed, prior.b + trials - correct
    ways = special.gammaln(correct + 1.0) - special.gammaln(noticed + 1)
    ways -= special.gammaln(correct - noticed + 1)
    odds = noticed * (math.log1p(-chance) - math.log(chance))
    logs = ways + odds + special.betaln(a, b) - special.betaln(prior.a, prior.b)
    kept = logs > logs.max() - NEGLIGIBLE
    weights = np.exp(logs[kept] - logs.max())
    total = float(weights.sum())
    return _Mixture(weights / total, a[kept], b, math.log(total) + float(logs.max()))


def _cumulate(mixture: _Mixture, share: float) -> float:
    """Return the probability of a share up to `share`."""
    from scipy import special

    return float(mixture.weights @ special.betainc(mixture.a, mixture.b, share))


def _exceed(mixture: _Mixture, share: float) -> float:
    """Return the probability of a share above `share`, exact also where it is small."""
    from scipy import special

    return float(mixture.weights @ special.betaincc(mixture.a, mixture.b, share))


def _find_quantile(mixture: _Mixture, probability: float) -> float:
    return find_crossing(
        lambda share: _cumulate(mixture, share) - probability, 0.0, 1.0, width=2.0**-64
    )


def _notes(correct: int, trials: int, chance: float, factor: float | None) -> tuple[str, ...]:
    reasons = {
        FEWER_THAN_GUESSING: is_below_guessing(correct, trials, chance),
        BEYOND_NUMBERS: factor is None,
        DEPENDS_ON_PRIOR: True,
        INDEPENDENT: True,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
