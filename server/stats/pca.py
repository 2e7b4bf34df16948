"""Principal components of a table of sample x attribute means."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

CONSTANT = (
    "Left out, since all samples have the same mean there and it cannot be brought to "
    "one spread with the others: {}."
)
NOTHING_VARIES = "There are no components: no attribute varies over the samples."
ONE_SAMPLE = "There are no components: one sample does not vary."

# Below this share of the largest singular value or of a column's size: rounding only.
DUST = 1e-10


@dataclass(frozen=True)
class Components:
    """Principal components of samples by attributes.

    Attributes
    ----------
    samples, attributes : tuple of str
        Labels of the rows and of the columns that take part.
    correlation : bool
        Whether attributes were brought to one spread first.
    means, spreads : tuple of float
        Of the attributes; what was taken off, and what it was divided by (1
        without `correlation`).
    eigenvalues : tuple of float
        Variances along the components, n - 1 below, descending; components
        without variance are left out.
    shares : tuple of float
        Of the total variance.
    scores : tuple of tuple of float
        Samples x components.
    loadings : tuple of tuple of float
        Attributes x components, of length 1 a component; the largest of each is
        positive.
    correlations : tuple of tuple of float
        Of attributes with components; 0 for an attribute that does not vary.
    above_average : int
        Components with an eigenvalue above the mean of those possible.
    notes : tuple of str
    """

    samples: tuple[str, ...]
    attributes: tuple[str, ...]
    correlation: bool
    means: tuple[float, ...]
    spreads: tuple[float, ...]
    eigenvalues: tuple[float, ...]
    shares: tuple[float, ...]
    scores: tuple[tuple[float, ...], ...]
    loadings: tuple[tuple[float, ...], ...]
    correlations: tuple[tuple[float, ...], ...]
    above_average: int
    notes: tuple[str, ...]


def fit_components(
    table: "Floats",
    samples: Sequence[str],
    attributes: Sequence[str],
    correlation: bool = False,
) -> Components:
    """Return the principal components of a table.

    Parameters
    ----------
    table : array_like of float, shape (samples, attributes)
        Means, all finite.
    samples, attributes : sequence of str
        Labels.
    correlation : bool
        Whether to divide every attribute by its standard deviation over the
        samples first, so that one with a small range weighs as much as one with
        a large range, noise included.

    Returns
    -------
    Components

    Raises
    ------
    ValueError
        If the labels do not fit the table, it is empty, or a value is not finite.

    Notes
    -----
    By the singular values of the centred table, X = U D V': scores U D, loadings
    V, eigenvalues D²/(n - 1) [1]_. The average counts as many components as there are
    attributes.

    References
    ----------
    .. [1] Jolliffe, I. T. (2002). Principal Component Analysis, 2nd edition,
       section 3.5 (from memory).

    Examples
    --------
    >>> found = fit_components([[1, 2], [2, 4], [3, 6]], "XYZ", ["sweet", "body"])
    >>> [round(x, 10) for x in found.eigenvalues], [round(x, 10) for x in found.shares]
    ([5.0], [1.0])
    """
    import numpy as np

    means_of = check_table(table, samples, attributes)
    centre, spread = means_of.mean(axis=0), measure_spreads(means_of)
    kept = spread > 0 if correlation else np.ones(len(spread), dtype=bool)
    unit = spread[kept] if correlation else np.ones(int(kept.sum()))
    away = np.where(spread > 0, means_of - centre, 0.0)[:, kept] / unit
    scores, values, loadings = split(away)
    eigenvalues = values**2 / max(1, len(away) - 1)
    total = float(eigenvalues.sum())
    varying = np.where(spread[kept] > 0, spread[kept] / unit, np.inf)
    return Components(
        samples=tuple(samples),
        attributes=tuple(name for name, takes in zip(attributes, kept, strict=True) if takes),
        correlation=correlation,
        means=tuple(centre[kept].tolist()),
        spreads=tuple(unit.tolist()),
        eigenvalues=tuple(eigenvalues.tolist()),
        shares=tuple((eigenvalues / total).tolist()) if total else (),
        scores=as_rows(scores),
        loadings=as_rows(loadings),
        correlations=as_rows(loadings * np.sqrt(eigenvalues) / varying[:, None]),
        above_average=int((eigenvalues > total / max(1, kept.sum()) * (1 + DUST)).sum()),
        notes=_note(len(samples), attributes, kept, bool(total)),
    )


def split(away: "Floats") -> "tuple[Floats, Floats, Floats]":
    """Split a centred table into scores, singular values and loadings, signs fixed.

    Parameters
    ----------
    away : ndarray of float, shape (n, p)
        Columns with mean 0.

    Returns
    -------
    scores : ndarray of float, shape (n, components)
    values : ndarray of float, shape (components,)
        Descending, those of rounding left out.
    loadings : ndarray of float, shape (p, components)
        The largest of each column is positive; the first of several as large.

    Examples
    --------
    >>> import numpy as np
    >>> scores, values, loadings = split(np.array([[-3.0, -4.0], [3.0, 4.0]]))
    >>> values.round(6).tolist(), loadings.round(6).tolist()
    ([7.071068], [[0.6], [0.8]])
    """
    import numpy as np

    if not away.size:
        return np.zeros((len(away), 0)), np.zeros(0), np.zeros((away.shape[1], 0))
    left, values, right = np.linalg.svd(away, full_matrices=False)
    kept = values > DUST * values[0]
    values, loadings = values[kept], right[kept].T
    signs = find_signs(loadings)
    return left[:, kept] * signs * values, values, loadings * signs


def find_signs(loadings: "Floats") -> "Floats":
    """Return 1 or -1 for every column, so that its largest entry becomes positive.

    Examples
    --------
    >>> import numpy as np
    >>> find_signs(np.array([[0.6, 0.7], [-0.8, -0.7]])).tolist()
    [-1.0, 1.0]
    """
    import numpy as np

    size = np.abs(loadings)
    largest = size >= size.max(axis=0, initial=0.0) * (1 - DUST)
    first = largest.argmax(axis=0)
    picked = loadings[first, np.arange(loadings.shape[1])]
    return np.where(picked < 0, -1.0, 1.0)


def measure_spreads(table: "Floats") -> "Floats":
    """Return the standard deviation of every column, n - 1 below; exactly 0 for a constant.

    Examples
    --------
    >>> import numpy as np
    >>> measure_spreads(np.array([[0.1, 1.0], [0.1, 3.0], [0.1, 2.0]])).tolist()
    [0.0, 1.0]
    """
    import numpy as np

    if len(table) < 2:
        return np.zeros(table.shape[1])
    spreads = table.std(axis=0, ddof=1)
    size = np.abs(table).max(axis=0)
    return np.asarray(np.where(spreads <= DUST * size, 0.0, spreads), dtype=np.float64)


def check_table(table: "Floats", rows: Sequence[str], columns: Sequence[str]) -> "Floats":
    """Refuse a table that is empty, not finite, or does not fit its labels.

    Raises
    ------
    ValueError
        In those cases.

    Examples
    --------
    >>> check_table([[1.0, 2.0]], ["X"], ["sweet"])
    Traceback (most recent call last):
    ValueError: table must have shape (1, 1) by its labels, not (1, 2)
    """
    import numpy as np

    checked = np.asarray(table, dtype=np.float64)
    if checked.shape != (len(rows), len(columns)):
        raise ValueError(
            f"table must have shape {(len(rows), len(columns))} by its labels, not {checked.shape}"
        )
    if not checked.size:
        raise ValueError(f"table must hold a value or more, not shape {checked.shape}")
    if not np.isfinite(checked).all():
        raise ValueError(f"table must be finite, not {checked[~np.isfinite(checked)][0]}")
    return checked


def as_rows(table: "Floats") -> tuple[tuple[float, ...], ...]:
    """Return a table as plain rows.

    Examples
    --------
    >>> import numpy as np
    >>> as_rows(np.eye(2))
    ((1.0, 0.0), (0.0, 1.0))
    """
    return tuple(tuple(row) for row in table.tolist())


def _note(
    samples: int, attributes: Sequence[str], kept: "NDArray[np.bool_]", varies: bool
) -> tuple[str, ...]:
    if samples == 1:
        return (ONE_SAMPLE,)
    if not varies:
        return (NOTHING_VARIES,)
    left = [name for name, takes in zip(attributes, kept.tolist(), strict=True) if not takes]
    return (CONSTANT.format(", ".join(left)),) if left else ()
