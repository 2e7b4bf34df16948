"""The most likely variances of a panel's ratings, none of them negative."""

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.panel_sums import PanelSums
from server.stats.reml import BOWL, Point, evaluate, find_heights
from server.stats.reml_slopes import Products, Slopes, differentiate, multiply

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

GRID = (0.0, 0.03, 0.3, 3.0, 30.0)  # ratios to error where the search looks around
ROUNDS = 200
HALVINGS = 40
SETTLED = 1e-8  # of the log-likelihood still to be won, as the slopes foretell it
LAST_STEPS = 2  # Newton's, from there: each doubles the digits
LEAST = 1e-12  # a ratio below counts as 0
FLAT = 1e-9  # a direction of the variances that the values do not tell


@dataclass(frozen=True, eq=False)
class Fit:
    """The maximum of the restricted likelihood.

    Attributes
    ----------
    point : Point
        The model there.
    kinds : tuple of int
        Which random effects are in the model.
    free : tuple of int
        Places of the variances that are above 0, error last, among `kinds` and error.
    products : Products
    slopes : Slopes
    settled : bool
        Whether the search came to rest.
    """

    point: Point
    kinds: tuple[int, ...]
    free: tuple[int, ...]
    products: Products
    slopes: Slopes
    settled: bool


def fit_reml(sums: PanelSums, kinds: tuple[int, ...]) -> Fit:
    """Return the variances that make the values likeliest, by restricted likelihood.

    Parameters
    ----------
    sums : PanelSums
    kinds : tuple of int
        Which random effects are in the model, ascending; `tell_apart` says which
        can be.

    Returns
    -------
    Fit

    Notes
    -----
    The likelihood is looked up on a grid of ratios; from every point of it that no
    neighbour overtops, Newton's method climbs, with the expected information where
    the observed one is not positive, and with steps halved until they climb. A
    variance that would become negative stays at 0 unless the likelihood rises from
    there. The likeliest end is kept.

    Examples
    --------
    >>> from server.stats.panel_sums import sum_panel
    >>> from server.stats.ratings import build_ratings
    >>> ratings = build_ratings(list("aabbcc"), ["X", "Y"] * 3, [3, 5, 4, 7, 2, 3])
    >>> sums = sum_panel(ratings)
    >>> point = fit_reml(sums, (0,)).point
    >>> round(point.error * sums.unit**2, 9), round(float(point.ratios[0]), 9)
    (0.5, 4.0)
    """
    import numpy as np

    ratios = np.zeros((len(GRID) ** len(kinds), BOWL + 1))
    ratios[:, list(kinds)] = list(itertools.product(GRID, repeat=len(kinds)))
    heights = find_heights(sums, ratios).reshape((len(GRID),) * len(kinds))
    starts = (evaluate(sums, ratios[place]) for place in _find_peaks(heights))
    ends = [_climb(sums, start, kinds) for start in starts]
    return _finish(sums, max(ends, key=lambda point: point.log_likelihood), kinds)


def tell_apart(sums: PanelSums, kinds: tuple[int, ...]) -> bool:
    """Return whether the values can tell the variances of these effects, and error, apart.

    Parameters
    ----------
    sums : PanelSums
    kinds : tuple of int
        The random effects in question, ascending.

    Returns
    -------
    bool
        False if the expected information on the variances is singular: some
        mixture of them would leave no trace in any values such as these.

    Examples
    --------
    >>> from server.stats.panel_sums import sum_panel
    >>> from server.stats.ratings import build_ratings
    >>> sums = sum_panel(build_ratings(list("aabb"), ["X", "Y"] * 2, [3, 5, 4, 7]))
    >>> tell_apart(sums, (0,)), tell_apart(sums, (0, 1))  # one value a cell
    (True, False)
    """
    import numpy as np

    if sums.values <= sums.samples:
        return False
    point = evaluate(sums, np.zeros(3))
    information = differentiate(sums, point, multiply(sums, point, kinds)).expected
    known = np.diag(information)
    if known.min() <= FLAT * known.max():
        return False
    spread = np.sqrt(known)
    return float(np.linalg.eigvalsh(information / np.outer(spread, spread)).min()) > FLAT


