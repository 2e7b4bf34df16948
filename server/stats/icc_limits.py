"""Confidence limits of intraclass correlations of a table without gaps."""

from server.stats.anova import Line
from server.stats.crossed import Split
from server.stats.results import Interval

# A denominator this small beside its parts is floating-point dust.
DUST = 1e-12


def find_limits(split: Split, alpha: float) -> dict[str, Interval | None]:
    """Return the intervals of the six intraclass correlations.

    Parameters
    ----------
    split : Split
        Of a table without gaps, k assessors on n samples, both 2 or more.
    alpha : float
        One minus the level, above 0 and below 1.

    Returns
    -------
    dict of str to Interval or None
        By the names of `server.stats.icc`; None where a limit is not finite or
        there is no error for them to be apart by.

    Notes
    -----
    [1]_, tables 7 and 8 (table numbers from memory). All limits are the estimate's own
    formula with the mean square of samples multiplied by a quantile q of F, on
    the degrees of freedom of the error and of samples:
    ``1,1`` and ``3,1``: (q R - E) / (q R + (k - 1) E), E within samples or error;
    ``2,1``: n (q R - E) / (k J + (k n - k - n) E + n q R), J of assessors, on v
    and n - 1 degrees of freedom, Satterthwaite's [2]_ v for the sum of J and E.
    Those of means step up by k r / (1 + (k - 1) r).

    References
    ----------
    .. [1] McGraw, K. O. & Wong, S. P. (1996). Forming inferences about some
       intraclass correlation coefficients. Psychological Methods, 1, 30-46.
    .. [2] Satterthwaite, F. E. (1946). An approximate distribution of estimates
       of variance components. Biometrics Bulletin, 2, 110-114.

    Examples
    --------
    >>> from server.stats.crossed import read_crossed, split_crossed
    >>> split = split_crossed(read_crossed([[1, 2, 6], [3, 5, 7]]))
    >>> [round(limit, 6) for limit in find_limits(split, 0.05)["3,1"]]
    [-0.3, 0.997561]
    """
    single = {
        "1,1": _limit_ratio(split, split.within, alpha),
        "2,1": _limit_agreement(split, alpha),
        "3,1": _limit_ratio(split, split.error, alpha),
    }
    steps = {f"{name[0]},k": _step_up(split.assessors, one) for name, one in single.items()}
    return single | steps


def find_agreement_df(split: Split) -> float | None:
    """Return Satterthwaite's degrees of freedom for the interval of ``2,1``.

    Returns
    -------
    float or None
        v, fractional; None if it comes out as 0.

    Notes
    -----
    Shrout & Fleiss (1979), numerator and denominator multiplied by the square of
    the error mean square, so that it stands where that is 0: v = (a J + b E)² / ((a J)² / (k - 1) +
    (b E)² / ((n - 1)(k - 1))), a = k r, b = n (1 + (k - 1) r) - k r, r the estimate.

    Examples
    --------
    >>> from server.stats.crossed import read_crossed, split_crossed
    >>> split = split_crossed(read_crossed([[1, 2, 6], [3, 5, 7]]))
    >>> round(find_agreement_df(split), 6)
    1.463578
    """
    k, n = split.assessors, split.samples
    r = _place(split, 1.0)
    if r is None:
        return None
    across = k * r * _size(split.assessor)
    rest = (n * (1 + (k - 1) * r) - k * r) * _size(split.error)
    spread = across**2 / split.assessor.df + rest**2 / split.error.df
    df = (across + rest) ** 2 / spread if spread else 0.0
    return df if df > DUST else None


def _limit_ratio(split: Split, below: Line, alpha: float) -> Interval | None:
    size = _size(below)
    if not size:
        return None
    limits = []
    for quantile in _quantiles(below.df, split.sample.df, alpha):
        above = quantile * _size(split.sample)
        limits.append((above - size) / (above + (split.assessors - 1) * size))
    return Interval(*limits)


def _limit_agreement(split: Split, alpha: float) -> Interval | None:
    df = find_agreement_df(split)
    if df is None:
        return None
    low, high = (_place(split, one) for one in _quantiles(df, split.sample.df, alpha))
    return None if low is None or high is None else Interval(low, high)


def _place(split: Split, quantile: float) -> float | None:
    """Return ``2,1`` with the mean square of samples multiplied; None if all are 0."""
    k, n, error = split.assessors, split.samples, _size(split.error)
    above = n * quantile * _size(split.sample)
    whole = k * _size(split.assessor) + (k * n - k - n) * error + above
    return (above - n * error) / whole if whole else None


def _step_up(k: int, interval: Interval | None) -> Interval | None:
    """Return the limits for a mean of k; None if the lower one has no finite value."""
    if interval is None or 1 + (k - 1) * interval.low <= DUST:
        return None
    return Interval(*(k * one / (1 + (k - 1) * one) for one in interval))


def _quantiles(above: float, below: float, alpha: float) -> tuple[float, float]:
    from scipy import special  # takes half a second to load

    low, high = special.fdtri(above, below, [alpha / 2, 1 - alpha / 2])
    return float(low), float(high)


def _size(line: Line) -> float:
    """Return a mean square, which a table without gaps always has."""
    return line.mean_square or 0.0
