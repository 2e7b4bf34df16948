"""A-not-A test: d′ and criterion of assessors who call single samples A or not A."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.profile_limits import best_log_likelihood, find_limits, find_peak
from server.stats.results import OpenInterval
from server.stats.two_rates import check_answers

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FARTHEST = 64.0  # no d′ is looked for beyond it

ONE_RATE_AT_THE_END = (
    "d′, its criterion and its standard error are not estimable: one sample got the same answer "
    "every time. The likelihood still sets one limit."
)
BOTH_RATES_AT_THE_SAME_END = (
    "Nothing can be said of d′: both samples got the same answer every time."
)
REVERSED = (
    "Not A was called A more often than A was: by chance, or because the key is turned round."
)


@dataclass(frozen=True)
class ANotA:
    """An A-not-A test analysed by the model of two normal distributions.

    Attributes
    ----------
    hits, served_a, false_alarms, served_not_a : int
        Answers A and all answers, to A and to not A.
    hit_rate, false_alarm_rate : float
        Their proportions.
    d_prime : float or None
        Distance between the samples, in standard deviations; negative if not A
        is called A more often.
    d_prime_se : float or None
        Its standard error by the delta method.
    criterion : float or None
        Where the answers turn to A, from half way between the samples, in
        standard deviations; above 0 if A is said less readily.
    d_prime_interval : OpenInterval
        Likelihood limits of d′.
    d_prime_adjusted, criterion_adjusted : float
        The same after half an answer is added to either count of either sample.
    level : float
        Confidence level of the limits.
    notes : tuple of str
        Why something is None, and what is odd.
    """

    hits: int
    served_a: int
    false_alarms: int
    served_not_a: int
    hit_rate: float
    false_alarm_rate: float
    d_prime: float | None
    d_prime_se: float | None
    criterion: float | None
    d_prime_interval: OpenInterval
    d_prime_adjusted: float
    criterion_adjusted: float
    level: float
    notes: tuple[str, ...]


def analyse_a_not_a(
    hits: int, served_a: int, false_alarms: int, served_not_a: int, level: float = 0.95
) -> ANotA:
    """Estimate d′ and criterion from the answers of an A-not-A test.

    Parameters
    ----------
    hits, served_a : int
        Answers A and all answers to A; `served_a` 1 or more.
    false_alarms, served_not_a : int
        Answers A and all answers to not A; `served_not_a` 1 or more.
    level : float
        Confidence level of the limits, above 0 and below 1.

    Returns
    -------
    ANotA
        Estimates, unrounded.

    Raises
    ------
    ValueError
        If a count is out of range, or `level` not between 0 and 1.

    Notes
    -----
    d′ = z(H) - z(F), criterion -(z(H) + z(F)) / 2, z the normal quantile of hit and
    false-alarm rate [1]_; variance H(1-H)/(n φ(z(H))²) + F(1-F)/(m φ(z(F))²) [2]_. At
    a rate of 0 or 1, z is infinite: no number is put in its place. The
    likelihood limits need none; the adjusted values add 1/2 to every count [3]_
    and are drawn towards 0 by it.

    References
    ----------
    .. [1] Green, D. M. & Swets, J. A. (1966). Signal Detection Theory and
       Psychophysics.
    .. [2] Gourevitch, V. & Galanter, E. (1967). A significance test for one
       parameter isosensitivity functions. Psychometrika, 32, 25-33.
    .. [3] Hautus, M. J. (1995). Corrections for extreme proportions and their
       biasing effects on estimated values of d′. Behavior Research Methods,
       Instruments, & Computers, 27, 46-51.

    Examples
    --------
    >>> found = analyse_a_not_a(60, 100, 35, 100)
    >>> round(found.d_prime, 8), round(found.criterion, 8), round(found.d_prime_se, 8)
    (0.63866757, 0.06598668, 0.18072479)
    """
    check_answers("hits", hits, served_a)
    check_answers("false_alarms", false_alarms, served_not_a)
    hit_rate, false_alarm_rate = hits / served_a, false_alarms / served_not_a
    estimable = 0 < hit_rate < 1 and 0 < false_alarm_rate < 1
    d, criterion = _estimate(hit_rate, false_alarm_rate) if estimable else (None, None)
    adjusted = _estimate((hits + 0.5) / (served_a + 1), (false_alarms + 0.5) / (served_not_a + 1))
    return ANotA(
        hits=hits,
        served_a=served_a,
        false_alarms=false_alarms,
        served_not_a=served_not_a,
        hit_rate=hit_rate,
        false_alarm_rate=false_alarm_rate,
        d_prime=d,
        d_prime_se=_standard_error(hits, served_a, false_alarms, served_not_a)
        if estimable
        else None,
        criterion=criterion,
        d_prime_interval=_limits(hits, served_a, false_alarms, served_not_a, d, level),
        d_prime_adjusted=adjusted[0],
        criterion_adjusted=adjusted[1],
        level=level,
        notes=_notes(hit_rate, false_alarm_rate),
    )


def rates_a_not_a(
    d: "float | NDArray[np.float64]", criterion: "float | NDArray[np.float64]"
) -> "tuple[NDArray[np.float64], NDArray[np.float64]]":
    """Return hit and false-alarm rate at a d′ and a criterion.

    Parameters
    ----------
    d, criterion : float or ndarray of float
        Of shapes that fit together.

    Returns
    -------
    tuple of ndarray of float
        Φ(d/2 - criterion) and Φ(-d/2 - criterion), of the common shape.

    Examples
    --------
    >>> [round(float(rate), 4) for rate in rates_a_not_a(2.0, 0.0)]
    [0.8413, 0.1587]
    """
    import numpy as np
    from scipy import special  # takes half a second to load

    half = np.asarray(d, dtype=np.float64) / 2
    return (
        np.asarray(special.ndtr(half - criterion), dtype=np.float64),
        np.asarray(special.ndtr(-half - criterion), dtype=np.float64),
    )


def _estimate(hit_rate: float, false_alarm_rate: float) -> tuple[float, float]:
    from scipy import special  # takes half a second to load

    hit, false_alarm = float(special.ndtri(hit_rate)), float(special.ndtri(false_alarm_rate))
    return hit - false_alarm, -(hit + false_alarm) / 2


def _standard_error(hits: int, served_a: int, false_alarms: int, served_not_a: int) -> float:
    from scipy import special  # takes half a second to load

    variance = 0.0
    for yes, answers in ((hits, served_a), (false_alarms, served_not_a)):
        rate = yes / answers
        density = math.exp(-(float(special.ndtri(rate)) ** 2) / 2) / math.sqrt(2 * math.pi)
        variance += rate * (1 - rate) / (answers * density**2)
    return math.sqrt(variance)


def _limits(
    hits: int, served_a: int, false_alarms: int, served_not_a: int, best: float | None, level: float
) -> OpenInterval:
    """Return limits by the likelihood at each d′ with the criterion that suits it best."""
    import numpy as np
    from scipy import special  # takes half a second to load

    misses, rejections = served_a - hits, served_not_a - false_alarms
    largest = best_log_likelihood(hits, misses) + best_log_likelihood(false_alarms, rejections)

    def deviance(d: float) -> float:
        def likelihood(middle: "NDArray[np.float64]") -> "NDArray[np.float64]":
            a, not_a = middle + d / 2, middle - d / 2
            return (
                hits * special.log_ndtr(a)
                + misses * special.log_ndtr(-a)
                + false_alarms * special.log_ndtr(not_a)
                + rejections * special.log_ndtr(-not_a)
            )

        reach = abs(d) / 2 + 10
        peak = find_peak(likelihood, -reach, reach)
        return 2 * (largest - float(likelihood(np.array([peak]))[0]))

    return find_limits(
        deviance,
        best,
        -FARTHEST,
        FARTHEST,
        level,
        open_low=hits == 0 or rejections == 0,
        open_high=misses == 0 or false_alarms == 0,
    )


def _notes(hit_rate: float, false_alarm_rate: float) -> tuple[str, ...]:
    ends = (0.0, 1.0)
    found = []
    if hit_rate == false_alarm_rate and hit_rate in ends:
        found.append(BOTH_RATES_AT_THE_SAME_END)
    elif hit_rate in ends or false_alarm_rate in ends:
        found.append(ONE_RATE_AT_THE_END)
    if hit_rate < false_alarm_rate:
        found.append(REVERSED)
    return tuple(found)
