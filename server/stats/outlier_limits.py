"""Limits beyond which one laboratory of several stands out: Grubbs, Cochran, Mandel."""

import math

from server.stats.checks import check_open_unit

FEWEST = 3


def grubbs_limit(laboratories: int, alpha: float) -> float:
    """Return the critical value of Grubbs' test for the highest or the lowest mean.

    Parameters
    ----------
    laboratories : int
        How many means there are, 3 or more.
    alpha : float
        Level, both sides together.

    Returns
    -------
    float
        Of the distance from the mean of all, in standard deviations of the means.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    (p - 1) t / √(p (p - 2 + t²)), t being Student's quantile at 1 - α / (2p) on
    p - 2 degrees of freedom [1]_.

    References
    ----------
    .. [1] Grubbs, F. E. (1950), Annals of Mathematical Statistics, 21, 27-58; ISO
       5725-2, Table 5 (both from memory).

    Examples
    --------
    >>> round(grubbs_limit(10, 0.05), 3)
    2.29
    """
    _check(laboratories, alpha, FEWEST)
    return _limit_distance(laboratories, 1 - alpha / (2 * laboratories))


def mandel_h_limit(laboratories: int, alpha: float) -> float:
    """Return the critical value of Mandel's h, for one laboratory's mean by itself.

    Parameters
    ----------
    laboratories : int
        3 or more.
    alpha : float
        Level for each laboratory, both sides together.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    As `grubbs_limit`, at 1 - α / 2: for one laboratory, not for the extreme one
    of all. ISO 5725-2, Tables 6 and 7 (from memory).

    Examples
    --------
    >>> round(mandel_h_limit(10, 0.05), 2)
    1.8
    """
    _check(laboratories, alpha, FEWEST)
    return _limit_distance(laboratories, 1 - alpha / 2)


def cochran_limit(laboratories: int, values: int, alpha: float) -> float:
    """Return the critical value of Cochran's C, the largest variance's share of their sum.

    Parameters
    ----------
    laboratories : int
        2 or more.
    values : int
        Of each laboratory, 2 or more.
    alpha : float
        Level.

    Returns
    -------
    float
        Between 0 and 1.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    1 / (1 + (p - 1) / F), F being the quantile at 1 - α / p on n - 1 and
    (p - 1)(n - 1) degrees of freedom [1]_.

    References
    ----------
    .. [1] Cochran, W. G. (1941), Annals of Eugenics, 11, 47-52; ISO 5725-2,
       Table 4 (both from memory).

    Examples
    --------
    >>> round(cochran_limit(10, 2, 0.05), 3)
    0.602
    """
    _check(laboratories, alpha, 2)
    f = _find_f(laboratories, values, 1 - alpha / laboratories)
    return 1 / (1 + (laboratories - 1) / f)


def mandel_k_limit(laboratories: int, values: int, alpha: float) -> float:
    """Return the critical value of Mandel's k, for one laboratory's spread by itself.

    Parameters
    ----------
    laboratories : int
        2 or more.
    values : int
        Of each laboratory, 2 or more.
    alpha : float
        Level for each laboratory.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    √(p F / (F + p - 1)), F being the quantile at 1 - α on n - 1 and (p - 1)(n - 1)
    degrees of freedom. ISO 5725-2, Tables 6 and 7 (from memory).

    Examples
    --------
    >>> round(mandel_k_limit(10, 2, 0.05), 2)
    1.9
    """
    _check(laboratories, alpha, 2)
    f = _find_f(laboratories, values, 1 - alpha)
    return math.sqrt(laboratories * f / (f + laboratories - 1))


def _limit_distance(p: int, chance: float) -> float:
    from scipy import special  # takes half a second to load

    t = float(special.stdtrit(p - 2, chance))
    return (p - 1) * t / math.sqrt(p * (p - 2 + t**2))


def _find_f(p: int, n: int, chance: float) -> float:
    from scipy import special  # takes half a second to load

    if n < 2:
        raise ValueError(f"values must be 2 or more, not {n}")
    return float(special.fdtri(n - 1, (p - 1) * (n - 1), chance))


def _check(laboratories: int, alpha: float, fewest: int) -> None:
    check_open_unit("alpha", alpha)
    if laboratories < fewest:
        raise ValueError(f"laboratories must be {fewest} or more, not {laboratories}")
