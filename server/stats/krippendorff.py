"""Krippendorff's α: agreement on any scale, with gaps, of any number of assessors."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, get_args

from server.stats.crossed import read_crossed

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from server.stats.crossed import Table

Scale = Literal["nominal", "ordinal", "interval", "ratio"]

NO_PAIR = "Krippendorff's α is not estimable: no sample was rated by two assessors."
ALL_EQUAL = "Krippendorff's α is not estimable: all values are the same, so none could disagree."

AT_ONCE = 500  # values compared with all others at a time, so that memory stays small


@dataclass(frozen=True)
class Krippendorff:
    """Krippendorff's α.

    Attributes
    ----------
    value : float or None
        1 for full agreement, 0 for what chance gives, negative below that.
    scale : str
        ``nominal``, ``ordinal``, ``interval`` or ``ratio``.
    observed, expected : float or None
        Mean disagreement of two values of one sample, and of any two values.
    samples, values : int
        How many could be compared: samples with two values or more, and their values.
    notes : tuple of str
        Why `value` is None.
    """

    value: float | None
    scale: Scale
    observed: float | None
    expected: float | None
    samples: int
    values: int
    notes: tuple[str, ...]


def krippendorff_alpha(table: "Table", scale: Scale) -> Krippendorff:
    """Find Krippendorff's α.

    Parameters
    ----------
    table : ndarray or rows of float, shape (assessors, samples)
        One value a cell; empty cells are NaN or None. Categories of a nominal
        scale are any different numbers.
    scale : {"nominal", "ordinal", "interval", "ratio"}
        What differences between values mean.

    Returns
    -------
    Krippendorff

    Raises
    ------
    ValueError
        If `table` holds no value, an infinite one, or on a ratio scale a
        negative one, or `scale` is none of the four.

    Notes
    -----
    α = 1 - D_o / D_e [1]_: D_o the mean of δ² over pairs of values of one
    sample, each sample weighted by its number of values; D_e that over all pairs.
    δ² is 0 or 1 (nominal), (c - k)² (interval), ((c - k) / (c + k))² (ratio), and
    (n_c / 2 + values between + n_k / 2)² (ordinal), which is the interval δ² of mean
    ranks among all values that can be paired. Sums of squared differences are
    sums of squares about a mean, so only the ratio scale goes through pairs.

    References
    ----------
    .. [1] Krippendorff, K. (2011). Computing Krippendorff's alpha-reliability.
       University of Pennsylvania, Annenberg School for Communication.

    Examples
    --------
    >>> found = krippendorff_alpha([[1, 2, 3, 3], [1, 2, 3, 4]], "interval")
    >>> round(found.value, 6), found.values
    (0.888889, 8)
    """
    import numpy as np

    if scale not in get_args(Scale):
        raise ValueError(f"scale must be one of {', '.join(get_args(Scale))}, not {scale!r}")
    read = read_crossed(table)
    if scale == "ratio" and (read < 0).any():
        raise ValueError(f"table must hold 0 or more on a ratio scale, not {np.nanmin(read)}")
    paired = read[:, (~np.isnan(read)).sum(axis=0) > 1]
    there = ~np.isnan(paired)
    number, samples = int(there.sum()), paired.shape[1]
    if not samples:
        return Krippendorff(None, scale, None, None, 0, 0, (NO_PAIR,))
    placed = _place_ranks(paired, there) if scale == "ordinal" else paired
    within = [_add_differences(column[~np.isnan(column)], scale) for column in placed.T]
    observed = float((np.array(within) / (there.sum(axis=0) - 1)).sum()) / number
    expected = _add_differences(placed[there], scale) / (number * (number - 1))
    if (paired[there] == paired[there][0]).all():
        return Krippendorff(None, scale, 0.0, 0.0, samples, number, (ALL_EQUAL,))
    return Krippendorff(1 - observed / expected, scale, observed, expected, samples, number, ())


def _place_ranks(
    paired: "NDArray[np.float64]", there: "NDArray[np.bool_]"
) -> "NDArray[np.float64]":
    """Return the mean rank of every value among all of them."""
    import numpy as np

    _, place, counts = np.unique(paired[there], return_inverse=True, return_counts=True)
    placed = np.full(paired.shape, np.nan)
    placed[there] = (np.cumsum(counts) - counts / 2)[place]
    return placed


def _add_differences(values: "NDArray[np.float64]", scale: Scale) -> float:
    """Return the sum of δ² over all ordered pairs of values."""
    import numpy as np

    if scale == "nominal":
        _, counts = np.unique(values, return_counts=True)
        return float(len(values) ** 2 - (counts**2).sum())
    if scale == "ratio":
        return _add_ratios(values)
    return float(2 * len(values) * ((values - values.mean()) ** 2).sum())


def _add_ratios(values: "NDArray[np.float64]") -> float:
    import numpy as np

    total = 0.0
    for start in range(0, len(values), AT_ONCE):
        some = values[start : start + AT_ONCE, None]
        sums = some + values
        shares = np.zeros(sums.shape)
        np.divide(some - values, sums, out=shares, where=sums > 0)
        total += float((shares**2).sum())
    return total
