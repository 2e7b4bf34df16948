"""Student's and Welch's t tests of two independent groups of values."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from server.stats.checks import check_open_unit
from server.stats.results import Interval


@dataclass(frozen=True)
class TTest:
    """A t test.

    Attributes
    ----------
    t : float
    df : float
        Degrees of freedom.
    p_value : float
        Two-sided.
    """

    t: float
    df: float
    p_value: float


class _Group(NamedTuple):
    n: int
    mean: float
    variance: float  # of the values, n - 1 below; 0 for a single value


def welch_test(first: Sequence[float], second: Sequence[float]) -> TTest | None:
    """Test whether two groups have the same mean, whatever their variances.

    Parameters
    ----------
    first, second : sequence of float
        Independent values, all finite.

    Returns
    -------
    TTest or None
        Of the mean of the first less that of the second; None if a group has
        fewer than two values, or neither has any variance.

    Raises
    ------
    ValueError
        If a value is not finite.

    Notes
    -----
    t = (m1 - m2) / sqrt(a + b) with a = s1²/n1 and b = s2²/n2, on
    (a + b)² / (a²/(n1 - 1) + b²/(n2 - 1)) degrees of freedom [1]_.

    References
    ----------
    .. [1] Welch, B. L. (1947). The generalization of 'Student's' problem when
       several different population variances are involved. Biometrika, 34,
       28-35 (the form with these degrees of freedom, from memory).

    Examples
    --------
    >>> found = welch_test([1, 2, 3, 4], [2, 4, 6])
    >>> round(found.t, 6), round(found.df, 6)
    (-1.133893, 3.234719)
    """
    one, other = _summarise("first", first), _summarise("second", second)
    spread = _welch_spread(one, other)
    return None if spread is None else _build(one.mean - other.mean, *spread)


def welch_interval(
    first: Sequence[float], second: Sequence[float], level: float = 0.95
) -> Interval | None:
    """Return limits of a difference of two means, whatever their variances.

    Parameters
    ----------
    first, second : sequence of float
        As in `welch_test`.
    level : float
        Confidence level, above 0 and below 1.

    Returns
    -------
    Interval or None
        Of the mean of the first less that of the second; None as in `welch_test`.

    Raises
    ------
    ValueError
        If a value is not finite or `level` out of range.

    Examples
    --------
    >>> low, high = welch_interval([1, 2, 3, 4], [2, 4, 6])
    >>> round(low, 4), round(high, 4)
    (-5.5423, 2.5423)
    """
    from scipy import special  # takes half a second to load

    check_open_unit("level", level)
    one, other = _summarise("first", first), _summarise("second", second)
    spread = _welch_spread(one, other)
    if spread is None:
        return None
    se, df = spread
    reach = float(special.stdtrit(df, (1 + level) / 2)) * se
    return Interval(one.mean - other.mean - reach, one.mean - other.mean + reach)


def pooled_test(first: Sequence[float], second: Sequence[float]) -> TTest | None:
    """Test whether two groups of one common variance have the same mean.

    Parameters
    ----------
    first, second : sequence of float
        Independent values, all finite.

    Returns
    -------
    TTest or None
        Of the mean of the first less that of the second, on n1 + n2 - 2 degrees
        of freedom; None if a group is empty, or there is no variance within them.

    Raises
    ------
    ValueError
        If a value is not finite.

    References
    ----------
    .. [1] Student (1908). The probable error of a mean. Biometrika, 6, 1-25;
       the two-sample form by Fisher, R. A. (1925), Metron, 5, 90-104 (from memory).

    Examples
    --------
    >>> found = pooled_test([1, 2, 3, 4], [2, 4, 6])
    >>> round(found.t, 6), found.df
    (-1.217997, 5.0)
    """
    one, other = _summarise("first", first), _summarise("second", second)
    df = one.n + other.n - 2
    if not (one.n and other.n and df):
        return None
    variance = ((one.n - 1) * one.variance + (other.n - 1) * other.variance) / df
    if not variance:
        return None
    return _build(one.mean - other.mean, math.sqrt(variance * (1 / one.n + 1 / other.n)), float(df))


def _summarise(name: str, values: Sequence[float]) -> _Group:
    for value in values:
        if not math.isfinite(value):
            raise ValueError(f"{name} must hold finite values, not {value}")
    n = len(values)
    if n == 0:
        return _Group(0, 0.0, 0.0)
    mean = math.fsum(values) / n
    if min(values) == max(values):  # whose variance would be rounding dust
        return _Group(n, float(values[0]), 0.0)
    return _Group(n, mean, math.fsum((value - mean) ** 2 for value in values) / (n - 1))


def _welch_spread(one: _Group, other: _Group) -> tuple[float, float] | None:
    """Return the standard error of the difference and its degrees of freedom."""
    if min(one.n, other.n) < 2:
        return None
    a, b = one.variance / one.n, other.variance / other.n
    if a + b == 0:
        return None
    share = a / (a + b)
    df = 1 / (share**2 / (one.n - 1) + (1 - share) ** 2 / (other.n - 1))
    return math.sqrt(a + b), df


def _build(difference: float, se: float, df: float) -> TTest:
    from scipy import special  # takes half a second to load

    t = difference / se
    return TTest(t, df, float(2 * special.stdtr(df, -abs(t))))
