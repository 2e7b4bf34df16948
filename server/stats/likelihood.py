"""Likelihood intervals of d′: from counts, for any forced-choice model, at its edges as well."""

import math
from dataclasses import dataclass

from server.stats.checks import check_counts, check_open_unit
from server.stats.results import HalfOpenInterval, Interval
from server.stats.thurstone import ForcedChoice, d_prime_se

AT_CHANCE = (
    "The standard error of d′ and its Wald interval are not estimable: "
    "no more correct answers than guessing gives."
)
NEAR_CHANCE = (
    "The standard error of d′ and its Wald interval are not given: the likelihood interval "
    "begins at 0, and so near to guessing they mislead."
)
ALL_CORRECT = (
    "d′, its standard error and its upper limit are not estimable: every answer was correct."
)
BELOW_CHANCE = (
    "Fewer correct answers than guessing gives: d′ is put at 0, and the limit counts from there."
)


@dataclass(frozen=True)
class DPrimeDescription:
    """The d′ of one test with what can be said of its uncertainty.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    method : str
        Name of the model.
    correct, trials : int
        The counts.
    level : float
        Confidence level of both intervals.
    estimate : float or None
        Maximum-likelihood estimate, 0 or more.
    se : float or None
        Standard error by the delta method; not given at and near chance.
    wald_interval : Interval or None
        Estimate plus and minus so many standard errors, floored at 0; not
        given at and near chance, that is where the likelihood interval begins
        at 0.
    likelihood_interval : HalfOpenInterval or None
        All d′ whose likelihood is near enough to the largest.
    notes : tuple of str
        Why something is None.
    """

    method: str
    correct: int
    trials: int
    level: float
    estimate: float | None
    se: float | None
    wald_interval: Interval | None
    likelihood_interval: HalfOpenInterval | None
    notes: tuple[str, ...]


def describe_d_prime(
    model: ForcedChoice, correct: int, trials: int, level: float = 0.95
) -> DPrimeDescription:
    """Estimate d′ from counts, with the intervals that fit the place.

    Parameters
    ----------
    model : ForcedChoice
        The method's model.
    correct : int
        Number of correct answers, 0 to `trials`.
    trials : int
        Number of answers, 1 or more; each independent of the others.
    level : float
        Confidence level, above 0 and below 1.

    Returns
    -------
    DPrimeDescription
        All None but the counts if the model has no d′.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    The Wald interval takes the likelihood for a parabola. Where a model is
    flat at d′ = 0, as that of the triangle test is, this fails there: the
    standard error grows without bound towards chance. So near to chance there
    is only the likelihood interval.

    d′ has no sign here. Of a two-sided method, give the larger of its two
    counts: which sample it was is not a matter of d′.

    Examples
    --------
    >>> from server.stats.forced_choice import TRIANGLE
    >>> found = describe_d_prime(TRIANGLE, 14, 24)
    >>> round(found.estimate, 8), round(found.se, 8)
    (1.89123506, 0.50829016)
    >>> [round(limit, 6) for limit in found.likelihood_interval]
    [0.769461, 2.889204]
    >>> found = describe_d_prime(TRIANGLE, 20, 60)
    >>> found.estimate, found.se, found.wald_interval
    (0.0, None, None)
    """
    check_counts(correct, trials)
    check_open_unit("level", level)
    if model.without_d_prime:
        reason = (model.without_d_prime,)
        return DPrimeDescription(model.name, correct, trials, level, None, None, None, None, reason)
    limits = find_likelihood_interval(model, correct, trials, level)
    estimate = model.d_prime(correct / trials)
    se = None if limits.low == 0 else d_prime_se(model, correct / trials, trials)
    return DPrimeDescription(
        method=model.name,
        correct=correct,
        trials=trials,
        level=level,
        estimate=estimate,
        se=se,
        wald_interval=_wald_interval(estimate, se, level),
        likelihood_interval=limits,
        notes=_notes(model, correct / trials, limits.low),
    )


