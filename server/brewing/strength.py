"""A strength from several refractometer readings, and how well it is known."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import median

WIDEST_SPREAD = 0.03
"""Largest spread of readings of one sample that is not warned of, %TDS; common practice."""

WARMEST_C = 25.0
"""Above this a sample reads wrong and evaporates; 20 to 25 °C is common practice, no source."""

EXACT_UP_TO = 5.0
"""Above, the accuracy grows in proportion: common practice, no source but that it is worse."""

# Mean range of so many normal readings, in standard deviations: Shewhart's d2, as printed in
# tables of control charts (from memory).
_MEAN_RANGE = (1.0, 1.0, 1.128, 1.693, 2.059, 2.326, 2.534, 2.704, 2.847, 2.970, 3.078)
_MEDIAN_FACTOR = 1.2533  # of a median's standard error, at most (square root of pi / 2)


@dataclass(frozen=True)
class Instrument:
    """Limits of a refractometer up to 5 %TDS: of one reading again, and of its being right.

    As they stand they are a maker's figures, seen second-hand.
    """

    precision: float = 0.01
    accuracy: float = 0.03

    def find_accuracy(self, percent: float) -> float:
        """Return the limits within which it is right at a strength, in %TDS.

        Examples
        --------
        >>> Instrument().find_accuracy(1.3), round(Instrument().find_accuracy(10), 2)
        (0.03, 0.06)
        """
        return self.accuracy * max(1.0, percent / EXACT_UP_TO)


USUAL = Instrument()


@dataclass(frozen=True)
class Strength:
    """A strength in %TDS.

    Attributes
    ----------
    percent
        Median of the readings.
    readings
        As they were read.
    spread
        Largest less smallest reading.
    is_spread_wide, is_warm
        Whether the readings lie farther apart than 0.03, and whether the sample was
        above 25 °C.
    repeat
        Standard uncertainty from repeating alone: what counts between two brews that were
        read on one instrument in one go.
    shift
        Standard uncertainty from the instrument's accuracy: all that it reads shifts alike.
    """

    percent: float
    readings: tuple[float, ...]
    spread: float
    is_spread_wide: bool
    is_warm: bool
    repeat: float
    shift: float

    @property
    def alone(self) -> float:
        """Standard uncertainty of this strength by itself."""
        return sqrt(self.repeat**2 + self.shift**2)


def find_strength(
    readings: Sequence[float], sample_c: float | None = None, instrument: Instrument = USUAL
) -> Strength:
    """Return the strength that several readings of one sample give.

    Parameters
    ----------
    readings : sequence of float
        One or more, in %TDS.
    sample_c : float, optional
        Temperature of the sample as it was read, °C.
    instrument : Instrument, optional
        What it was read on.

    Returns
    -------
    Strength

    Raises
    ------
    ValueError
        There is no reading, or one is no number from 0 to below 100.

    Notes
    -----
    The scatter is judged by the range of the readings over the mean range of so many normal
    ones, and never below the instrument's precision, whose limits count as a rectangle's half
    width (over the square root of 3); it shrinks with the square root of the number of
    readings, for a median a quarter less well. The accuracy of the instrument shifts all
    readings alike and does not shrink.

    References
    ----------
    JCGM 100:2008 (GUM), 4.3.7 for limits as rectangles, 5.1.2 for adding them up.

    Examples
    --------
    >>> found = find_strength([1.31, 1.32, 1.31], sample_c=22)
    >>> found.percent, round(found.spread, 2), found.is_spread_wide, found.is_warm
    (1.31, 0.01, False, False)
    """
    values = tuple(float(one) for one in readings)
    if not values or not all(0 <= one < 100 for one in values):
        raise ValueError(f"readings must be one or more numbers from 0 to 100, got {values}")
    middle, spread = median(values), max(values) - min(values)
    scatter = max(spread / _MEAN_RANGE[min(len(values), 10)], instrument.precision / sqrt(3))
    factor = _MEDIAN_FACTOR if len(values) > 2 else 1.0
    repeat = factor * scatter / sqrt(len(values))
    return Strength(
        middle,
        values,
        spread,
        spread > WIDEST_SPREAD + 1e-9,
        sample_c is not None and sample_c > WARMEST_C,
        repeat,
        instrument.find_accuracy(middle) / sqrt(3),
    )


def find_evaporated(percent: float, beverage_g: float, lost_g: float) -> float:
    """Return the strength that a sample reads after it lost water, in %TDS.

    Parameters
    ----------
    percent : float
        Strength before.
    beverage_g, lost_g : float
        The sample, and the water it lost, in grams.

    Raises
    ------
    ValueError
        It lost more than it had, or less than nothing.

    Examples
    --------
    >>> round(find_evaporated(1.35, 100, 2), 3)
    1.378
    """
    if not 0 <= lost_g < beverage_g:
        raise ValueError(f"lost_g must lie from 0 to below {beverage_g}, got {lost_g}")
    return percent * beverage_g / (beverage_g - lost_g)
