"""The chi-square distribution: tails for tests, quantiles for likelihood limits."""

import math

from server.stats.checks import check_open_unit
from server.stats.results import ChiSquare


def build_chi_square(statistic: float, df: int) -> ChiSquare:
    """Return a chi-square statistic with its p-value.

    Parameters
    ----------
    statistic : float
        The statistic; digits lost below 0 count as 0.
    df : int
        Degrees of freedom, 1 or more.

    Returns
    -------
    ChiSquare
        With the upper tail probability.

    Raises
    ------
    ValueError
        If `statistic` is not finite or `df` below 1.

    Examples
    --------
    >>> build_chi_square(0.0, 1).p_value
    1.0
    """
    from scipy import special  # takes half a second to load

    if not math.isfinite(statistic):
        raise ValueError(f"statistic must be finite, not {statistic}")
    if df < 1:
        raise ValueError(f"df must be 1 or more, not {df}")
    kept = max(0.0, float(statistic))
    return ChiSquare(kept, df, float(special.chdtrc(df, kept)))


def normal_quantile(level: float) -> float:
    """Return the z of two-sided normal limits at a confidence level.

    Its square is the chi-square quantile with one degree of freedom, by which a
    deviance cuts a likelihood interval.

    Raises
    ------
    ValueError
        If `level` is not above 0 and below 1.

    Examples
    --------
    >>> round(normal_quantile(0.95), 8)
    1.95996398
    """
    from scipy import special  # takes half a second to load

    check_open_unit("level", level)
    return float(special.ndtri((1 + level) / 2))
