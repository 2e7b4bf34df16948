"""Panels drawn anew from the assessors at hand: how far chance in who sat there reaches."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def draw_panels(assessors: int, draws: int, seed: int) -> "NDArray[np.float64]":
    """Draw panels of the same size with replacement.

    Parameters
    ----------
    assessors : int
        Size of the panel, 1 or more.
    draws : int
        Panels to draw, 1 or more.
    seed : int
        Of the random numbers, 0 or more; the same gives the same panels.

    Returns
    -------
    ndarray of float, shape (draws, assessors)
        The share each assessor has in each panel; every row adds up to 1, so
        that its product with the assessors' values is the panel's mean.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    The variance of a mean over all possible such panels is (n - 1)/n of the
    unbiased estimate, n being the number of assessors [1]_: with few of them,
    what is drawn spreads too little.

    References
    ----------
    .. [1] Efron, B. (1979). Bootstrap methods: another look at the jackknife.
       Annals of Statistics, 7, 1-26.

    Examples
    --------
    >>> panels = draw_panels(assessors=4, draws=1000, seed=1)
    >>> panels.shape, panels[0].sum().item()
    ((1000, 4), 1.0)
    """
    import numpy as np

    for name, value, least in (("assessors", assessors, 1), ("draws", draws, 1), ("seed", seed, 0)):
        if value < least:
            raise ValueError(f"{name} must be {least} or more, not {value}")
    rng = np.random.default_rng(seed)
    seats = rng.multinomial(assessors, np.full(assessors, 1 / assessors), size=draws)
    return np.asarray(seats / assessors, dtype=np.float64)
