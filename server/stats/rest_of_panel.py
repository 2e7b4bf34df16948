"""What the rest of a panel says of the samples, gaps or not, for each assessor."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.ratings import DECIMALS_OF_MEANS, Ratings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# Eigenvalues this far below the largest are those of what the data leave open.
NOTHING = 1e-9


@dataclass(frozen=True, eq=False)
class Additive:
    """Cell means fitted by an effect of the assessor and one of the sample.

    Attributes
    ----------
    assessor : ndarray of float, shape (assessors,)
        Level of every assessor on an average sample.
    sample : ndarray of float, shape (samples,)
        Effects of the samples, summing to 0.
    connected : bool
        Whether the gaps leave all samples comparable; if not, only residuals
        mean anything.
    residual : ndarray of float, shape (assessors, samples)
        Cell means less fitted ones; 0 where a cell is empty.
    """

    assessor: "NDArray[np.float64]"
    sample: "NDArray[np.float64]"
    connected: bool
    residual: "NDArray[np.float64]"


def find_cell_means(ratings: Ratings) -> "NDArray[np.float64]":
    """Return the unrounded mean of every cell, shape (assessors, samples); 0 where empty.

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> find_cell_means(build_ratings(["ann", "ann", "bo"], ["X", "X", "Y"], [1, 2, 5])).tolist()
    [[1.5, 0.0], [0.0, 5.0]]
    """
    import numpy as np

    counts = ratings.counts()
    sums = np.zeros(counts.shape)
    np.add.at(sums, (ratings.assessor, ratings.sample), ratings.value)
    return np.asarray(sums / np.maximum(counts, 1), dtype=np.float64)


def fit_additive(
    means: "NDArray[np.float64]", weights: "NDArray[np.float64] | NDArray[np.intp]"
) -> Additive:
    """Fit cell means by effects of assessors and of samples, by least squares.

    Parameters
    ----------
    means : ndarray of float, shape (assessors, samples)
        Whatever stands in an empty cell is ignored.
    weights : ndarray, shape (assessors, samples)
        Weight of every cell, 0 where it is empty; no row is all 0.

    Returns
    -------
    Additive

    Notes
    -----
    The normal equations with assessors absorbed: one equation a sample,
    C s = b, C and b being sums over assessors [1]_.

    References
    ----------
    .. [1] Searle, S. R. (1971). Linear Models, chapter 7 (chapter from memory).

    Examples
    --------
    >>> import numpy as np
    >>> table = np.array([[1.0, 3.0], [2.0, 4.0]])
    >>> fitted = fit_additive(table, np.ones((2, 2)))
    >>> fitted.assessor.round(6).tolist(), fitted.sample.round(6).tolist()
    ([2.0, 3.0], [-1.0, 1.0])
    """
    import numpy as np

    equations, sums, own = _absorb(means, weights)
    effects, connected = _solve(equations.sum(axis=0), sums.sum(axis=0))
    effects = np.where(np.isnan(effects), 0.0, effects)
    level = own - _average(weights, effects)
    residual = np.where(weights > 0, means - level[:, None] - effects[None, :], 0.0)
    return Additive(level, effects, bool(connected), residual)


def find_rest(means: "NDArray[np.float64]") -> "NDArray[np.float64]":
    """Return, for each assessor, the means of the samples over all others.

    Parameters
    ----------
    means : ndarray of float, shape (assessors, samples)
        Means of the cells; NaN where a cell is empty.

    Returns
    -------
    ndarray of float, shape (assessors, samples)
        Rounded as cell means are. NaN for samples that none of the others
        rated, and for all samples where gaps leave the others' samples not
        comparable or there are no others.

    Notes
    -----
    Without gaps these are plain means of the others' cell means. With gaps the
    additive model is fitted to the others' cells, so that who happened to rate
    a sample does not shift it.

    Examples
    --------
    >>> import numpy as np
    >>> find_rest(np.array([[1.0, 3.0], [2.0, 4.0], [6.0, 5.0]])).tolist()
    [[4.0, 4.5], [3.5, 4.0], [1.5, 3.5]]
    """
    import numpy as np

    there = (~np.isnan(means)).astype(np.float64)
    people = len(means)
    if people == 1:
        return np.full(means.shape, np.nan)
    equations, sums, own = _absorb(np.nan_to_num(means), there)
    rest = np.empty(means.shape)
    for place in range(people):
        others = np.arange(people) != place
        left, right = equations[others].sum(axis=0), sums[others].sum(axis=0)
        effects, connected = _solve(left, right, there[others].any(axis=0))
        level = own[others] - _average(there[others], np.nan_to_num(effects))
        rest[place] = level.mean() + effects if connected else np.nan
    return np.asarray(np.round(rest, DECIMALS_OF_MEANS), dtype=np.float64)


def _absorb(
    means: "NDArray[np.float64]", weights: "NDArray[np.float64] | NDArray[np.intp]"
) -> "tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]":
    """Return every assessor's share of C and of b, and every assessor's mean."""
    import numpy as np

    totals = weights.sum(axis=1)
    own = (weights * means).sum(axis=1) / totals
    diagonal = weights[:, :, None] * np.eye(means.shape[1])
    outer = weights[:, :, None] * weights[:, None, :] / totals[:, None, None]
    return diagonal - outer, weights * (means - own[:, None]), own


def _solve(
    left: "NDArray[np.float64]",
    right: "NDArray[np.float64]",
    rated: "NDArray[np.bool_] | None" = None,
) -> "tuple[NDArray[np.float64], bool]":
    """Return effects summing to 0, NaN if not rated, and whether all are comparable."""
    import numpy as np

    known = np.ones(len(right), dtype=bool) if rated is None else rated
    block = left[np.ix_(known, known)]
    rank = np.linalg.matrix_rank(block, tol=NOTHING * max(1.0, float(np.abs(block).max())))
    effects = np.full(len(right), np.nan)
    effects[known] = np.linalg.pinv(block, rcond=NOTHING, hermitian=True) @ right[known]
    return effects, bool(rank == known.sum() - 1)


def _average(
    weights: "NDArray[np.float64] | NDArray[np.intp]", effects: "NDArray[np.float64]"
) -> "NDArray[np.float64]":
    """Return the weighted mean effect of the samples each assessor rated."""
    average: NDArray[np.float64] = (weights * effects).sum(axis=1) / weights.sum(axis=1)
    return average
