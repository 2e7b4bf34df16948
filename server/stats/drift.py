"""Exponentially weighted moving average: a slow drift seen before single values show it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from server.stats.results import Interval


@dataclass(frozen=True)
class SmoothedSeries:
    """A series smoothed, with limits.

    Attributes
    ----------
    smoothed : tuple of float, length n + 1
        Beginning with the target, then one for each value.
    limits : tuple of Interval, length n
        Within which each smoothed value stays if nothing drifts.
    final_limits : Interval
        What the limits widen to.
    outside : tuple of int
        Numbers, from 1, of the values at which the smoothed one is outside.
    target, sd, weight, width : float
        As given.
    """

    smoothed: tuple[float, ...]
    limits: tuple[Interval, ...]
    final_limits: Interval
    outside: tuple[int, ...]
    target: float
    sd: float
    weight: float
    width: float


def smooth_series(
    values: Sequence[float], target: float, sd: float, weight: float = 0.3, width: float = 3.0
) -> SmoothedSeries:
    """Smooth a series in order of time and hold it against its limits.

    Parameters
    ----------
    values : sequence of float, length n
        For example an assessor's scores of one reference sample, sitting by sitting.
    target : float
        Where the series should be.
    sd : float
        Standard deviation of single values while nothing drifts, above 0; from
        other data than these.
    weight : float
        Of the newest value, above 0 and at most 1; small ones see slow drift.
    width : float
        Half-width of the limits in standard deviations, above 0.

    Returns
    -------
    SmoothedSeries

    Raises
    ------
    ValueError
        If there are no values or a number is out of range or not finite.

    Notes
    -----
    z_t = λ y_t + (1 - λ) z_(t-1) with z_0 the target; its standard deviation is
    sd √(λ (1 - (1 - λ)^(2t)) / (2 - λ)) [1]_.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.4 (from
       memory).

    Examples
    --------
    >>> found = smooth_series([52.0, 47.0, 53.0], target=50.0, sd=2.0539)
    >>> [round(z, 4) for z in found.smoothed]
    [50.0, 50.6, 49.52, 50.564]
    >>> round(found.final_limits.high, 4), found.outside
    (52.5884, ())
    """
    _check(values, target, sd, weight, width)
    smoothed = [float(target)]
    for value in values:
        smoothed.append(weight * value + (1 - weight) * smoothed[-1])
    reach = width * sd * math.sqrt(weight / (2 - weight))
    widths = [
        reach * math.sqrt(1 - (1 - weight) ** (2 * count)) for count in range(1, len(values) + 1)
    ]
    limits = tuple(Interval(target - wide, target + wide) for wide in widths)
    held = enumerate(zip(smoothed[1:], limits, strict=True), start=1)
    return SmoothedSeries(
        smoothed=tuple(smoothed),
        limits=limits,
        final_limits=Interval(target - reach, target + reach),
        outside=tuple(number for number, (z, (low, high)) in held if not low <= z <= high),
        target=target,
        sd=sd,
        weight=weight,
        width=width,
    )


def _check(values: Sequence[float], target: float, sd: float, weight: float, width: float) -> None:
    if not len(values):
        raise ValueError("values must hold at least one value, not none")
    for value in values:
        if not math.isfinite(value):
            raise ValueError(f"values must be finite, not {value}")
    if not math.isfinite(target):
        raise ValueError(f"target must be finite, not {target}")
    for name, size in (("sd", sd), ("width", width)):
        if not 0 < size < math.inf:
            raise ValueError(f"{name} must be above 0 and finite, not {size}")
    if not 0 < weight <= 1:
        raise ValueError(f"weight must be above 0 and at most 1, not {weight}")
