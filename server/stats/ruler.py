"""A ruler of dilution: which share of added water is about as noticeable as a difference."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from server.stats.checks import check_counts, check_open_unit
from server.stats.chi_square import build_chi_square
from server.stats.distance_likelihood import Counts
from server.stats.profile_limits import find_limits, find_peak
from server.stats.results import ChiSquare, HalfOpenInterval
from server.stats.thurstone import LARGEST_D_PRIME

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MARKS_UNNOTICED = (
    "The ruler has no marks: no more correct answers about the dilutions than guessing gives."
)
MARKS_ALL_CORRECT = (
    "The ruler has no marks: every answer about the dilutions was correct, so that any of them "
    "may be far above what is noticeable; smaller ones are needed."
)
ALL_CORRECT = (
    "The dilution is not estimable: every answer of the test was correct; it is at least as "
    "noticeable as the lower limit."
)
NO_UPPER = (
    "The upper limit of the dilution is not estimable: the answers do not exclude that the "
    "dilutions are hardly noticeable."
)
BEYOND = "The estimate lies beyond the largest dilution tasted: the ruler is drawn out."
STRAIGHT = (
    "With one dilution the ruler is taken to be straight: d′ in proportion to the share of "
    "added water, which these answers cannot test."
)

# Dilutions up to so many times the largest one tasted are looked through.
DRAWN_OUT = 20.0


class Mark(NamedTuple):
    """Answers about one known dilution.

    Attributes
    ----------
    percent : float
        Water added, in percent of the drink, above 0.
    counts : Counts
        Correct answers of all, and the model of the method.
    """

    percent: float
    counts: Counts


@dataclass(frozen=True)
class Ruler:
    """A difference measured in added water; what cannot be estimated is None, with a note.

    Attributes
    ----------
    percent : float or None
        The share of added water that is as noticeable, in percent.
    interval : HalfOpenInterval or None
        Its profile-likelihood limits.
    slope : float or None
        d′ for each percent of added water.
    fit : ChiSquare or None
        Deviance of the dilutions from a straight ruler; None with one dilution.
    level : float
        Confidence level of the limits.
    notes : tuple of str
    """

    percent: float | None
    interval: HalfOpenInterval | None
    slope: float | None
    fit: ChiSquare | None
    level: float
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Line:
    """The ruler itself.

    Attributes
    ----------
    slope : float or None
        d′ for each percent of added water; None if every answer was correct.
    limits : HalfOpenInterval
        Its likelihood limits.
    fit : ChiSquare or None
        Deviance of the dilutions from a straight ruler; None with one dilution.
    level : float
        Confidence level of the limits.
    """

    slope: float | None
    limits: HalfOpenInterval
    fit: ChiSquare | None
    level: float


def measure_by_dilution(test: Counts, marks: Sequence[Mark], level: float = 0.95) -> Ruler:
    """Say which share of added water is about as noticeable as the difference tested.

    Parameters
    ----------
    test : Counts
        The difference, as the panel answered about it.
    marks : sequence of Mark
        The same panel's answers about known dilutions of one sample, no dilution twice by
        one method. The methods may differ: it is d′ that is compared.
    level : float
        Confidence level, above 0 and below 1.

    Returns
    -------
    Ruler
        It compares how often a difference is noticed, never what kind it is.

    Raises
    ------
    ValueError
        If there is no mark, a dilution is not above 0 or comes twice, a count is out of
        range, or `level` is not between 0 and 1.

    Notes
    -----
    d′ of a dilution is taken to be in proportion to the share of added water, and all
    counts are fitted together. Limits are where the likelihood, at its best over the
    slope, falls by the chi-square quantile [1]_. That d′ grows in proportion to a small
    change of strength is common practice, no source; `fit` tests it if there are two marks.

    References
    ----------
    .. [1] Wilks, S. S. (1938). The large-sample distribution of the likelihood ratio for
       testing composite hypotheses. Annals of Mathematical Statistics, 9, 60-62.

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> marks = [Mark(10.0, Counts("10 %", TRIANGLE, 40, 60))]
    >>> ruler = measure_by_dilution(Counts("caddy", TRIANGLE, 40, 60), marks)
    >>> round(ruler.percent, 6), round(ruler.interval.low, 2)
    (10.0, 6.69)
    """
    _check(marks, level)
    check_counts(test.correct, test.trials)
    slope = _find_slope(marks)
    if slope is None or slope == 0.0:
        note = MARKS_ALL_CORRECT if slope is None else MARKS_UNNOTICED
        return Ruler(None, None, slope, None, level, (note,))
    percent = None if test.d_prime is None else test.d_prime / slope
    interval = _find_interval(test, marks, percent, level)
    return Ruler(
        percent=percent,
        interval=interval,
        slope=slope,
        fit=_test_fit(marks, slope),
        level=level,
        notes=_note(percent, interval, marks),
    )


def draw_line(marks: Sequence[Mark], level: float = 0.95) -> Line:
    """Fit the ruler itself: how d′ grows with the share of added water.

    Parameters
    ----------
    marks, level
        As of `measure_by_dilution`, which raises the same errors.

    Returns
    -------
    Line

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> line = draw_line([Mark(10.0, Counts("10 %", TRIANGLE, 40, 60))])
    >>> round(10 * line.slope, 2), [round(10 * one, 2) for one in line.limits]
    (2.32, [1.68, 2.97])
    """
    import numpy as np

    _check(marks, level)
    slope = _find_slope(marks)
    steepest = LARGEST_D_PRIME / min(mark.percent for mark in marks)

    def fit(slope: float) -> float:
        return float(_fit(marks, np.array([slope]))[0])

    best = fit(steepest if slope is None else slope)
    limits = find_limits(
        lambda x: 2 * (best - fit(x)), slope, 0.0, steepest, level, open_high=slope is None
    )
    fitted = None if slope is None else _test_fit(marks, slope)
    return Line(slope, HalfOpenInterval(limits.low or 0.0, limits.high), fitted, level)


def _check(marks: Sequence[Mark], level: float) -> None:
    check_open_unit("level", level)
    if not marks:
        raise ValueError("marks must hold at least one dilution, not none")
    for mark in marks:
        if not 0 < mark.percent < float("inf"):
            raise ValueError(f"percent must be above 0 and finite, not {mark.percent}")
        check_counts(mark.counts.correct, mark.counts.trials)
    if len({(mark.percent, mark.counts.model) for mark in marks}) < len(marks):
        raise ValueError("marks must hold every dilution once by each method")


def _fit(marks: Sequence[Mark], slopes: "NDArray[np.float64]") -> "NDArray[np.float64]":
    """Return the log-likelihood of slopes, 0 if a straight ruler fits every mark exactly."""
    import numpy as np

    largest = LARGEST_D_PRIME
    fits = [mark.counts.likelihood(np.minimum(slopes * mark.percent, largest)) for mark in marks]
    return np.asarray(np.sum(fits, axis=0), dtype=np.float64)


def _find_slope(marks: Sequence[Mark]) -> float | None:
    """Return the likeliest slope; None if a steeper one is never worse."""
    own = [mark.counts.d_prime for mark in marks]
    if all(one is None for one in own):
        return None
    slopes = [
        (LARGEST_D_PRIME if one is None else one) / mark.percent
        for one, mark in zip(own, marks, strict=True)
    ]
    if min(slopes) == max(slopes):
        return slopes[0]
    return find_peak(lambda slope: _fit(marks, slope), min(slopes), max(slopes))


def _find_interval(
    test: Counts, marks: Sequence[Mark], percent: float | None, level: float
) -> HalfOpenInterval:
    most = DRAWN_OUT * max(mark.percent for mark in marks)
    limits = find_limits(
        lambda x: _deviance(test, marks, x),
        None if percent is None else min(percent, most),
        0.0,
        most,
        level,
        open_high=percent is None,
    )
    high = None if limits.high is None or limits.high >= most else limits.high
    return HalfOpenInterval(limits.low or 0.0, high)


def _deviance(test: Counts, marks: Sequence[Mark], percent: float) -> float:
    """Return twice the log-likelihood lost if the difference is worth so much water."""
    import numpy as np

    def likelihood(slopes: "NDArray[np.float64]") -> "NDArray[np.float64]":
        distance = np.minimum(slopes * percent, LARGEST_D_PRIME)
        return _fit(marks, slopes) + test.likelihood(distance)

    steepest = LARGEST_D_PRIME / min(mark.percent for mark in marks)
    peak = find_peak(likelihood, 0.0, steepest)
    best = float(_fit(marks, np.array([_find_slope(marks) or 0.0]))[0])
    return 2 * (best - float(likelihood(np.array([peak]))[0]))


def _test_fit(marks: Sequence[Mark], slope: float) -> ChiSquare | None:
    import numpy as np

    if len(marks) == 1:
        return None
    return build_chi_square(-2 * float(_fit(marks, np.array([slope]))[0]), len(marks) - 1)


def _note(
    percent: float | None, interval: HalfOpenInterval, marks: Sequence[Mark]
) -> tuple[str, ...]:
    notes = []
    if percent is None:
        notes.append(ALL_CORRECT)
    elif interval.high is None:
        notes.append(NO_UPPER)
    if percent is not None and percent > max(mark.percent for mark in marks):
        notes.append(BEYOND)
    if len({mark.percent for mark in marks}) == 1:
        notes.append(STRAIGHT)
    return tuple(notes)
