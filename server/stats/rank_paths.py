"""Cumulated ranks along the panel's order: one path an assessor, deeper the better they agree."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.rankings import rank_row
from server.stats.ratings import DECIMALS_OF_MEANS, Ratings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

GAPS = "{} did not rate every sample and has no path; the order is that of the others."
NONE_COMPLETE = "Nobody rated every sample: no path is estimable."


@dataclass(frozen=True)
class Path:
    """One assessor's path.

    Attributes
    ----------
    steps : tuple of float, length J
        Cumulated centred ranks; the last is 0.
    deepest : float
        The lowest step.
    area : float
        Sum of the steps.
    """

    steps: tuple[float, ...]
    deepest: float
    area: float


@dataclass(frozen=True)
class RankPaths:
    """The paths of a panel.

    Attributes
    ----------
    order : tuple of str
        Samples in the panel's order, the lowest mean first.
    ideal : tuple of float
        The path of an assessor who ranks in just that order.
    paths : dict of str to Path
        By assessor.
    notes : tuple of str
    """

    order: tuple[str, ...]
    ideal: tuple[float, ...]
    paths: dict[str, Path]
    notes: tuple[str, ...]


def trace_ranks(ratings: Ratings) -> RankPaths:
    """Trace each assessor's ranks along the order of the panel.

    Parameters
    ----------
    ratings : Ratings
        One attribute.

    Returns
    -------
    RankPaths

    Notes
    -----
    An assessor's sample means are ranked, ties sharing their mean rank; less
    (J + 1) / 2, they are summed up in the order of the panel's means (equal means
    in the order of their labels) [1]_. In full agreement the path is the ideal
    one, at its deepest -J² / 8 for even J and -(J² - 1) / 8 for odd; an assessor
    without order stays near 0, a reversed one goes above it.

    References
    ----------
    .. [1] Hirst, D. & Næs, T. (1994). A graphical technique for assessing
       differences among a set of rankings. Journal of Chemometrics, 8, 81-93
       (from memory).

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["ann"] * 3 + ["bo"] * 3, ["X", "Y", "Z"] * 2
    >>> found = trace_ranks(build_ratings(people, names, [6, 3, 1, 9, 2, 4]))
    >>> found.order, found.ideal, found.paths["bo"].steps
    (('Y', 'Z', 'X'), (-1.0, -1.0, 0.0), (-1.0, -1.0, 0.0))
    """
    import numpy as np

    means = ratings.means()
    complete = ~np.isnan(means).any(axis=1)
    notes = [GAPS.format(ratings.assessors[place]) for place in np.flatnonzero(~complete)]
    if not complete.any():
        return RankPaths((), (), {}, (NONE_COMPLETE,))
    panel = np.round(means[complete].mean(axis=0), DECIMALS_OF_MEANS)
    order = np.argsort(panel, kind="stable")
    samples = len(order)
    paths = {
        ratings.assessors[place]: _trace(means[place], order) for place in np.flatnonzero(complete)
    }
    return RankPaths(
        order=tuple(ratings.samples[place] for place in order),
        ideal=_trace(np.arange(samples, dtype=np.float64), np.arange(samples)).steps,
        paths=paths,
        notes=tuple(notes),
    )


def _trace(means: "NDArray[np.float64]", order: "NDArray[np.intp]") -> Path:
    import numpy as np

    ranks = np.array(rank_row(means.tolist()))
    steps = np.cumsum(ranks[order] - (len(ranks) + 1) / 2)
    return Path(tuple(steps.tolist()), float(steps.min()), float(steps.sum()))
