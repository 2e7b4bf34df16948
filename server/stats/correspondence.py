"""Correspondence analysis of a table of counts, such as words ticked by sample."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.pca import as_rows, check_table, find_signs

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

EMPTY = "Left out, since nothing was counted there: {}."
NO_AXES = "There are no axes: all samples have the same profile, or there is one row or column."
DEPENDENT = (
    "n x inertia is the chi-square statistic of the table, but a p-value by it needs counts "
    "that are independent; ticks of one assessor on several samples are not."
)

DUST = 1e-10  # singular values below this are rounding: the largest possible is 1


@dataclass(frozen=True)
class Points:
    """Rows or columns on the axes.

    Attributes
    ----------
    labels : tuple of str
    masses : tuple of float
        Shares of the total count.
    inertias : tuple of float
        Parts of the total inertia.
    coordinates : tuple of tuple of float
        Principal coordinates, points x axes: distances between rows, or between
        columns, are chi-square distances of their profiles.
    contributions : tuple of tuple of float
        Of the points to each axis; they add up to 1 an axis.
    quality : tuple of tuple of float
        Squared cosines of the points with each axis; a point without inertia has 0.
    """

    labels: tuple[str, ...]
    masses: tuple[float, ...]
    inertias: tuple[float, ...]
    coordinates: tuple[tuple[float, ...], ...]
    contributions: tuple[tuple[float, ...], ...]
    quality: tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class Correspondence:
    """Correspondence analysis of a table of counts.

    Attributes
    ----------
    total : float
        All counts.
    inertia : float
        Chi-square statistic of the table, divided by `total`.
    chi_square : float
    df : int
        (rows - 1) x (columns - 1).
    inertias : tuple of float
        Along the axes, descending; those of rounding left out.
    shares : tuple of float
        Of the inertia.
    rows, columns : Points
    notes : tuple of str
    """

    total: float
    inertia: float
    chi_square: float
    df: int
    inertias: tuple[float, ...]
    shares: tuple[float, ...]
    rows: Points
    columns: Points
    notes: tuple[str, ...]


def fit_correspondence(
    counts: "Floats",
    rows: Sequence[str] | None = None,
    columns: Sequence[str] | None = None,
) -> Correspondence:
    """Return the correspondence analysis of a table of counts.

    Parameters
    ----------
    counts : array_like of float, shape (rows, columns)
        Counts, 0 or more, such as samples x words; not all 0. Rows and columns
        without a count are left out, and named.
    rows, columns : sequence of str, optional
        Labels; 1, 2, ... if not given.

    Returns
    -------
    Correspondence

    Raises
    ------
    ValueError
        If a count is negative or not finite, there is none, or labels do not fit.

    Notes
    -----
    With P = counts / total and masses r, c, the singular value decomposition of
    (P - r c') / (r c')^½ = U D V' gives principal coordinates U D / r^½ and V D / c^½
    and inertias D² [1]_. The largest of an axis's columns, weighted by mass, is positive.

    References
    ----------
    .. [1] Greenacre, M. J. (1984). Theory and Applications of Correspondence
       Analysis, chapter 4 (from memory).

    Examples
    --------
    >>> found = fit_correspondence([[10, 20], [20, 10]], ["X", "Y"], ["sweet", "sour"])
    >>> round(found.chi_square, 10), round(found.inertia, 10)
    (6.6666666667, 0.1111111111)
    """
    import numpy as np

    table, names, words, notes = _check(counts, rows, columns)
    total = float(table.sum())
    shares = table / total
    r, c = shares.sum(axis=1), shares.sum(axis=0)
    apart = (shares - np.outer(r, c)) / np.sqrt(np.outer(r, c))
    left, values, right = np.linalg.svd(apart, full_matrices=False)
    kept = values > DUST
    left, values, right = left[:, kept], values[kept], right[kept].T
    signs = find_signs(right)
    inertias = values**2
    inertia = float(inertias.sum())
    return Correspondence(
        total=total,
        inertia=inertia,
        chi_square=total * inertia,
        df=(len(r) - 1) * (len(c) - 1),
        inertias=tuple(inertias.tolist()),
        shares=tuple((inertias / inertia).tolist()) if inertia else (),
        rows=_place(names, r, left * signs, values),
        columns=_place(words, c, right * signs, values),
        notes=(*notes, DEPENDENT) if inertia else (*notes, NO_AXES),
    )


def _check(
    counts: "Floats", rows: Sequence[str] | None, columns: Sequence[str] | None
) -> "tuple[Floats, tuple[str, ...], tuple[str, ...], tuple[str, ...]]":
    """Return the table without empty rows and columns, its labels, and what was left out."""
    import numpy as np

    table = np.asarray(counts, dtype=np.float64)
    if table.ndim != 2:
        raise ValueError(f"counts must be a table of rows and columns, not of shape {table.shape}")
    names = [str(at + 1) for at in range(table.shape[0])] if rows is None else rows
    words = [str(at + 1) for at in range(table.shape[1])] if columns is None else columns
    table = check_table(table, names, words)
    if (table < 0).any():
        raise ValueError(f"counts must be 0 or more, not {table.min()}")
    if not table.any():
        raise ValueError("counts must hold one count or more, not all 0")
    full, said = np.asarray(table.any(axis=1)), np.asarray(table.any(axis=0))
    kept_rows, empty_rows = _split_labels(names, full.tolist())
    kept_columns, empty_columns = _split_labels(words, said.tolist())
    empty = (*empty_rows, *empty_columns)
    notes = (EMPTY.format(", ".join(empty)),) if empty else ()
    return table[full][:, said], kept_rows, kept_columns, notes


def _split_labels(
    labels: Sequence[str], holds: Sequence[bool]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    pairs = list(zip(labels, holds, strict=True))
    return tuple(x for x, kept in pairs if kept), tuple(x for x, kept in pairs if not kept)


def _place(
    labels: tuple[str, ...], masses: "Floats", vectors: "Floats", values: "Floats"
) -> Points:
    import numpy as np

    parts = (vectors * values) ** 2
    own = parts.sum(axis=1)
    quality = np.divide(parts, own[:, None], out=np.zeros_like(parts), where=own[:, None] > 0)
    return Points(
        labels=labels,
        masses=tuple(masses.tolist()),
        inertias=tuple(own.tolist()),
        coordinates=as_rows(vectors * values / np.sqrt(masses)[:, None]),
        contributions=as_rows(vectors**2),
        quality=as_rows(quality),
    )
