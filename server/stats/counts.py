"""Everything that follows from k correct answers in n trials of a forced-choice test."""

from dataclasses import dataclass

from server.stats.binomial import clopper_pearson, critical_number, p_value
from server.stats.checks import check_counts, check_open_unit
from server.stats.results import HalfOpenInterval, Interval
from server.stats.thurstone import ForcedChoice, d_prime_se, share_from_pc

BELOW_GUESSING = "The limits of pd and d′ are not estimable: below guessing; check key and trays."
UPPER_BELOW_GUESSING = (
    "The one-sided upper limit of pd is not estimable: below guessing; check key and trays."
)
NO_CRITICAL = "No number of correct answers reaches alpha: too few trials for this level."
NO_ERROR_AT_CHANCE = (
    "The standard error of d′ is not estimable: no more correct answers than guessing gives."
)
NO_D_PRIME = (
    "d′, its standard error and its upper limit are not estimable: every answer was correct."
)


@dataclass(frozen=True)
class CountsResult:
    """A forced-choice test analysed from its counts.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    method : str
        Name of the model.
    correct, trials : int
        The counts.
    chance : float
        Probability of a correct answer by guessing.
    alpha : float
        One-sided level of the test.
    p_value : float
        Exact one-sided p-value.
    critical : int or None
        Smallest number of correct answers significant at `alpha`.
    detected : bool
        Whether `correct` reaches `critical`.
    pc : float
        Proportion correct.
    pc_interval : Interval
        Two-sided exact limits of it.
    pd : float
        Share of answers that noticed the difference, by the guessing model;
        0 below chance.
    pd_interval : Interval or None
        The limits of `pc`, as shares, floored at 0.
    pd_upper : float or None
        One-sided upper limit of the share.
    d_prime : float or None
        Distance between the samples, in standard deviations; 0 below chance.
    d_prime_se : float or None
        Its standard error by the delta method.
    d_prime_interval : HalfOpenInterval or None
        The limits of `pc`, as d′.
    level : float
        Confidence level of every limit.
    notes : tuple of str
        Why something is None.
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


def analyse_counts(
    model: ForcedChoice, correct: int, trials: int, alpha: float = 0.05, level: float = 0.95
) -> CountsResult:
    """Analyse the counts of a forced-choice test.

    Parameters
    ----------
    model : ForcedChoice
        The method's model.
    correct : int
        Number of correct answers, 0 to `trials`.
    trials : int
        Number of answers, 1 or more.
    alpha : float
        One-sided level of the test, above 0 and below 1.
    level : float
        Confidence level of the limits, above 0 and below 1.

    Returns
    -------
    CountsResult
        Test, limits and d′, unrounded.

    Raises
    ------
    ValueError
        If an argument is out of range.

    References
    ----------
    ISO 4120 (triangle test), exact binomial throughout; limits of Clopper &
    Pearson (1934), see `binomial.clopper_pearson`.

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
    pc = correct / trials
    critical = critical_number(trials, model.chance, alpha)
    pc_interval = clopper_pearson(correct, trials, level)
    pc_upper = clopper_pearson(correct, trials, level, sided="upper").high
    return CountsResult(
        method=model.name,
        correct=correct,
        trials=trials,
        chance=model.chance,
        alpha=alpha,
        p_value=p_value(correct, trials, model.chance),
        critical=critical,
        detected=critical is not None and correct >= critical,
        pc=pc,
        pc_interval=pc_interval,
        pd=_floored_share(model, pc),
        pd_interval=_pd_interval(model, pc_interval),
        pd_upper=_pd_upper(model, pc_upper),
        d_prime=model.d_prime(pc),
        d_prime_se=d_prime_se(model, pc, trials),
        d_prime_interval=_d_prime_interval(model, pc_interval),
        level=level,
        notes=_notes(model, pc, critical, pc_interval.high, pc_upper),
    )


def _floored_share(model: ForcedChoice, pc: float) -> float:
    return max(0.0, share_from_pc(pc, model.chance))


def _pd_interval(model: ForcedChoice, pc: Interval) -> Interval | None:
    if pc.high < model.chance:
        return None
    return Interval(_floored_share(model, pc.low), _floored_share(model, pc.high))


def _pd_upper(model: ForcedChoice, pc_upper: float) -> float | None:
    return None if pc_upper < model.chance else _floored_share(model, pc_upper)


def _d_prime_interval(model: ForcedChoice, pc: Interval) -> HalfOpenInterval | None:
    low = model.d_prime(pc.low)
    if pc.high < model.chance or low is None:
        return None
    return HalfOpenInterval(low, model.d_prime(pc.high))


def _notes(
    model: ForcedChoice, pc: float, critical: int | None, pc_high: float, pc_upper: float
) -> tuple[str, ...]:
    """Return a sentence for everything that is not estimable."""
    reasons = {
        NO_CRITICAL: critical is None,
        BELOW_GUESSING: pc_high < model.chance,
        UPPER_BELOW_GUESSING: pc_upper < model.chance <= pc_high,
        NO_ERROR_AT_CHANCE: pc <= model.chance,
        NO_D_PRIME: pc == 1,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
