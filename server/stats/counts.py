"""Everything that follows from k correct answers in n trials of a forced-choice test."""

from dataclasses import dataclass
from typing import NamedTuple

from server.stats.binomial import Sides, clopper_pearson, critical_number, p_value
from server.stats.checks import check_counts, check_open_unit
from server.stats.results import HalfOpenInterval, Interval
from server.stats.shares import BELOW_GUESSING, UPPER_BELOW_GUESSING, ShareBounds, share_limits
from server.stats.thurstone import ForcedChoice, d_prime_se, pc_from_share

NO_CRITICAL = "No number of correct answers reaches alpha: too few trials for this level."
NO_ERROR_AT_CHANCE = (
    "The standard error of d′ is not estimable: no more correct answers than guessing gives."
)
NO_ERROR_AT_HALF = (
    "The standard error of d′ is not estimable: both samples were chosen equally often."
)
NO_D_PRIME = (
    "d′, its standard error and its upper limit are not estimable: every answer was correct."
)
NO_D_PRIME_ALL_ALIKE = (
    "d′, its standard error and its upper limit are not estimable: all answers went to one sample."
)
TWO_SIDED = (
    "Two-sided: which of the two samples is counted is not a matter of the test, and the "
    "estimates are distances from an even split, whichever way the answers lean."
)
MORE_THAN_HALF = "More than half of the answers chose the sample counted."
FEWER_THAN_HALF = "Fewer than half of the answers chose the sample counted."
EXACTLY_HALF = "Exactly half of the answers chose the sample counted."


@dataclass(frozen=True)
class CountsResult:
    """A forced-choice test analysed from its counts.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    method : str
        Name of the model.
    correct, trials : int
        The counts; two-sided, `correct` are the choices of either sample.
    chance : float
        Probability of a correct answer by guessing.
    alpha : float
        Level of the test.
    p_value : float
        Exact p-value.
    critical : int or None
        Smallest number of correct answers significant at `alpha`; two-sided, of
        the larger count.
    detected : bool
        Whether `correct`, two-sided the larger count, reaches `critical`.
    pc : float
        Proportion correct.
    pc_interval : Interval
        Two-sided exact limits of it.
    pd : float
        Share of answers that noticed the difference, by the guessing model;
        0 below chance. Two-sided |2 pc - 1|, the distance from an even split.
    pd_interval : Interval or None
        The limits of `pc`, as shares, floored at 0, two-sided folded there.
    pd_upper : float or None
        One-sided upper limit of the share.
    d_prime : float or None
        Distance between the samples, in standard deviations; 0 below chance,
        two-sided at an even split.
    d_prime_se : float or None
        Its standard error by the delta method.
    d_prime_interval : HalfOpenInterval or None
        The limits of `pc`, as d′.
    level : float
        Confidence level of every limit.
    notes : tuple of str
        Why something is None; two-sided also which way the answers lean.
    """

    method: str
    correct: int
    trials: int
    chance: float
    alpha: float
    p_value: float
    critical: int | None
    detected: bool
    pc: float
    pc_interval: Interval
    pd: float
    pd_interval: Interval | None
    pd_upper: float | None
    d_prime: float | None
    d_prime_se: float | None
    d_prime_interval: HalfOpenInterval | None
    level: float
    notes: tuple[str, ...]


class Distance(NamedTuple):
    """d′ with its standard error and limits; each None where it is not estimable."""

    d_prime: float | None = None
    se: float | None = None
    interval: HalfOpenInterval | None = None


