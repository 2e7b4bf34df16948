"""Tables of assessors × samples, one value a cell or a gap, and their sums of squares."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.anova import DUST, Line
from server.stats.ratings import DECIMALS_OF_MEANS

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    # An array with NaN, or rows with None, where a cell is empty.
    Table = NDArray[np.float64] | Sequence[Sequence[float | None]]


@dataclass(frozen=True)
class Split:
    """Sums of squares of a table, gaps or not, by least squares.

    Attributes
    ----------
    values, assessors, samples : int
        N values, of k assessors on n samples, those without any left out.
    overlap : float
        Mean number of values a sample that the one-way split counts with: k
        without gaps.
    connected : bool
        Whether all samples can be compared within assessors, directly or by a chain.
    between, within : Line
        Samples, and values within samples: the one-way split.
    sample, assessor, error : Line
        Samples with assessors taken out, assessors with samples taken out, and
        what is left of both: the two-way split.
    """

    values: int
    assessors: int
    samples: int
    overlap: float
    connected: bool
    between: Line
    within: Line
    sample: Line
    assessor: Line
    error: Line

    @property
    def complete(self) -> bool:
        """Whether no cell is empty."""
        return self.values == self.assessors * self.samples


def read_crossed(table: "Table") -> "NDArray[np.float64]":
    """Return a table as an array of assessors × samples.

    Parameters
    ----------
    table : ndarray or rows of float, shape (assessors, samples)
        Empty cells are NaN or None.

    Returns
    -------
    ndarray of float, shape (assessors, samples)
        Rounded to ten decimals, so that values equal on paper tie.

    Raises
    ------
    ValueError
        If it is no table, has no value, or has one that is infinite.

    Examples
    --------
    >>> read_crossed([[1, 0.1 + 0.2], [None, 2]]).tolist()
    [[1.0, 0.3], [nan, 2.0]]
    """
    import numpy as np

    read = np.array(table, dtype=np.float64)
    if read.ndim != 2:
        raise ValueError(f"table must have assessors and samples, not {read.ndim} dimensions")
    if np.isinf(read).any():
        raise ValueError(f"table must hold finite values, not {read[np.isinf(read)][0]}")
    if np.isnan(read).all():
        raise ValueError("table must hold at least one value, not none")
    return np.asarray(np.round(read, DECIMALS_OF_MEANS), dtype=np.float64)


def split_crossed(table: "NDArray[np.float64]") -> Split:
    """Split the sum of squares of a table into samples, assessors and the rest.

    Parameters
    ----------
    table : ndarray of float, shape (assessors, samples)
        As `read_crossed` returns it.

    Returns
    -------
    Split

    Notes
    -----
    Least squares with assessors and samples as main effects; with gaps each is
    fitted after the other, and the sums no longer add up to the total [1]_.

    References
    ----------
    .. [1] Searle, S. R. (1971). Linear Models, chapter 7 (chapter from memory).

    Examples
    --------
    >>> found = split_crossed(read_crossed([[1, 2, 6], [3, 5, 7]]))
    >>> found.sample.mean_square, found.assessor.mean_square, found.error.mean_square
    (10.5, 6.0, 0.5)
    """
    import numpy as np

    kept = table[:, ~np.isnan(table).all(axis=0)]
    kept = kept[~np.isnan(kept).all(axis=1)]
    there = ~np.isnan(kept)
    number, (people, samples) = int(there.sum()), kept.shape
    spread = kept - kept[there].mean()
    effects, rank = _fit_samples(spread, there)
    left = _centre(spread - effects, axis=1)
    total, within, across, error = (
        float((part[there] ** 2).sum())
        for part in (spread, _centre(spread, axis=0), _centre(spread, axis=1), left)
    )
    dust = max(DUST * float((kept[there] ** 2).sum()), number * 0.1 ** (2 * DECIMALS_OF_MEANS))
    return Split(
        values=number,
        assessors=people,
        samples=samples,
        overlap=_find_overlap(there.sum(axis=0)),
        connected=rank == samples - 1,
        between=_build_line(total - within, samples - 1, dust),
        within=_build_line(within, number - samples, dust),
        sample=_build_line(across - error, rank, dust),
        assessor=_build_line(within - error, rank + people - samples, dust),
        error=_build_line(error, number - people - rank, dust),
    )


def _fit_samples(
    spread: "NDArray[np.float64]", there: "NDArray[np.bool_]"
) -> "tuple[NDArray[np.float64], int]":
    """Return least-squares sample effects with assessors taken out, and how many are free."""
    import numpy as np

    present = there.astype(np.float64)
    shared = np.diag(present.sum(axis=0)) - present.T @ (present / present.sum(axis=1)[:, None])
    sums = np.where(there, _centre(spread, axis=1), 0).sum(axis=0)
    effects, _, rank, _ = np.linalg.lstsq(shared, sums, rcond=1e-10)
    return effects, int(rank)


def _centre(values: "NDArray[np.float64]", axis: int) -> "NDArray[np.float64]":
    import numpy as np

    centred: NDArray[np.float64] = values - np.nanmean(values, axis=axis, keepdims=True)
    return centred


def _find_overlap(counts: "NDArray[np.intp]") -> float:
    if len(counts) == 1:
        return float(counts[0])
    total = counts.sum()
    return float((total - (counts**2).sum() / total) / (len(counts) - 1))


def _build_line(squares: float, df: int, dust: float) -> Line:
    squares = 0.0 if squares <= dust else squares
    return Line(squares, df, squares / df if df else None)
