"""What the brews of a recipe came to, and how far those of another lie from them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import sqrt
from statistics import fmean, median, stdev
from typing import NamedTuple

from server.brewing.brewed import Brewed
from server.brewing.extraction import Brewer, Form
from server.brewing.strength import Strength
from server.brewing.yields import BrewYield, find_yield
from server.stats.results import Interval
from server.stats.t_tests import welch_interval

LEVEL = 0.95
FEWEST = 2
"""Brews of either recipe below which nothing says how far brews of one recipe lie apart."""

_MEDIAN_FACTOR = sqrt(3.141592653589793 / 2)  # of a median's standard error, at most


class Point(NamedTuple):
    """A number of one brew; its standard uncertainty by itself, and what shifts all alike."""

    value: float
    repeat: float
    shift: float


@dataclass(frozen=True)
class Summary:
    """One number of several brews.

    Attributes
    ----------
    points
        Of every brew in which it was read.
    middle
        Median of them.
    plus_minus
        Limits of the median, of the kind that an instrument's limits are: the root of 3 times
        its standard uncertainty, from how far the brews lie apart and from the instrument.
    """

    points: tuple[Point, ...]
    middle: float
    plus_minus: float

    @property
    def values(self) -> tuple[float, ...]:
        """The numbers, in order of size."""
        return tuple(sorted(one.value for one in self.points))


@dataclass(frozen=True)
class RecipeNumbers:
    """What the brews of one recipe came to.

    Attributes
    ----------
    brews
        How many were kept.
    strength
        In %TDS; None if none was read.
    yields
        Extraction in percent, by the form that it was worked out by: forms do not compare.
    times
        Brew times in seconds, in order of size.
    instruments
        What strengths were read on, as far as somebody said.
    """

    brews: int = 0
    strength: Summary | None = None
    yields: Mapping[Form, Summary] = field(default_factory=dict)
    times: tuple[int, ...] = ()
    instruments: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Difference:
    """How much more one recipe has than another: means of their brews, with limits.

    The limits hold at `LEVEL`, whatever the two spread, and are never closer than reading allows.
    """

    value: float
    limits: Interval

    @property
    def is_clear(self) -> bool:
        """Whether the limits leave no doubt about its direction."""
        return self.limits.low > 0 or self.limits.high < 0


def sum_up_brews(how: Brewer, brews: Sequence[Brewed]) -> RecipeNumbers:
    """Sum up the kept brews of one recipe.

    Examples
    --------
    >>> read = [{"tds": ["1.30"]}, {"tds": ["1.34", "1.36"], "ended_s": 180}, {}]
    >>> found = sum_up_brews(Brewer.PERCOLATION, [Brewed.model_validate(one) for one in read])
    >>> found.brews, round(found.strength.middle, 3), found.times
    (3, 1.325, (180,))
    """
    found = [find_yield(how, one) for one in brews]
    forms = dict.fromkeys(one.form for one in found if one.form is not None)
    return RecipeNumbers(
        len(brews),
        sum_up([_point_strength(one.strength) for one in found if one.strength is not None]),
        {
            form: summed
            for form in forms
            if (summed := sum_up([_point_yield(one) for one in found if one.form is form]))
        },
        tuple(sorted(one.ended_s for one in brews if one.ended_s is not None)),
        frozenset(one.instrument for one in brews if one.tds and one.instrument),
    )


def sum_up(points: Sequence[Point]) -> Summary | None:
    """Sum up one number of several brews; None of none.

    References
    ----------
    JCGM 100:2008 (GUM), 4.2.3 for the scatter of repeated values, 5.1.2 for adding up; that a
    median's standard error is at most the root of pi/2 times a mean's holds of normal values.

    Examples
    --------
    >>> found = sum_up([Point(1.30, 0.006, 0.017), Point(1.34, 0.006, 0.017)])
    >>> round(found.middle, 2), round(found.plus_minus, 3)
    (1.32, 0.045)
    """
    if not points:
        return None
    values = [one.value for one in points]
    factor = _MEDIAN_FACTOR if len(values) > FEWEST else 1.0
    repeat = factor * _find_scatter(points) / sqrt(len(values))
    shift = _find_root_mean_square([one.shift for one in points])
    return Summary(tuple(points), median(values), sqrt(3) * sqrt(repeat**2 + shift**2))


def find_difference(one: Summary | None, house: Summary | None) -> Difference | None:
    """Return how much more a recipe has than the house reference; None of too few brews.

    Both were read on one instrument: what shifts all its readings alike cancels.

    References
    ----------
    Welch's limits of a difference of two means (`stats.t_tests`), widened where needed to twice
    what reading alone leaves open, JCGM 100:2008 (GUM), 6.2.1.

    Examples
    --------
    >>> weak, strong = ([Point(x, 0.006, 0.0) for x in row] for row in ((1.3, 1.32), (1.4, 1.41)))
    >>> found = find_difference(sum_up(strong), sum_up(weak))
    >>> round(found.value, 3), found.is_clear
    (0.095, True)
    """
    if one is None or house is None or min(len(one.points), len(house.points)) < FEWEST:
        return None
    value = fmean(one.values) - fmean(house.values)
    reading = 2 * sqrt(_find_doubt(one) ** 2 + _find_doubt(house) ** 2)
    limits = welch_interval(one.values, house.values, LEVEL)
    reach = max(reading, (limits.high - limits.low) / 2 if limits else 0.0)
    return Difference(value, Interval(value - reach, value + reach))


def _point_strength(found: Strength) -> Point:
    return Point(found.percent, found.repeat, found.shift)


def _point_yield(found: BrewYield) -> Point:
    shift = sqrt(max(0.0, found.alone**2 - found.repeat**2))
    return Point(found.percent or 0.0, found.repeat, shift)


def _find_scatter(points: Sequence[Point]) -> float:
    """Return how far brews lie apart, as a standard deviation; never less than reading alone."""
    reading = _find_root_mean_square([one.repeat for one in points])
    return max(stdev(one.value for one in points), reading) if len(points) > 1 else reading


def _find_doubt(summary: Summary) -> float:
    reading = _find_root_mean_square([one.repeat for one in summary.points])
    return reading / sqrt(len(summary.points))


def _find_root_mean_square(values: Sequence[float]) -> float:
    return sqrt(fmean(one**2 for one in values))
