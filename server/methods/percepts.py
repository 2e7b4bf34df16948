"""Percepts of the cups of a serving, checked before a taster's rule is applied."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def read_percepts(percepts: "NDArray[np.float64]", cups: int) -> "tuple[NDArray[np.float64], ...]":
    """Return the percepts cup by cup.

    Parameters
    ----------
    percepts : ndarray of float, shape (..., cups)
        What each cup tastes like, on one scale.
    cups : int
        Cups that there must be.

    Returns
    -------
    tuple of ndarray of float, each of shape (...)
        One array a cup.

    Raises
    ------
    ValueError
        If the last axis holds another number of cups, or a percept is NaN.

    Examples
    --------
    >>> weaker, stronger = read_percepts([[0.5, 1.5], [0.25, 0.0]], 2)
    >>> stronger.tolist()
    [1.5, 0.0]
    """
    import numpy as np

    given = np.asarray(percepts, dtype=np.float64)
    held = given.shape[-1] if given.ndim else 0
    if held != cups:
        raise ValueError(f"percepts must hold {cups} cups on the last axis, not {held}")
    if np.isnan(given).any():
        raise ValueError("percepts must be numbers, not nan")
    return tuple(given[..., cup] for cup in range(cups))
