"""Small value objects that statistics functions return."""

from dataclasses import dataclass
from typing import NamedTuple


class Interval(NamedTuple):
    """Lower and upper confidence limit, in the unit of what they are limits of.

    Examples
    --------
    >>> Interval(0.25, 0.75).high
    0.75
    """

    low: float
    high: float


class HalfOpenInterval(NamedTuple):
    """Confidence limits of which the upper may not be estimable.

    Attributes
    ----------
    low : float
        Lower limit.
    high : float or None
        Upper limit; None if the data set no upper limit.

    Examples
    --------
    >>> HalfOpenInterval(1.5, None).high is None
    True
    """

    low: float
    high: float | None


class OpenInterval(NamedTuple):
    """Confidence limits of which either may not be estimable.

    Attributes
    ----------
    low, high : float or None
        The limits; None where the data set none.

    Examples
    --------
    >>> OpenInterval(None, 1.5).low is None
    True
    """

    low: float | None
    high: float | None


@dataclass(frozen=True)
class ChiSquare:
    """A statistic that follows a chi-square distribution under the hypothesis tested.

    Attributes
    ----------
    statistic : float
        The statistic, 0 or more.
    df : int
        Degrees of freedom.
    p_value : float
        Chance of a statistic as large or larger.

    Examples
    --------
    >>> ChiSquare(0.0, 1, 1.0).p_value
    1.0
    """

    statistic: float
    df: int
    p_value: float
