"""The range of independent standard normal values: the studentised range with known variance."""

from server.stats.checks import check_open_unit

STEP = 0.05  # of the integration
REACH = 12.0  # beyond this many standard deviations nothing is added
MOST_VALUES = 10_000
HALVINGS = 60
EPSILON = 2.0**-53


def normal_range_tail(width: float, values: int) -> float:
    """Return the chance that normal values are at least this far apart.

    Parameters
    ----------
    width : float
        Largest less smallest value, in standard deviations; 0 or more.
    values : int
        How many independent values there are, 2 to 10,000.

    Returns
    -------
    float
        Upper tail probability, with about ten digits also far out.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    P(W >= w) = P ∫ φ(z) [Φ(z)^(P-1) - (Φ(z) - Φ(z-w))^(P-1)] dz, z being the
    largest value [1]_; the difference is written by log1p and expm1 so that it
    loses no digits. The integrand is smooth and dies out on both sides, where
    equal steps are as good as any quadrature.

    References
    ----------
    .. [1] Tippett, L. H. C. (1925). On the extreme individuals and the range of
       samples taken from a normal population. Biometrika, 17, 364-387.

    Examples
    --------
    >>> round(normal_range_tail(3.31449316, 3), 8)
    0.05
    """
    import numpy as np
    from scipy import special  # takes half a second to load

    _check_values(values)
    if not 0 <= width < float("inf"):
        raise ValueError(f"width must be 0 or more and finite, not {width}")
    if width == 0:
        return 1.0
    z = np.arange(-REACH, width + REACH, STEP)
    logs = special.log_ndtr(z)
    below = np.exp(special.log_ndtr(z - width) - logs)
    missed = -np.expm1((values - 1) * np.log1p(-np.minimum(below, 1 - EPSILON)))
    density = np.exp((values - 1) * logs - z * z / 2) / np.sqrt(2 * np.pi)
    return min(1.0, float(values * STEP * np.sum(density * missed)))


def normal_range_quantile(alpha: float, values: int) -> float:
    """Return the width that normal values reach with a given chance.

    Parameters
    ----------
    alpha : float
        The chance, above 0 and below 1.
    values : int
        How many independent values there are, 2 to 10,000.

    Returns
    -------
    float
        q, the upper `alpha` point of the studentised range with infinite
        degrees of freedom.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Examples
    --------
    >>> round(normal_range_quantile(0.05, 4), 4)
    3.6332
    """
    check_open_unit("alpha", alpha)
    low, high = 0.0, 1.0
    while normal_range_tail(high, values) > alpha:
        low, high = high, 2 * high
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if normal_range_tail(middle, values) > alpha:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _check_values(values: int) -> None:
    if not isinstance(values, int) or not 2 <= values <= MOST_VALUES:
        raise ValueError(f"values must be a whole number from 2 to {MOST_VALUES:,}, not {values}")
