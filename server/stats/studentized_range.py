"""The studentised range: how far the farthest of several means may lie apart by chance."""

import math
from collections.abc import Sequence
from functools import lru_cache

from server.stats.checks import check_open_unit

Z_REACH = 9.0  # of the inner integral, in standard deviations
FEW, Z_STEP, Z_STEP_OF_MANY = 12, 0.3, 0.1  # the largest of many means has a narrow peak
U_STEPS, WIDEST_STEP = 2.5, 0.1  # of the outer integral: steps to a standard deviation
U_REACH = 9.0
FAR_DOWN = 40.0  # exp(-40) adds nothing
MOST_DF = 1e6  # beyond it the error variance counts as known


def studentized_range_tail(q: Sequence[float], means: int, df: float) -> tuple[float, ...]:
    """Return the chance that the range of means, in standard errors, is at least q.

    Parameters
    ----------
    q : sequence of float, length m
        Differences divided by the standard error of one mean; each 0 or more.
    means : int
        How many means there are, 2 or more.
    df : float
        Degrees of freedom of the standard error, above 0, not necessarily whole.

    Returns
    -------
    tuple of float, length m
        Upper tail probabilities.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    Given s, the estimated over the true standard error, the range has the tail

        P(W >= q s) = k ∫ φ(z) [Φ(z)^(k-1) - (Φ(z) - Φ(z - q s))^(k-1)] dz,

    and s² df is chi-square with df degrees of freedom [1]_. Both integrals are
    taken in equal steps, over z and over u = log s: the integrands are smooth
    and die out on both sides, where nothing converges faster. All terms are
    positive, so that small tails keep their digits.

    References
    ----------
    .. [1] Hochberg, Y. & Tamhane, A. C. (1987). Multiple Comparison Procedures,
       appendix 2 (from memory).

    Examples
    --------
    >>> [round(p, 6) for p in studentized_range_tail([3.8767767, 0.0], 3, 10)]
    [0.05, 1.0]
    """
    import numpy as np

    _check(means, df)
    if any(not 0 <= one < math.inf for one in q):
        raise ValueError(f"q must be 0 or more and finite, not {list(q)}")
    scales, weights = _weigh_scales(df)
    tails = [float(np.dot(weights, _range_tails(one * scales, means))) for one in q]
    return tuple(1.0 if one == 0 else min(1.0, p) for one, p in zip(q, tails, strict=True))


@lru_cache(maxsize=8192)
def studentized_range_quantile(alpha: float, means: int, df: float) -> float:
    """Return the q that the range of means reaches with chance `alpha`.

    Parameters
    ----------
    alpha : float
        Upper tail probability, above 0 and below 1.
    means : int
        How many means there are, 2 or more.
    df : float
        Degrees of freedom, above 0.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Examples
    --------
    >>> round(studentized_range_quantile(0.05, 3, 10), 4)
    3.8768
    """
    check_open_unit("alpha", alpha)
    _check(means, df)
    from scipy import optimize  # takes half a second to load

    def miss(q: float) -> float:
        return math.log(studentized_range_tail([q], means, df)[0] / alpha)

    high = 4.0
    while miss(high) > 0:
        high *= 2
    return float(optimize.brentq(miss, 0.0, high, xtol=1e-13, rtol=1e-14))


def _check(means: int, df: float) -> None:
    if not isinstance(means, int) or means < 2:
        raise ValueError(f"means must be a whole number, 2 or more, not {means}")
    if not df > 0:
        raise ValueError(f"df must be above 0, not {df}")


@lru_cache(maxsize=64)
def _weigh_scales(df: float):  # type: ignore[no-untyped-def]  # arrays, loaded when used
    """Return values of s and their weights, which sum to 1."""
    import numpy as np

    if df > MOST_DF:
        return np.ones(1), np.ones(1)
    spread = 1 / math.sqrt(2 * df)
    step = min(spread / U_STEPS, WIDEST_STEP)
    u = np.arange(-FAR_DOWN / df - U_REACH * spread, U_REACH * spread + 1.5, step)
    logs = df * u - df * np.exp(2 * u) / 2
    weights = np.exp(logs - logs.max())
    kept = weights > np.exp(-FAR_DOWN)
    return np.exp(u[kept]), weights[kept] / weights[kept].sum()


def _range_tails(width, means: int):  # type: ignore[no-untyped-def]  # arrays, loaded when used
    """Return P(range of `means` standard normal values >= width) for an array of widths."""
    import numpy as np
    from scipy import special  # takes half a second to load

    reach = min(float(width.max()), 2 * Z_REACH)
    step = Z_STEP if means <= FEW else Z_STEP_OF_MANY
    z = np.arange(-Z_REACH, Z_REACH + reach, step)
    logs = special.log_ndtr(z)
    below = special.ndtr(z - width[:, None]) / special.ndtr(z)
    missed = -np.expm1((means - 1) * np.log1p(-np.minimum(below, 1 - 2.0**-53)))
    density = np.exp((means - 1) * logs - z * z / 2) / math.sqrt(2 * math.pi)
    return means * step * (missed @ density)
