"""Confidence ellipses of a cloud of points in the plane, and of its mean."""

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from server.stats.checks import check_open_unit

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# Variances this far below the largest, or this alike, are so for rounding only.
DUST = 1e-12


@dataclass(frozen=True)
class Ellipse:
    """An ellipse in the plane.

    Attributes
    ----------
    centre : tuple of float
        x and y.
    semi_axes : tuple of float
        The longer and the shorter one, 0 or more.
    angle : float or None
        Degrees from the x axis to the longer axis, anti-clockwise, 0 or more
        and below 180; None for a circle or a point, which have no direction.
    area : float
    level : float
        Confidence level.
    """

    centre: tuple[float, float]
    semi_axes: tuple[float, float]
    angle: float | None
    area: float
    level: float


def find_cloud_ellipse(points: "NDArray[np.float64]", level: float = 0.95) -> Ellipse | None:
    """Return the ellipse that holds a share `level` of a normal cloud's points.

    Parameters
    ----------
    points : array_like of float, shape (n, 2)
        Points drawn from one distribution, all finite.
    level : float
        Share of the distribution inside, above 0 and below 1.

    Returns
    -------
    Ellipse or None
        None for fewer than two points.

    Raises
    ------
    ValueError
        If `points` has another shape or is not finite, or `level` is out of range.

    Notes
    -----
    Semi-axes are the roots of the eigenvalues of the covariance matrix (n - 1
    below) times the chi-square quantile on 2 degrees of freedom,
    -2 ln(1 - level) [1]_: the covariance matrix is taken for known, as is fit
    for clouds of many draws.

    References
    ----------
    .. [1] Anderson, T. W. (2003). An Introduction to Multivariate Statistical
       Analysis, 3rd edition, chapters 2 and 5 (from memory).

    Examples
    --------
    >>> found = find_cloud_ellipse([[1, 0], [-1, 0], [0, 2], [0, -2]], level=0.95)
    >>> [round(axis, 6) for axis in found.semi_axes], found.angle
    ([3.997154, 1.998577], 90.0)
    """
    cloud = _check(points, level)
    if len(cloud) < 2:
        return None
    return _draw(cloud, -2 * math.log1p(-level), level)


def find_mean_ellipse(points: "NDArray[np.float64]", level: float = 0.95) -> Ellipse | None:
    """Return the confidence ellipse of the mean of a normal cloud.

    Parameters
    ----------
    points : array_like of float, shape (n, 2)
        Independent points of one distribution, all finite.
    level : float
        Confidence level, above 0 and below 1.

    Returns
    -------
    Ellipse or None
        None for fewer than three points.

    Raises
    ------
    ValueError
        If `points` has another shape or is not finite, or `level` is out of range.

    Notes
    -----
    By Hotelling's T²: semi-axes are the roots of the eigenvalues of the
    covariance matrix times 2(n - 1) / (n(n - 2)) times the quantile of F on 2
    and n - 2 degrees of freedom [1]_.

    References
    ----------
    .. [1] Hotelling, H. (1931). The generalization of Student's ratio. Annals
       of Mathematical Statistics, 2, 360-378.

    Examples
    --------
    >>> found = find_mean_ellipse([[1, 0], [-1, 0], [0, 2], [0, -2]])
    >>> [round(axis, 6) for axis in found.semi_axes]
    [6.164414, 3.082207]
    """
    cloud = _check(points, level)
    n = len(cloud)
    if n < 3:
        return None
    return _draw(cloud, _hotelling(n, level) / n, level)


def find_drawn_ellipse(
    draws: "NDArray[np.float64]", n: int, centre: tuple[float, float], level: float = 0.95
) -> Ellipse | None:
    """Return the confidence ellipse of a mean from means drawn by the bootstrap.

    Parameters
    ----------
    draws : array_like of float, shape (draws, 2)
        Means of panels drawn with replacement, two or more, all finite.
    n : int
        Size of the panel, 1 or more.
    centre : tuple of float
        The mean of the panel itself.
    level : float
        Confidence level, above 0 and below 1.

    Returns
    -------
    Ellipse or None
        None for a panel of fewer than three.

    Raises
    ------
    ValueError
        If `draws` has another shape, is not finite or is a single one, or `n` or
        `level` is out of range.

    Notes
    -----
    The covariance matrix of drawn means is on average (n - 1)/n times that of a
    mean; made good for that, it stretches as Hotelling's T² does, so that the
    ellipse of plain means is that of `find_mean_ellipse` but for the luck of the
    draw. The ellipse that holds a share `level` of the draws themselves holds
    the truth less often, with few assessors by far.

    Examples
    --------
    >>> found = find_drawn_ellipse([[1, 0], [-1, 0], [0, 2], [0, -2]], 4, (1.0, 2.0))
    >>> [round(axis, 6) for axis in found.semi_axes], found.centre
    ([14.236104, 7.118052], (1.0, 2.0))
    """
    cloud = _check(draws, level)
    if len(cloud) < 2:
        raise ValueError(f"draws must be two or more, not {len(cloud)}")
    if n < 1:
        raise ValueError(f"n must be 1 or more, not {n}")
    if n < 3:
        return None
    drawn = _draw(cloud, _hotelling(n, level) * n / (n - 1), level)
    return replace(drawn, centre=centre)


def _hotelling(n: int, level: float) -> float:
    """Return the quantile of Hotelling's T² in the plane on n - 1 degrees of freedom."""
    from scipy import special  # takes half a second to load

    return 2 * (n - 1) / (n - 2) * float(special.fdtri(2, n - 2, level))


def _check(points: "NDArray[np.float64]", level: float) -> "NDArray[np.float64]":
    import numpy as np

    check_open_unit("level", level)
    cloud = np.asarray(points, dtype=np.float64)
    if cloud.ndim != 2 or cloud.shape[1] != 2:
        raise ValueError(f"points must have shape (n, 2), not {cloud.shape}")
    if not np.isfinite(cloud).all():
        raise ValueError(f"points must be finite, not {cloud[~np.isfinite(cloud)][0]}")
    return cloud


def _draw(cloud: "NDArray[np.float64]", stretch: float, level: float) -> Ellipse:
    """Return the ellipse whose squared semi-axes are the variances times `stretch`."""
    import numpy as np

    centre = cloud.mean(axis=0)
    away = cloud - centre
    away[np.abs(away) <= DUST * np.abs(cloud).max(initial=0.0)] = 0.0
    (small, large), axes = np.linalg.eigh(away.T @ away / (len(cloud) - 1))
    small = 0.0 if small <= DUST * large else small
    longer, shorter = math.sqrt(large * stretch), math.sqrt(small * stretch)
    return Ellipse(
        centre=(float(centre[0]), float(centre[1])),
        semi_axes=(longer, shorter),
        angle=None if large - small <= DUST * large else _measure_angle(axes[:, 1]),
        area=math.pi * longer * shorter,
        level=level,
    )


def _measure_angle(axis: "NDArray[np.float64]") -> float:
    degrees = math.degrees(math.atan2(float(axis[1]), float(axis[0]))) % 180
    return 0.0 if 180 - degrees < DUST else degrees  # a last digit below the x axis
