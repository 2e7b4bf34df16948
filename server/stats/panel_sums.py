"""A panel's values boiled down to the counts and sums a mixed model needs."""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from server.stats.anova import DUST
from server.stats.ratings import Ratings
from server.stats.subsets import keep_rows

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class PanelSums:
    """Counts and sums of a panel's values, of I assessors on B bowls of J samples.

    With own cups every sample is a bowl of its own, B = J. The values are
    centred on the plain mean of their sample and divided by `unit`, so that all
    that follows is free of the scale people scored on.

    Attributes
    ----------
    counts, totals : ndarray of float, shape (I, B)
        How many values each assessor gave on each bowl, and their sum.
    holds : ndarray of int, shape (B,)
        Which sample each bowl holds.
    values : int
        How many values there are.
    squares : float
        Their sum of squares.
    repeats : float
        Of it, the sum of squares within an assessor on a bowl.
    centres : ndarray of float, shape (J,)
        Plain means of the samples, in the unit of the values.
    unit : float
        Their standard deviation within samples; 0 if nothing varies there.
    dust : float
        Sums of squares up to this are floating-point dust.
    """

    counts: "NDArray[np.float64]"
    totals: "NDArray[np.float64]"
    holds: "NDArray[np.intp]"
    values: int
    squares: float
    repeats: float
    centres: "NDArray[np.float64]"
    unit: float
    dust: float

    @property
    def samples(self) -> int:
        """Number of samples, J."""
        return len(self.centres)

    @cached_property
    def membership(self) -> "NDArray[np.float64]":
        """Which bowl holds which sample, ones and zeros of shape (B, J)."""
        import numpy as np

        return np.eye(self.samples)[self.holds]

    @cached_property
    def cells(self) -> "tuple[NDArray[np.float64], NDArray[np.float64]]":
        """Counts and totals over the bowls of a sample, each of shape (I, J)."""
        return self.counts @ self.membership, self.totals @ self.membership

    @cached_property
    def same(self) -> "NDArray[np.float64]":
        """Which bowls hold the same sample, ones and zeros of shape (B, B)."""
        return self.membership @ self.membership.T


def sum_panel(ratings: Ratings) -> PanelSums:
    """Return the counts and sums of a panel's ratings.

    Parameters
    ----------
    ratings : Ratings
        One attribute; its bowls, if any, are kept apart.

    Returns
    -------
    PanelSums

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> sums = sum_panel(build_ratings(["a", "a", "b", "b"], ["X", "Y"] * 2, [1, 5, 3, 5]))
    >>> sums.centres.tolist(), sums.unit, sums.totals.tolist()
    ([2.0, 5.0], 1.0, [[-1.0, 0.0], [1.0, 0.0]])
    """
    import numpy as np

    bowl, bowls = ratings.sample, len(ratings.samples)
    holds = np.arange(bowls)
    if ratings.bowl is not None:
        bowl, bowls = ratings.bowl, len(ratings.bowls)
        holds = np.zeros(bowls, dtype=np.intp)
        holds[bowl] = ratings.sample
    centres = _average(ratings.value, ratings.sample, len(ratings.samples))
    spread = ratings.value - centres[ratings.sample]
    dust = DUST * float(ratings.value @ ratings.value)
    unit = _find_unit(spread, len(centres), dust)
    spread = spread / unit if unit else np.zeros_like(spread)
    place = ratings.assessor * bowls + bowl
    shape = (len(ratings.assessors), bowls)
    counts = np.bincount(place, minlength=shape[0] * bowls).astype(np.float64)
    totals = np.bincount(place, weights=spread, minlength=shape[0] * bowls).astype(np.float64)
    within = spread - (totals / np.maximum(counts, 1))[place]
    return PanelSums(
        counts=counts.reshape(shape),
        totals=totals.reshape(shape),
        holds=holds,
        values=len(spread),
        squares=float(spread @ spread),
        repeats=float(within @ within),
        centres=centres,
        unit=unit,
        dust=dust / (unit or 1) ** 2,
    )


def drop_repeats(ratings: Ratings) -> Ratings:
    """Return the first value of every assessor on every sample, or shared bowl.

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> drop_repeats(build_ratings(["a"] * 3, ["X", "X", "Y"], [4, 4, 6])).value.tolist()
    [4.0, 6.0]
    """
    import numpy as np

    place = ratings.sample if ratings.bowl is None else ratings.bowl
    _, first = np.unique(np.column_stack((ratings.assessor, place)), axis=0, return_index=True)
    return keep_rows(ratings, first)


def forget_bowls(ratings: Ratings) -> Ratings:
    """Return the ratings as if every assessor had had own cups.

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> forget_bowls(build_ratings(["a", "b"], ["X", "X"], [4, 6], ["1", "1"])).bowls
    ()
    """
    return Ratings(
        ratings.assessors, ratings.samples, ratings.assessor, ratings.sample, ratings.value
    )


def _average(
    values: "NDArray[np.float64]", group: "NDArray[np.intp]", groups: int
) -> "NDArray[np.float64]":
    import numpy as np

    means: NDArray[np.float64] = np.bincount(group, weights=values, minlength=groups) / np.bincount(
        group, minlength=groups
    )
    return means


def _find_unit(spread: "NDArray[np.float64]", samples: int, dust: float) -> float:
    """Return the standard deviation within samples, 0 if it is dust."""
    squares = float(spread @ spread)
    return math.sqrt(squares / (len(spread) - samples)) if squares > dust else 0.0
