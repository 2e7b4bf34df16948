"""Confidence limits of the share of judgements that noticed a difference (guessing model)."""

import math
from dataclasses import dataclass
from typing import Literal

from server.stats.binomial import check_sided, clopper_pearson
from server.stats.checks import check_counts, check_open_unit
from server.stats.results import Interval
from server.stats.thurstone import share_from_pc

BELOW_GUESSING = "The limits of pd and d′ are not estimable: below guessing; check key and trays."
UPPER_BELOW_GUESSING = (
    "The one-sided upper limit of pd is not estimable: below guessing; check key and trays."
)
NORMAL_AT_THE_ENDS = (
    "The normal form gives no limits where no answer or every answer was correct: "
    "its standard error is 0 there. The exact limits hold."
)
NORMAL_SMALL = (
    "The normal form is rough here: fewer than 5 answers, correct or wrong, are on one side. "
    "The exact limits hold."
)
FEWEST_FOR_NORMAL = 5  # on either side; common practice, no source


@dataclass(frozen=True)
class ShareBounds:
    """A share with its two-sided and its one-sided limits.

    Attributes
    ----------
    share : float
        The estimate.
    low, high : float or None
        Two-sided limits, each with half the error.
    lower, upper : float or None
        One-sided limits, each with all of the error and to be read alone.
    """

    share: float
    low: float | None
    high: float | None
    lower: float | None
    upper: float | None


@dataclass(frozen=True)
class ShareLimits:
    """Limits of the share of judgements that noticed a difference.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    form : {"exact", "normal"}
        Which limits these are.
    correct, trials : int
        The counts.
    chance : float
        Probability of a correct answer by guessing.
    level : float
        Confidence level of every limit.
    standard_error : float or None
        Of the share, normal form only.
    raw : ShareBounds
        As computed: negative below chance; in the normal form also above 1.
    bounded : ShareBounds
        The same kept from 0 to 1. For a two-sided method the distances from 0,
        whichever way the answers lean.
    notes : tuple of str
        Why something is None, or rough.
    """

    form: str
    correct: int
    trials: int
    chance: float
    level: float
    standard_error: float | None
    raw: ShareBounds
    bounded: ShareBounds
    notes: tuple[str, ...]


def share_limits(
    correct: int,
    trials: int,
    chance: float,
    level: float = 0.95,
    form: Literal["exact", "normal"] = "exact",
    folded: bool = False,
) -> ShareLimits:
    """Return confidence limits of the share of judgements that noticed a difference.

    Parameters
    ----------
    correct : int
        Number of correct answers, 0 to `trials`.
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    level : float
        Confidence level, above 0 and below 1.
    form : {"exact", "normal"}
        Exact limits of the proportion correct, mapped; or the normal form that
        the standards print.
    folded : bool
        Whether a negative share has a meaning of its own, as in a two-sided
        paired comparison where fewer than half chose the sample that is
        counted: then distances from 0 are bounded, not floored.

    Returns
    -------
    ShareLimits
        Two-sided and one-sided limits, raw and bounded.

    Raises
    ------
    ValueError
        If an argument is out of range, or limits are folded at another chance
        than 1/2.

    Notes
    -----
    With p = x/n and chance g, the share is pd = (p - g)/(1 - g). Exact limits
    are those of Clopper & Pearson for p, mapped likewise. The normal form is

        pd ± z sqrt(p (1 - p)/n) / (1 - g),

    which ISO 4120 and ASTM E1885 write, for g = 1/3, as
    [1.5 (x/n) - 0.5] ± 1.5 z sqrt((n x - x²)/n³), and ISO 5495, for g = 1/2, as
    [2 (x/n) - 1] ± 2 z sqrt((n x - x²)/n³).

    Folding keeps the level of an upper limit: whichever way the answers truly
    lean, the larger distance falls short of the truth only if the limit on that
    side does. A lower limit of a distance may err to either side and so takes
    half the error on each: folded, `lower` equals `low`.

    References
    ----------
    ISO 4120 and ASTM E1885 (triangle test), ISO 5495 (paired comparison): normal
    form. Limits of Clopper & Pearson (1934), see `binomial.clopper_pearson`.

    Examples
    --------
    >>> exact = share_limits(30, 60, 1 / 3)
    >>> round(exact.raw.lower, 8), round(exact.raw.upper, 8)
    (0.08111644, 0.41888356)
    >>> normal = share_limits(30, 60, 1 / 3, form="normal")
    >>> round(normal.raw.lower, 8), round(normal.raw.upper, 8)
    (0.09073773, 0.40926227)
    """
    check_counts(correct, trials)
    check_open_unit("chance", chance)
    check_open_unit("level", level)
    check_sided("two" if folded else "one", chance)
    if form not in ("exact", "normal"):
        raise ValueError(f"form must be exact or normal, not {form}")
    error = None if form == "exact" else _standard_error(correct, trials, chance)
    if error is None:
        raw = _exact_bounds(correct, trials, chance, level)
    else:
        raw = _normal_bounds(correct / trials, error, chance, level)
    bounded = _fold_bounds(raw) if folded else _floor_bounds(raw)
    return ShareLimits(
        form=form,
        correct=correct,
        trials=trials,
        chance=chance,
        level=level,
        standard_error=error or None,
        raw=raw,
        bounded=bounded,
        notes=_notes(form, correct, trials, bounded),
    )