def analyse_counts(
    model: ForcedChoice,
    correct: int,
    trials: int,
    alpha: float = 0.05,
    level: float = 0.95,
    sided: Sides = "one",
) -> CountsResult:
    """Analyse the counts of a forced-choice test.

    Parameters
    ----------
    model : ForcedChoice
        The method's model.
    correct : int
        Number of correct answers, 0 to `trials`; in a two-sided test the number
        that chose one of the two samples, whichever.
    trials : int
        Number of answers, 1 or more.
    alpha : float
        Level of the test, above 0 and below 1.
    level : float
        Confidence level of the limits, above 0 and below 1.
    sided : {"one", "two"}
        Whether few correct answers count as well as many; two-sided only at
        chance 1/2 (paired comparison, paired preference).

    Returns
    -------
    CountsResult
        Test, limits and d′, unrounded.

    Raises
    ------
    ValueError
        If an argument is out of range, or a two-sided test has another chance
        than 1/2.

    References
    ----------
    ISO 4120 (triangle test), ISO 10399 (duo-trio test), ISO 5495 (paired
    comparison); exact binomial throughout, see `binomial` and `shares`.

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> result = analyse_counts(TRIANGLE, 14, 24)
    >>> result.critical, result.detected, round(result.p_value, 10)
    (13, True, 0.0103406738)
    >>> round(result.d_prime, 8), round(result.d_prime_se, 8)
    (1.89123506, 0.50829016)
    """
    check_counts(correct, trials)
    check_open_unit("alpha", alpha)
    check_open_unit("level", level)
    critical = critical_number(trials, model.chance, alpha, sided)
    counted = correct if sided == "one" else max(correct, trials - correct)
    pc_interval = clopper_pearson(correct, trials, level)
    share = share_limits(correct, trials, model.chance, level, folded=sided == "two").bounded
    distance = _measure(model, counted, trials, _leaning(pc_interval, share, sided))
    return CountsResult(
        method=model.name,
        correct=correct,
        trials=trials,
        chance=model.chance,
        alpha=alpha,
        p_value=p_value(correct, trials, model.chance, sided),
        critical=critical,
        detected=critical is not None and counted >= critical,
        pc=correct / trials,
        pc_interval=pc_interval,
        pd=share.share,
        pd_interval=_pd_interval(share),
        pd_upper=share.upper,
        d_prime=distance.d_prime,
        d_prime_se=distance.se,
        d_prime_interval=distance.interval,
        level=level,
        notes=(
            *_missing(critical, share),
            *_missing_distance(model, counted / trials, sided),
            *(_lean(correct, trials) if sided == "two" else ()),
        ),
    )


def _leaning(pc: Interval, share: ShareBounds, sided: Sides) -> Interval | None:
    """Return the limits of the proportion correct that d′ is read from; None below guessing."""
    if share.low is None or share.high is None:
        return None
    if sided == "one":
        return pc
    return Interval(pc_from_share(share.low, 0.5), pc_from_share(share.high, 0.5))


def _measure(
    model: ForcedChoice, counted: int, trials: int, pc_interval: Interval | None
) -> Distance:
    if model.without_d_prime:
        return Distance()
    pc = counted / trials
    low = None if pc_interval is None else model.d_prime(pc_interval.low)
    return Distance(
        d_prime=model.d_prime(pc),
        se=d_prime_se(model, pc, trials),
        interval=None
        if pc_interval is None or low is None
        else HalfOpenInterval(low, model.d_prime(pc_interval.high)),
    )


def _pd_interval(share: ShareBounds) -> Interval | None:
    if share.low is None or share.high is None:
        return None
    return Interval(share.low, share.high)


def _missing(critical: int | None, share: ShareBounds) -> tuple[str, ...]:
    """Return a sentence for a critical number and for limits of the share that are missing."""
    reasons = {
        NO_CRITICAL: critical is None,
        BELOW_GUESSING: share.high is None,
        UPPER_BELOW_GUESSING: share.upper is None and share.high is not None,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)


def _missing_distance(model: ForcedChoice, pc: float, sided: Sides) -> tuple[str, ...]:
    """Return a sentence if d′ or its standard error is missing."""
    if model.without_d_prime:
        return (model.without_d_prime,)
    if pc == 1:
        return (NO_D_PRIME if sided == "one" else NO_D_PRIME_ALL_ALIKE,)
    if pc <= model.chance:
        return (NO_ERROR_AT_CHANCE if sided == "one" else NO_ERROR_AT_HALF,)
    return ()


def _lean(correct: int, trials: int) -> tuple[str, ...]:
    if 2 * correct == trials:
        return (TWO_SIDED, EXACTLY_HALF)
    return (TWO_SIDED, MORE_THAN_HALF if 2 * correct > trials else FEWER_THAN_HALF)
