"""One configuration of samples turned onto another, with or without stretching."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Turned:
    """One configuration turned onto another; both centred.

    Attributes
    ----------
    rotation : ndarray of float, shape (p, p)
        Orthogonal, a reflection allowed.
    scale : float
        What the turned one was multiplied with; 1 if not asked for.
    residual : float
        Sum of squared distances that remain.
    symmetric : float or None
        Residual with scale, both of total sum of squares 1: 0 for the same
        shape, at most 1; None if one of them is a single point.
    """

    rotation: "Floats"
    scale: float
    residual: float
    symmetric: float | None


def turn(target: "Floats", moved: "Floats", scaled: bool = False) -> Turned:
    """Turn one configuration onto another as close as it goes.

    Parameters
    ----------
    target, moved : array_like of float, shape (n, p) and (n, q)
        The same samples in rows; the narrower is filled up with zeros.
    scaled : bool
        Whether to stretch `moved` too.

    Returns
    -------
    Turned

    Raises
    ------
    ValueError
        If the shapes do not fit or a value is not finite.

    Notes
    -----
    With centred X and Y, the singular values of X'Y = U D V' give the rotation
    V U' and the scale tr D / tr Y'Y [1]_.

    References
    ----------
    .. [1] Gower, J. C. & Dijksterhuis, G. B. (2004). Procrustes Problems,
       chapter 4 (from memory).

    Examples
    --------
    >>> import numpy as np
    >>> square = np.array([[0, 0], [2, 0], [2, 2], [0, 2]])
    >>> found = turn(square, 3 * square[:, ::-1] + 5, scaled=True)
    >>> round(found.scale, 10), round(found.residual, 10)
    (0.3333333333, 0.0)
    """
    import numpy as np

    one, other = stack([target, moved])
    rotation, overlap = find_rotation(one, other)
    total, size = float((one**2).sum()), float((other**2).sum())
    scale = float(overlap) / size if scaled and size else 1.0
    alike = None if total == 0 or size == 0 else max(0.0, 1 - float(overlap) ** 2 / total / size)
    rest = one - scale * other @ rotation
    return Turned(np.asarray(rotation), scale, float((rest**2).sum()), alike)


def find_rotation(target: "Floats", moved: "Floats") -> "tuple[Floats, Floats]":
    """Return the rotations that bring configurations closest to others, and the overlaps.

    Parameters
    ----------
    target, moved : ndarray of float, shape (..., n, p)
        Centred configurations, or stacks of them.

    Returns
    -------
    rotation : ndarray of float, shape (..., p, p)
        Orthogonal; ``moved @ rotation`` is closest to `target`.
    overlap : ndarray of float, shape (...,)
        Trace of ``target' moved rotation``, the largest there is.

    Examples
    --------
    >>> import numpy as np
    >>> one = np.array([[1.0, 0.0], [-1.0, 0.0]])
    >>> find_rotation(one, one[:, ::-1])[1].item()
    2.0
    """
    import numpy as np

    left, values, right = np.linalg.svd(np.swapaxes(moved, -1, -2) @ target)
    return left @ right, np.asarray(values.sum(axis=-1))


def stack(configurations: "list[Floats]") -> "Floats":
    """Centre configurations of the same samples and fill them up to one width.

    Parameters
    ----------
    configurations : list of array_like of float, shapes (n, p_i)
        Finite, with the same number of rows.

    Returns
    -------
    ndarray of float, shape (m, n, largest p_i)

    Raises
    ------
    ValueError
        If a configuration is not a table, is not finite, or has another number of rows.

    Examples
    --------
    >>> stack([[[1.0], [3.0]], [[1.0, 5.0], [3.0, 7.0]]]).tolist()
    [[[-1.0, 0.0], [1.0, 0.0]], [[-1.0, -1.0], [1.0, 1.0]]]
    """
    import numpy as np

    tables = [np.asarray(one, dtype=np.float64) for one in configurations]
    for one in tables:
        if one.ndim != 2 or len(one) != len(tables[0]) or not one.size:
            raise ValueError(
                f"configurations must be tables of the same samples, not of shape {one.shape}"
            )
        if not np.isfinite(one).all():
            raise ValueError(f"configurations must be finite, not {one[~np.isfinite(one)][0]}")
    stacked = np.zeros((len(tables), len(tables[0]), max(one.shape[1] for one in tables)))
    for place, one in enumerate(tables):
        away = one - one.mean(axis=0)
        away[:, (one == one[0]).all(axis=0)] = 0.0  # a constant leaves no rounding dust
        stacked[place, :, : one.shape[1]] = away
    return stacked
