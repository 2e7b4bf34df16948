"""Just-about-right answers beside liking: shares of each side, mean drops, penalty."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from server.stats.checks import check_open_unit
from server.stats.results import Interval
from server.stats.t_tests import TTest, pooled_test, welch_interval, welch_test

SMALL_SHARE = 0.2

NONE_RIGHT = "No drop and no penalty are estimable: nobody answered just about right."
ALL_RIGHT = "No drop and no penalty are estimable: everybody answered just about right."
NOBODY = "There is no drop on the {} side: nobody answered there."
SMALL = (
    "The {} side has {} of {} answers, fewer than 20 %: its drop rests on few people and "
    "is customarily not acted on."
)
NO_SPREAD = (
    "The penalty has no t tests: likings differ neither among those who answered just about "
    "right nor among the others."
)
ONE_IN_GROUP = (
    "The penalty has no Welch test and no limits: one of its two groups is a single person."
)
NO_DROP_LIMITS = "The drop on the {} side has no limits: too few or too equal likings."


@dataclass(frozen=True)
class Right:
    """Those who answered just about right.

    Attributes
    ----------
    n : int
    share : float
        Of all answers.
    mean : float or None
        Mean liking; None if nobody did.
    """

    n: int
    share: float
    mean: float | None


@dataclass(frozen=True)
class Side:
    """Those who answered on one side of just about right.

    Attributes
    ----------
    n : int
    share : float
        Of all answers.
    mean : float or None
        Mean liking; None if nobody answered there.
    drop : float or None
        Mean liking of those who answered just about right, less `mean`.
    drop_interval : Interval or None
        Welch's limits of it.
    weighted_drop : float or None
        `drop` x `share`.
    small : bool
        Whether the share is below 20 %.
    """

    n: int
    share: float
    mean: float | None
    drop: float | None
    drop_interval: Interval | None
    weighted_drop: float | None
    small: bool


@dataclass(frozen=True)
class JustAboutRight:
    """Just-about-right answers to one sample, with liking.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    points : int
        Length of the scale.
    right_answer : int
        The answer that means just about right.
    counts : tuple of int, length `points`
        How often each answer was given, from the lowest.
    n : int
    mean : float
        Mean liking of all.
    low, high : Side
        Too little and too much.
    right : Right
    penalty : float or None
        Mean liking of those who answered just about right, less that of all others.
    penalty_interval : Interval or None
        Welch's limits of it.
    welch, pooled : TTest or None
        Of no penalty: any variances, and one common variance.
    level : float
        Confidence level of the limits.
    notes : tuple of str
    """

    points: int
    right_answer: int
    counts: tuple[int, ...]
    n: int
    mean: float
    low: Side
    right: Right
    high: Side
    penalty: float | None
    penalty_interval: Interval | None
    welch: TTest | None
    pooled: TTest | None
    level: float
    notes: tuple[str, ...]


def analyse_jar(
    answers: Sequence[int],
    liking: Sequence[float],
    points: int = 5,
    right: int | None = None,
    level: float = 0.95,
) -> JustAboutRight:
    """Say how liking goes with answers on a just-about-right scale.

    Parameters
    ----------
    answers : sequence of int, length n
        One answer of every person to one sample.
    liking : sequence of float, length n
        The same people's liking of the same sample; more is better.
    points : int
        Length of the scale, odd, 3 or more.
    right : int, optional
        The answer that means just about right, the middle of the scale;
        if not given, the scale begins at 1. With 0, it has as many answers
        below 0 as above.
    level : float
        Confidence level of the limits, above 0 and below 1.

    Returns
    -------
    JustAboutRight

    Raises
    ------
    ValueError
        If there is no answer, the lengths differ, an answer is off the scale,
        a liking not finite, or `points` or `level` out of range.

    Notes
    -----
    The drop of a side is the mean liking of those who answered just about right
    less the mean of those on that side; weighted, times the side's share; the
    penalty takes both sides together, so that it is the sum of the weighted
    drops divided by the share of both sides [1]_. The 20 % below which a side
    counts as small are common practice, no source.

    The answers of different people are independent; several answers of one
    person are not. A drop says that those who found fault liked it less, not
    that they would like it better changed.

    References
    ----------
    .. [1] ASTM MNL63 (2009). Just-About-Right (JAR) Scales: Design, Usage,
       Benefits, and Risks (definitions from memory).

    Examples
    --------
    >>> found = analyse_jar([1, 2, 3, 3, 3, 4], [4, 6, 8, 7, 9, 5])
    >>> found.low.drop, found.high.drop, found.penalty
    (3.0, 3.0, 3.0)
    """
    _check(answers, liking, points, right)
    check_open_unit("level", level)
    first, _ = find_ends(points, right)
    middle = first + points // 2
    low, fit, high = _split(answers, liking, middle)
    others, n = low + high, len(liking)
    sides = [_describe_side(side, fit, n, level) for side in (low, high)]
    welch, pooled = welch_test(fit, others), pooled_test(fit, others)
    return JustAboutRight(
        points=points,
        right_answer=middle,
        counts=tuple(sum(at == first + place for at in answers) for place in range(points)),
        n=n,
        mean=_mean(liking),
        low=sides[0],
        right=Right(len(fit), len(fit) / n, _mean(fit) if fit else None),
        high=sides[1],
        penalty=_mean(fit) - _mean(others) if fit and others else None,
        penalty_interval=welch_interval(fit, others, level),
        welch=welch,
        pooled=pooled,
        level=level,
        notes=_note(sides, len(fit), n, welch, pooled),
    )


def find_ends(points: int, right: int | None = None) -> tuple[int, int]:
    """Return the lowest and the highest answer of a scale.

    Parameters
    ----------
    points, right : int
        As in `analyse_jar`.

    Raises
    ------
    ValueError
        If `points` is not odd, 3 or more.

    Examples
    --------
    >>> find_ends(5), find_ends(7, right=0)
    ((1, 5), (-3, 3))
    """
    if points < 3 or points % 2 == 0:
        raise ValueError(f"points must be odd, 3 or more, not {points}")
    first = 1 if right is None else right - points // 2
    return first, first + points - 1


def _check(answers: Sequence[int], liking: Sequence[float], points: int, right: int | None) -> None:
    first, last = find_ends(points, right)
    if not len(answers) or len(answers) != len(liking):
        raise ValueError(
            f"answers must be as many as likings ({len(liking)}), one or more, not {len(answers)}"
        )
    for at in answers:
        if at != int(at) or not first <= at <= last:
            raise ValueError(f"answers must be whole, {first} to {last}, not {at}")
    for value in liking:
        if not math.isfinite(value):
            raise ValueError(f"liking must be finite, not {value}")


def _split(
    answers: Sequence[int], liking: Sequence[float], middle: int
) -> tuple[list[float], list[float], list[float]]:
    """Return the likings of those below, at and above the middle of the scale."""
    pairs = list(zip(answers, liking, strict=True))
    return (
        [value for at, value in pairs if at < middle],
        [value for at, value in pairs if at == middle],
        [value for at, value in pairs if at > middle],
    )


def _describe_side(side: Sequence[float], fit: Sequence[float], n: int, level: float) -> Side:
    drop = _mean(fit) - _mean(side) if side and fit else None
    return Side(
        n=len(side),
        share=len(side) / n,
        mean=_mean(side) if side else None,
        drop=drop,
        drop_interval=welch_interval(fit, side, level),
        weighted_drop=None if drop is None else drop * len(side) / n,
        small=len(side) / n < SMALL_SHARE,
    )


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _note(
    sides: Sequence[Side], fit: int, n: int, welch: TTest | None, pooled: TTest | None
) -> tuple[str, ...]:
    if not fit:
        return (NONE_RIGHT,)
    if fit == n:
        return (ALL_RIGHT,)
    low, high = _note_side("low", sides[0], n), _note_side("high", sides[1], n)
    if pooled is None:
        return (NO_SPREAD, *low, *high)
    return (*((ONE_IN_GROUP,) if welch is None else ()), *low, *high)


def _note_side(name: str, side: Side, n: int) -> tuple[str, ...]:
    if not side.n:
        return (NOBODY.format(name),)
    limits = () if side.drop_interval else (NO_DROP_LIMITS.format(name),)
    return (*((SMALL.format(name, side.n, n),) if side.small else ()), *limits)
