"""Small value objects that statistics functions return."""

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
