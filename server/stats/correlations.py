"""Correlations between all pairs of assessors, each over the samples that both rated."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def correlate_ranks(table: "NDArray[np.float64]") -> "NDArray[np.float64]":
    """Return Spearman's rank correlation of every pair of assessors.

    Parameters
    ----------
    table : ndarray of float, shape (J, P)
        A row an assessor, NaN where a sample was not rated.

    Returns
    -------
    ndarray of float, shape (J, J)
        NaN where two share fewer than two samples, or one of them gave all
        shared samples the same value.

    Notes
    -----
    Ranks, ties as their mean, are taken among the shared samples: twice a rank
    less the mean rank is the number of shared samples below less that above, so
    signs of differences give all of them at once, and exactly.

    Examples
    --------
    >>> import numpy as np
    >>> correlate_ranks(np.array([[1.0, 2, 9], [1, 3, 2]])).round(6).tolist()
    [[1.0, 0.5], [0.5, 1.0]]
    """
    return _correlate(_centre_ranks(table))


def correlate_values(table: "NDArray[np.float64]") -> "NDArray[np.float64]":
    """Return Pearson's correlation of every pair of assessors.

    Parameters
    ----------
    table : ndarray of float, shape (J, P)
        A row an assessor, NaN where a sample was not rated.

    Returns
    -------
    ndarray of float, shape (J, J)
        NaN as for `correlate_ranks`.

    Examples
    --------
    >>> import numpy as np
    >>> correlate_values(np.array([[1.0, 2, 3], [1, 3, 2]])).round(6).tolist()
    [[1.0, 0.5], [0.5, 1.0]]
    """
    import numpy as np

    there = ~np.isnan(table)
    shared = there[:, None, :] & there[None, :, :]
    counts = np.maximum(shared.sum(axis=2, keepdims=True), 1)
    values = np.where(shared, np.nan_to_num(table)[:, None, :], 0)
    centred = np.where(shared, values - values.sum(axis=2, keepdims=True) / counts, 0)
    constant = ~_centre_ranks(table).any(axis=2, keepdims=True)  # exact, where means are not
    return _correlate(np.where(constant, 0, centred))


def _centre_ranks(table: "NDArray[np.float64]") -> "NDArray[np.float64]":
    """Return twice the centred ranks of row i among what it shares with row j, (J, J, P)."""
    import numpy as np

    present = (~np.isnan(table)).astype(np.float64)
    above = np.nan_to_num(np.sign(table[:, :, None] - table[:, None, :]))
    ranks = (above @ present.T).transpose(0, 2, 1)
    return np.asarray(ranks * present[None, :, :], dtype=np.float64)


def _correlate(centred: "NDArray[np.float64]") -> "NDArray[np.float64]":
    """Return correlations of rows i and j from their values centred over what they share."""
    import numpy as np

    products = np.einsum("ijp,jip->ij", centred, centred)
    squares = (centred**2).sum(axis=2)
    both = np.sqrt(squares * squares.T)
    found = np.full(products.shape, np.nan)
    np.divide(products, both, out=found, where=both > 0)
    return np.clip(found, -1, 1)
