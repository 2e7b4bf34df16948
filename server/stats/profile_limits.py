"""Likelihood limits: the peak over a nuisance parameter, and where a deviance is cut."""

import math
from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING

from server.stats.chi_square import normal_quantile
from server.stats.crossings import find_crossing
from server.stats.results import OpenInterval

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

POINTS = 129  # of the grid that is laid over the range, then over its best part, and so on
NARROW = 1e-7  # where the top of a peak is flat to the last digit of a likelihood
CLOSE = 1e-9  # how near to the cut a limit has to be, in standard deviations
SMALLEST = 1e-300  # stands for a probability of 0 in logarithms


def find_peak(
    function: "Callable[[NDArray[np.float64]], NDArray[np.float64]]", low: float, high: float
) -> float:
    """Return where a function with one peak is largest.

    Parameters
    ----------
    function : callable
        Array of arguments to array of values, with one peak, both of shape (n,).
    low, high : float
        Range that holds the peak; it may lie at an end.

    Returns
    -------
    float
        The argument, to about 1e-7: the top of a peak is flat.

    Notes
    -----
    A grid over the range, then over the part around its best point, until that
    part cannot be told from a point. A second, lower peak does no harm if the
    first grid can tell the two.

    Examples
    --------
    >>> round(find_peak(lambda x: -((x - 2.5) ** 2), 0.0, 64.0), 6)
    2.5
    """
    import numpy as np

    while True:
        grid = np.linspace(low, high, POINTS)
        best = int(np.argmax(function(grid)))
        low, high = float(grid[max(best - 1, 0)]), float(grid[min(best + 1, POINTS - 1)])
        if high - low <= NARROW:
            return float(grid[best])


def find_limits(
    deviance: Callable[[float], float],
    best: float | None,
    least: float,
    most: float,
    level: float,
    open_low: bool = False,
    open_high: bool = False,
) -> OpenInterval:
    """Return the likelihood limits of a parameter.

    Parameters
    ----------
    deviance : callable
        Twice the loss of log-likelihood, against its largest value, at a value of the parameter.
    best : float or None
        Where it is 0; None if that is beyond the open end.
    least, most : float
        Range of the parameter.
    level : float
        Confidence level, above 0 and below 1.
    open_low, open_high : bool
        Whether the deviance falls all the way to that end, so that the data set no limit.

    Returns
    -------
    OpenInterval
        Where the deviance passes the chi-square quantile with one degree of
        freedom; `least` or `most` if it stays below up to there; None at an open end.

    Raises
    ------
    ValueError
        If `level` is not between 0 and 1.

    References
    ----------
    .. [1] Wilks, S. S. (1938). The large-sample distribution of the likelihood
       ratio for testing composite hypotheses. Annals of Mathematical
       Statistics, 9, 60-62.

    Examples
    --------
    >>> low, high = find_limits(lambda x: (x - 2) ** 2, 2.0, 0.0, 64.0, 0.95)
    >>> round(low, 6), round(high, 6)
    (0.040036, 3.959964)
    """
    z = normal_quantile(level)

    @cache  # the ends are asked for twice
    def beyond(value: float) -> float:
        return math.sqrt(max(0.0, deviance(value))) - z

    return OpenInterval(
        None if open_low else _find_edge(beyond, most if best is None else best, least),
        None if open_high else _find_edge(beyond, least if best is None else best, most),
    )


def _find_edge(beyond: Callable[[float], float], inside: float, outside: float) -> float:
    """Return where the function, at most 0 inside, passes 0 on the way outside."""
    if beyond(outside) <= 0:
        return outside
    if beyond(inside) >= 0:
        return inside  # a level so low that the limits fall together
    return find_crossing(beyond, outside, inside, close=CLOSE)


def log_likelihood(
    yes: int, no: int, p_yes: "NDArray[np.float64]", p_no: "NDArray[np.float64]"
) -> "NDArray[np.float64]":
    """Return the log-likelihood of counts, element by element, without coefficients.

    Both probabilities are asked for so that neither loses digits as 1 minus the
    other; a probability of 0 counts as 1e-300.

    Examples
    --------
    >>> import numpy as np
    >>> log_likelihood(1, 1, np.array([0.5]), np.array([0.5])).round(6).tolist()
    [-1.386294]
    """
    import numpy as np

    logs = yes * np.log(np.maximum(p_yes, SMALLEST)) + no * np.log(np.maximum(p_no, SMALLEST))
    return np.asarray(logs, dtype=np.float64)


def best_log_likelihood(yes: int, no: int) -> float:
    """Return the log-likelihood of counts at their own proportion.

    Examples
    --------
    >>> best_log_likelihood(4, 0)
    0.0
    """
    n = yes + no
    return sum(count * math.log(count / n) for count in (yes, no) if count)