def floor_interval(raw: Interval) -> Interval | None:
    """Return limits of a share kept from 0 to 1; None if both are below 0.

    Examples
    --------
    >>> floor_interval(Interval(-0.25, 0.5))
    Interval(low=0.0, high=0.5)
    >>> floor_interval(Interval(-0.5, -0.25)) is None
    True
    """
    if raw.high < 0:
        return None
    return Interval(max(0.0, raw.low), min(1.0, raw.high))


def fold_interval(raw: Interval) -> Interval:
    """Return the smallest and the largest distance from 0 within limits, at most 1.

    Examples
    --------
    >>> fold_interval(Interval(-0.5, -0.25))
    Interval(low=0.25, high=0.5)
    >>> fold_interval(Interval(-0.5, 0.25))
    Interval(low=0.0, high=0.5)
    """
    near = max(0.0, raw.low, -raw.high)
    return Interval(near, min(1.0, max(-raw.low, raw.high)))


def share_interval(pc: Interval, chance: float) -> Interval:
    """Return limits of a proportion correct as limits of the share, negative below chance.

    Examples
    --------
    >>> share_interval(Interval(0.25, 0.75), 0.5)
    Interval(low=-0.5, high=0.5)
    """
    return Interval(share_from_pc(pc.low, chance), share_from_pc(pc.high, chance))


def _standard_error(correct: int, trials: int, chance: float) -> float:
    pc = correct / trials
    return math.sqrt(pc * (1 - pc) / trials) / (1 - chance)


def _exact_bounds(correct: int, trials: int, chance: float, level: float) -> ShareBounds:
    low, high = clopper_pearson(correct, trials, level)
    lower = clopper_pearson(correct, trials, level, sided="lower").low
    upper = clopper_pearson(correct, trials, level, sided="upper").high
    rates = (correct / trials, low, high, lower, upper)
    return ShareBounds(*(share_from_pc(pc, chance) for pc in rates))


def _normal_bounds(pc: float, error: float, chance: float, level: float) -> ShareBounds:
    from scipy import special  # takes half a second to load

    share = share_from_pc(pc, chance)
    if not error:
        return ShareBounds(share, None, None, None, None)
    both = float(special.ndtri((1 + level) / 2)) * error
    single = float(special.ndtri(level)) * error
    return ShareBounds(share, share - both, share + both, share - single, share + single)


def _floor_bounds(raw: ShareBounds) -> ShareBounds:
    """Return bounds from 0 to 1; an upper limit below 0 is none."""
    below = raw.high is not None and raw.high < 0
    return ShareBounds(
        share=max(0.0, raw.share),
        low=None if below else _floor(raw.low),
        high=None if below else _cap(raw.high),
        lower=_floor(raw.lower),
        upper=None if raw.upper is not None and raw.upper < 0 else _cap(raw.upper),
    )


def _fold_bounds(raw: ShareBounds) -> ShareBounds:
    """Return bounds of the distance from 0, whichever way the answers lean."""
    share = abs(raw.share)
    if raw.low is None or raw.high is None or raw.lower is None or raw.upper is None:
        return ShareBounds(share, None, None, None, None)
    low, high = fold_interval(Interval(raw.low, raw.high))
    upper = fold_interval(Interval(raw.lower, raw.upper)).high
    return ShareBounds(share, low, high, lower=low, upper=upper)


def _floor(limit: float | None) -> float | None:
    return None if limit is None else max(0.0, limit)


def _cap(limit: float | None) -> float | None:
    return None if limit is None else min(1.0, limit)


def _notes(form: str, correct: int, trials: int, bounded: ShareBounds) -> tuple[str, ...]:
    """Return a sentence for every limit that is missing or rough."""
    fewer = min(correct, trials - correct)
    at_an_end = form == "normal" and fewer == 0
    reasons = {
        BELOW_GUESSING: bounded.high is None and not at_an_end,
        UPPER_BELOW_GUESSING: bounded.upper is None and bounded.high is not None,
        NORMAL_AT_THE_ENDS: at_an_end,
        NORMAL_SMALL: form == "normal" and 0 < fewer < FEWEST_FOR_NORMAL,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
