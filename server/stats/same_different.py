"""Same-different test: d′ and criterion of assessors who call pairs same or different."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.profile_limits import (
    best_log_likelihood,
    find_limits,
    find_peak,
    log_likelihood,
)
from server.stats.results import OpenInterval
from server.stats.two_rates import check_answers

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FARTHEST = 64.0  # no d′ is looked for beyond it
BEYOND = 20.0  # a criterion so far above d′ makes every answer same

AT_ZERO = (
    "d′ is 0: same was not answered more often to same pairs than to different ones. "
    "The standard errors are not estimable there; the likelihood limits are."
)
NO_UPPER = (
    "d′ has no upper limit and no estimate: same pairs were always called same, "
    "or different pairs never."
)
NEAR_ZERO = (
    "The likelihood limits of d′ reach down to 0: so near to it, make no limits from the "
    "standard error."
)
ONE_ANSWER_ONLY = "Nothing can be said of d′: all pairs got the same answer."


@dataclass(frozen=True)
class SameDifferent:
    """A same-different test analysed by its Thurstonian model.

    Attributes
    ----------
    same_when_same, same_pairs : int
        Answers same and all answers, to pairs of one sample.
    same_when_different, different_pairs : int
        Answers same and all answers, to pairs of two samples.
    same_when_same_rate, same_when_different_rate : float
        Their proportions.
    d_prime : float or None
        Distance between the samples, in standard deviations, 0 or more.
    d_prime_se : float or None
        Its standard error by observed information.
    criterion : float or None
        The distance of two percepts from which on a pair is called different.
    criterion_se : float or None
        Its standard error.
    d_prime_interval : OpenInterval
        Likelihood limits of d′, the lower one never None.
    level : float
        Confidence level of the limits.
    notes : tuple of str
        Why something is None.
    """

    same_when_same: int
    same_pairs: int
    same_when_different: int
    different_pairs: int
    same_when_same_rate: float
    same_when_different_rate: float
    d_prime: float | None
    d_prime_se: float | None
    criterion: float | None
    criterion_se: float | None
    d_prime_interval: OpenInterval
    level: float
    notes: tuple[str, ...]


def analyse_same_different(
    same_when_same: int,
    same_pairs: int,
    same_when_different: int,
    different_pairs: int,
    level: float = 0.95,
) -> SameDifferent:
    """Estimate d′ and criterion from the answers of a same-different test.

    Parameters
    ----------
    same_when_same, same_pairs : int
        Answers same and all answers, to pairs of one sample; `same_pairs` 1 or more.
    same_when_different, different_pairs : int
        Answers same and all answers, to pairs of two samples; `different_pairs`
        1 or more.
    level : float
        Confidence level of the limits, above 0 and below 1.

    Returns
    -------
    SameDifferent
        Maximum-likelihood estimates, unrounded.

    Raises
    ------
    ValueError
        If a count is out of range, or `level` not between 0 and 1.

    Notes
    -----
    A pair is called same if its two percepts, normal with standard deviation 1,
    are less than the criterion τ apart [1]_:

        P(same | same pair) = 2 Φ(τ/√2) - 1,
        P(same | different pair) = Φ((τ - d)/√2) - Φ((-τ - d)/√2).

    Two rates, two parameters: both rates are met whenever same is answered more
    often to same pairs; otherwise d′ is 0 and τ follows from all pairs together.
    The standard errors are those of two independent proportions, carried
    through the two equations.

    References
    ----------
    .. [1] Macmillan, N. A., Kaplan, H. L. & Creelman, C. D. (1977). The
       psychophysics of categorical perception. Psychological Review, 84,
       452-471 (from memory).

    Examples
    --------
    >>> found = analyse_same_different(60, 100, 40, 100)
    >>> round(found.criterion, 8), round(found.d_prime, 8)
    (1.19023216, 1.43320417)
    >>> round(found.criterion_se, 8), round(found.d_prime_se, 8)
    (0.12373474, 0.27981631)
    """
    check_answers("same_when_same", same_when_same, same_pairs)
    check_answers("same_when_different", same_when_different, different_pairs)
    counts = (same_when_same, same_pairs, same_when_different, different_pairs)
    d, criterion = _estimate(*counts)
    d_se, criterion_se = _standard_errors(counts, d, criterion)
    limits = _limits(*counts, d, level)
    return SameDifferent(
        *counts,
        same_when_same_rate=same_when_same / same_pairs,
        same_when_different_rate=same_when_different / different_pairs,
        d_prime=d,
        d_prime_se=d_se,
        criterion=criterion,
        criterion_se=criterion_se,
        d_prime_interval=limits,
        level=level,
        notes=_notes(*counts, d, limits.low),
    )


def p_same_when_same(criterion: "float | NDArray[np.float64]") -> "NDArray[np.float64]":
    """Return the probability that a pair of one sample is called same.

    Parameters
    ----------
    criterion : float or ndarray of float
        Distance from which on a pair is called different, 0 or more.

    Returns
    -------
    ndarray of float
        2 Φ(criterion/√2) - 1, of the same shape.

    Examples
    --------
    >>> round(float(p_same_when_same(1.0)), 6)
    0.5205
    """
    import numpy as np
    from scipy import special  # takes half a second to load

    return np.asarray(special.erf(np.asarray(criterion) / 2), dtype=np.float64)


def p_same_when_different(
    d: "float | NDArray[np.float64]", criterion: "float | NDArray[np.float64]"
) -> "NDArray[np.float64]":
    """Return the probability that a pair of two samples is called same.

    Parameters
    ----------
    d, criterion : float or ndarray of float
        d′ and the distance from which on a pair is called different, both 0 or
        more, of shapes that fit together.

    Returns
    -------
    ndarray of float
        Φ((criterion - d)/√2) - Φ((-criterion - d)/√2), of the common shape.

    Examples
    --------
    >>> round(float(p_same_when_different(2.0, 1.0)), 6)
    0.222803
    """
    import numpy as np
    from scipy import special  # takes half a second to load

    distance, tau = np.asarray(d, dtype=np.float64), np.asarray(criterion, dtype=np.float64)
    root = math.sqrt(2)
    near, far = special.ndtr((tau - distance) / root), special.ndtr((-tau - distance) / root)
    return np.asarray(near - far, dtype=np.float64)


def _estimate(
    same: int, same_pairs: int, same_other: int, different_pairs: int
) -> tuple[float | None, float | None]:
    """Return d′ and criterion."""
    from scipy import special  # takes half a second to load

    rate, other = same / same_pairs, same_other / different_pairs
    pooled = (same + same_other) / (same_pairs + different_pairs)
    if pooled in (0, 1):
        return None, None
    if other >= rate:
        return 0.0, 2 * float(special.erfinv(pooled))
    if rate == 1:
        return None, None
    criterion = 2 * float(special.erfinv(rate))
    return (None if other == 0 else _halve(criterion, other)), criterion


def _halve(criterion: float, rate: float) -> float:
    """Return the d′ at which different pairs are called same at that rate."""
    low, high = 0.0, FARTHEST
    while low < (middle := (low + high) / 2) < high:
        if float(p_same_when_different(middle, criterion)) > rate:
            low = middle
        else:
            high = middle
    return high


def _standard_errors(
    counts: tuple[int, int, int, int], d: float | None, criterion: float | None
) -> tuple[float | None, float | None]:
    """Return the errors of d′ and criterion; None where they are not estimable."""
    if criterion is None or d == 0:
        return None, None
    rate, other = counts[0] / counts[1], counts[2] / counts[3]
    criterion_variance = rate * (1 - rate) / counts[1] / (2 * _density(criterion)) ** 2
    if d is None:
        return None, math.sqrt(criterion_variance)
    near, far = _density(criterion - d), _density(criterion + d)
    by_criterion, by_d = near + far, far - near
    rate_variance = other * (1 - other) / counts[3]
    variance = (rate_variance + by_criterion**2 * criterion_variance) / by_d**2
    return math.sqrt(variance), math.sqrt(criterion_variance)


def _density(x: float) -> float:
    """Return the derivative of Φ(x/√2)."""
    return math.exp(-x * x / 4) / math.sqrt(4 * math.pi)


def _limits(
    same: int, same_pairs: int, same_other: int, different_pairs: int, d: float | None, level: float
) -> OpenInterval:
    """Return limits by the likelihood at each d′ with the criterion that suits it best."""
    import numpy as np
    from scipy import special  # takes half a second to load

    rest, rest_other = same_pairs - same, different_pairs - same_other
    if same * different_pairs > same_other * same_pairs:
        largest = best_log_likelihood(same, rest) + best_log_likelihood(same_other, rest_other)
    else:
        largest = best_log_likelihood(same + same_other, rest + rest_other)

    def deviance(distance: float) -> float:
        def likelihood(tau: "NDArray[np.float64]") -> "NDArray[np.float64]":
            apart = special.ndtr((distance - tau) / math.sqrt(2))
            apart += special.ndtr(-(distance + tau) / math.sqrt(2))
            called_same = p_same_when_different(distance, tau)
            return log_likelihood(
                same, rest, p_same_when_same(tau), np.asarray(special.erfc(tau / 2))
            ) + log_likelihood(same_other, rest_other, called_same, apart)

        peak = find_peak(likelihood, 0.0, distance + BEYOND)
        return 2 * (largest - float(likelihood(np.array([peak]))[0]))

    return find_limits(deviance, d, 0.0, FARTHEST, level, open_high=rest == 0 or same_other == 0)


def _notes(
    same: int,
    same_pairs: int,
    same_other: int,
    different_pairs: int,
    d: float | None,
    low: float | None,
) -> tuple[str, ...]:
    if same + same_other in (0, same_pairs + different_pairs):
        return (ONE_ANSWER_ONLY,)
    if d is None:
        return (NO_UPPER,)
    if d == 0:
        return (AT_ZERO,)
    return (NEAR_ZERO,) if low == 0 else ()