def find_likelihood_interval(
    model: ForcedChoice, correct: int, trials: int, level: float = 0.95
) -> HalfOpenInterval:
    """Return the likelihood interval of d′.

    Parameters
    ----------
    model : ForcedChoice
        The method's model; it must have a d′.
    correct : int
        Number of correct answers, 0 to `trials`.
    trials : int
        Number of answers, 1 or more.
    level : float
        Confidence level, above 0 and below 1.

    Returns
    -------
    HalfOpenInterval
        The lower limit is 0 where guessing alone is likely enough; the upper
        limit is None if every answer was correct.

    Raises
    ------
    ValueError
        If an argument is out of range, or the model has no d′.

    Notes
    -----
    All d′ of 0 or more with 2 (l(best) - l(d′)) up to the chi-square quantile
    with one degree of freedom [1]_, where l is the binomial log-likelihood and
    best the d′ of 0 or more at which it is largest. As d′ and the proportion
    correct rise together, the limits are found for the proportion and mapped.
    The level is held for many trials; below chance, where best is 0, the
    interval is longer than it need be.

    References
    ----------
    .. [1] Wilks, S. S. (1938). The large-sample distribution of the likelihood
       ratio for testing composite hypotheses. Annals of Mathematical
       Statistics, 9, 60-62.

    Examples
    --------
    >>> from server.stats.forced_choice import TRIANGLE, TWO_AFC
    >>> low, high = find_likelihood_interval(TWO_AFC, 27, 40)
    >>> round(low, 6), round(high, 6)
    (0.078647, 1.221154)
    >>> find_likelihood_interval(TRIANGLE, 24, 24).high is None
    True
    """
    check_counts(correct, trials)
    check_open_unit("level", level)
    best = max(correct / trials, model.chance)
    most = _normal_quantile(level) ** 2
    low = high = None
    if correct > trials * model.chance:
        low = _find_limit(correct, trials, best, model.chance, most)
    if correct < trials:
        high = _find_limit(correct, trials, best, 1.0, most)
    lowest = None if low is None else model.d_prime(low)
    return HalfOpenInterval(lowest or 0.0, None if high is None else model.d_prime(high))


def _find_limit(correct: int, trials: int, best: float, end: float, most: float) -> float:
    """Return the first proportion from `best` towards `end` with a deviance beyond `most`.

    `end` itself if there is none on the way.
    """
    inside, outside = best, end
    if _deviance(correct, trials, best, end) <= most:
        return end
    while (middle := (inside + outside) / 2) not in (inside, outside):
        if _deviance(correct, trials, best, middle) <= most:
            inside = middle
        else:
            outside = middle
    return outside


def _deviance(correct: int, trials: int, best: float, pc: float) -> float:
    """Return 2 (l(best) - l(pc)) of the binomial log-likelihood l."""
    wrong = trials - correct
    return 2 * (_part(correct, best, pc) + _part(wrong, 1 - best, 1 - pc))


def _part(count: int, best: float, other: float) -> float:
    if count == 0:
        return 0.0
    return count * math.log(best / other) if other > 0 else math.inf


def _wald_interval(estimate: float | None, se: float | None, level: float) -> Interval | None:
    if estimate is None or se is None:
        return None
    reach = _normal_quantile(level) * se
    return Interval(max(0.0, estimate - reach), estimate + reach)


def _normal_quantile(level: float) -> float:
    """Return the z with `level` of a standard normal distribution between -z and z."""
    from scipy import special  # takes half a second to load

    return -float(special.ndtri((1 - level) / 2))


def _notes(model: ForcedChoice, pc: float, lowest: float) -> tuple[str, ...]:
    """Return a sentence for everything that is not given."""
    reasons = {
        ALL_CORRECT: pc == 1,
        AT_CHANCE: pc <= model.chance,
        BELOW_CHANCE: pc < model.chance,
        NEAR_CHANCE: lowest == 0 and model.chance < pc < 1,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