def find_leftover(sums: PanelSums, cells: bool, bowls: bool) -> tuple[float, int]:
    """Return the sum of squares, and its degrees of freedom, that no effect accounts for.

    Parameters
    ----------
    sums : PanelSums
    cells : bool
        Whether every cell, or only every assessor, has an effect of its own.
    bowls : bool
        Whether every bowl, or only every sample, has one.

    Returns
    -------
    squares : float
        In squared units of `sums`.
    df : int

    Examples
    --------
    >>> from server.stats.panel_sums import sum_panel
    >>> from server.stats.ratings import build_ratings
    >>> ratings = build_ratings(list("aabbcc"), ["X", "Y"] * 3, [3, 5, 4, 7, 2, 3])
    >>> sums = sum_panel(ratings)
    >>> squares, df = find_leftover(sums, cells=False, bowls=False)
    >>> round(squares * sums.unit**2, 9), df  # the interaction's
    (1.0, 2)
    """
    import numpy as np

    member = sums.membership
    groups = member if cells else np.ones((len(member), 1))
    counts, totals = sums.counts @ groups, sums.totals @ groups
    full = np.maximum(counts, 1)
    shares = sums.counts / (full @ groups.T)
    design = np.diag(sums.counts.sum(axis=0)) - (groups @ groups.T) * (sums.counts.T @ shares)
    response = sums.totals.sum(axis=0) - (shares * (totals @ groups.T)).sum(axis=0)
    if not bowls:
        design, response = member.T @ design @ member, member.T @ response
    sizes, axes = np.linalg.eigh((design + design.T) / 2)
    told = sizes > FLAT * sums.counts.sum()
    explained = float(((axes[:, told].T @ response) ** 2 / sizes[told]).sum())
    squares = sums.squares - float((totals**2 / full).sum()) - explained
    return max(squares, 0.0), sums.values - int((counts > 0).sum()) - int(told.sum())


def _find_peaks(heights: "Array") -> list[int]:
    """Return the flat places of a grid that no neighbour along an axis overtops."""
    import numpy as np

    edged = np.pad(heights, 1, constant_values=-np.inf)
    peak = np.ones(heights.shape, dtype=np.bool_)
    for axis, step in itertools.product(range(heights.ndim), (-1, 1)):
        beside = np.roll(edged, step, axis)[(slice(1, -1),) * heights.ndim]
        peak &= heights >= beside
    return [int(place) for place in np.flatnonzero(peak)]


def _climb(sums: PanelSums, point: Point, kinds: tuple[int, ...]) -> Point:
    """Climb from a point to where nothing worth a step is left to be won."""
    for _ in range(ROUNDS):
        slopes = differentiate(sums, point, multiply(sums, point, kinds))
        step = _find_step(slopes, _find_free(point, slopes, kinds))
        if float(slopes.gradient @ step) <= SETTLED:
            break
        sizes = (0.5**halvings for halvings in range(HALVINGS))
        taken = (_move(sums, point, kinds, size * step) for size in sizes)
        higher = next((one for one in taken if one.log_likelihood > point.log_likelihood), None)
        if higher is None:
            break
        point = higher
    return point


def _finish(sums: PanelSums, point: Point, kinds: tuple[int, ...]) -> Fit:
    """Take the last steps, too small to be seen in the likelihood, and look around."""
    for left in reversed(range(LAST_STEPS + 1)):
        products = multiply(sums, point, kinds)
        slopes = differentiate(sums, point, products)
        free = _find_free(point, slopes, kinds)
        step = _find_step(slopes, free)
        promise = float(slopes.gradient @ step)
        if left and promise <= SETTLED:
            point = _move(sums, point, kinds, step)
    above = tuple(place for place in free if place == len(kinds) or point.ratios[kinds[place]] > 0)
    return Fit(point, kinds, above, products, slopes, promise <= SETTLED)


def _find_free(point: Point, slopes: Slopes, kinds: tuple[int, ...]) -> tuple[int, ...]:
    """Return the places of the variances that may move: not those held down at 0."""
    moving = [
        place
        for place, kind in enumerate(kinds)
        if point.ratios[kind] > 0 or slopes.gradient[place] > 0
    ]
    return (*moving, len(kinds))


def _find_step(slopes: Slopes, free: tuple[int, ...]) -> "Array":
    """Return Newton's step, or Fisher's where the likelihood is not curved downwards."""
    import numpy as np

    chosen = np.array(free)
    information = slopes.observed[chosen[:, None], chosen]
    if np.linalg.eigvalsh(information).min() <= 0:
        information = slopes.expected[chosen[:, None], chosen]
    step = np.zeros(len(slopes.gradient))
    step[chosen] = np.linalg.solve(information, slopes.gradient[chosen])
    return step


def _move(sums: PanelSums, point: Point, kinds: tuple[int, ...], step: "Array") -> Point:
    """Return the model with its variances moved, none of them below 0."""
    import numpy as np

    error = max(point.error + step[-1], point.error / 10)
    ratios = np.zeros(BOWL + 1)
    moved = point.ratios[list(kinds)] * point.error + step[:-1]
    ratios[list(kinds)] = np.where(moved > LEAST * error, moved, 0) / error
    return evaluate(sums, ratios)
