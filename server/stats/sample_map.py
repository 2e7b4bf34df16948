"""Map of the samples by their attributes, with the reach of chance in who sat on the panel."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.bootstrap import draw_panels
from server.stats.checks import check_open_unit
from server.stats.ellipse import Ellipse, find_drawn_ellipse
from server.stats.pca import Components, fit_components, measure_spreads
from server.stats.procrustes import find_rotation
from server.stats.profiles import GAPS, Profile, keep_complete

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

DRAWS = 1000
LEAST = 3  # assessors for ellipses

NOBODY_COMPLETE = "There is no map: no assessor rated every attribute of every sample."
TOO_FEW = "The map has no ellipses: it takes three assessors or more who rated everything, not {}."
ONE_DIMENSION = "The map has no ellipses: the samples differ along one component at most."


@dataclass(frozen=True)
class SampleMap:
    """Principal components of a panel's means, with ellipses of the samples.

    Attributes
    ----------
    components : Components or None
        None if no assessor rated everything.
    ellipses : tuple of Ellipse or None
        Of every sample in the plane of the first two components: where it would
        lie for all assessors like these.
    assessors : tuple of str
        Those who take part.
    draws, seed : int
        Panels drawn, and what their random numbers started from.
    level : float
        Confidence level of the ellipses.
    notes : tuple of str
    """

    components: Components | None
    ellipses: tuple[Ellipse, ...] | None
    assessors: tuple[str, ...]
    draws: int
    seed: int
    level: float
    notes: tuple[str, ...]


def draw_map(
    profile: Profile,
    correlation: bool = False,
    level: float = 0.95,
    draws: int = DRAWS,
    seed: int = 1,
) -> SampleMap:
    """Map samples by the means of their attributes.

    Parameters
    ----------
    profile : Profile
        Cell means; assessors with a gap are left out, and named.
    correlation : bool
        Whether to bring attributes to one spread, as in `fit_components`.
    level : float
        Confidence level of the ellipses, above 0 and below 1.
    draws : int
        Panels to draw, 2 or more.
    seed : int
        Of the random numbers, 0 or more.

    Returns
    -------
    SampleMap

    Raises
    ------
    ValueError
        If `level`, `draws` or `seed` is out of range.

    Notes
    -----
    Panels of the same size are drawn from the assessors with replacement, as
    people, not cups, are what the panel is a sample of. Each panel's table of
    means has its own components; their plane is turned and reflected onto the
    map's, for axes come out in any direction [1]_. A sample's ellipse is laid around
    its place on the map, as wide as its cloud tells, the size of the panel taken
    into account (`find_drawn_ellipse`). It covers chance in the panel, not in the
    brewing.

    Any map spreads its samples as far as it can, chance included: where no
    attribute tells samples apart by its own test, neither does the map.

    References
    ----------
    .. [1] Milan, L. & Whittaker, J. (1995). Application of the parametric
       bootstrap to models that incorporate a singular value decomposition.
       Applied Statistics, 44, 31-49 (from memory).

    Examples
    --------
    >>> from server.stats.profiles import build_profile
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["a"] * 3 + ["b"] * 3 + ["c"] * 3, ["X", "Y", "Z"] * 3
    >>> sweet = build_ratings(people, names, [1, 2, 6, 2, 3, 7, 3, 2, 8])
    >>> body = build_ratings(people, names, [5, 1, 3, 7, 2, 3, 6, 3, 3])
    >>> found = draw_map(build_profile({"sweet": sweet, "body": body}), draws=50)
    >>> [round(share, 4) for share in found.components.shares], len(found.ellipses)
    ([0.7148, 0.2852], 3)
    """
    check_open_unit("level", level)
    if draws < 2:
        raise ValueError(f"draws must be 2 or more, not {draws}")
    kept, left = keep_complete(profile)
    gaps = (GAPS.format(", ".join(left)),) if left else ()
    if not kept.assessors:
        return SampleMap(None, None, (), draws, seed, level, (NOBODY_COMPLETE,))
    means = kept.cells.mean(axis=0)
    components = fit_components(means, kept.samples, kept.attributes, correlation)
    reason = _find_reason(len(kept.assessors), components)
    ellipses = None if reason else _draw_ellipses(kept, components, level, draws, seed)
    notes = (*gaps, *components.notes, *((reason,) if reason else ()))
    return SampleMap(components, ellipses, kept.assessors, draws, seed, level, notes)


def turn_panels(
    cells: "Floats", correlation: bool, target: "Floats", draws: int, seed: int
) -> "Floats":
    """Return where the samples lie on the map for panels drawn anew.

    Parameters
    ----------
    cells : ndarray of float, shape (assessors, samples, attributes)
        Cell means without gaps.
    correlation : bool
        Whether each panel's attributes are brought to one spread.
    target : ndarray of float, shape (samples, k)
        Scores of the map to turn onto.
    draws, seed : int
        As in `draw_map`.

    Returns
    -------
    ndarray of float, shape (draws, samples, k)

    Examples
    --------
    >>> import numpy as np
    >>> cells = np.array([[[1.0], [3.0]], [[1.0], [3.0]]])
    >>> turn_panels(cells, False, np.array([[1.0], [-1.0]]), 2, 1).round(6).tolist()
    [[[1.0], [-1.0]], [[1.0], [-1.0]]]
    """
    import numpy as np

    panels = draw_panels(len(cells), draws, seed)
    tables = np.tensordot(panels, cells, axes=1)
    away = tables - tables.mean(axis=1, keepdims=True)
    if correlation:
        spreads = np.array([measure_spreads(table) for table in tables])[:, None, :]
        away = np.divide(away, spreads, out=np.zeros_like(away), where=spreads > 0)
    k = target.shape[1]
    left, values, _ = np.linalg.svd(away, full_matrices=False)
    scores = left[:, :, :k] * values[:, None, :k]
    return np.asarray(scores @ find_rotation(target, scores)[0], dtype=np.float64)


def _find_reason(assessors: int, components: Components) -> str | None:
    if len(components.eigenvalues) < 2:
        return ONE_DIMENSION
    return TOO_FEW.format(assessors) if assessors < LEAST else None


def _draw_ellipses(
    profile: Profile, components: Components, level: float, draws: int, seed: int
) -> tuple[Ellipse, ...]:
    import numpy as np

    places = np.array(components.scores)[:, :2]
    takes_part = [name in components.attributes for name in profile.attributes]
    cells = profile.cells[:, :, takes_part]
    clouds = turn_panels(cells, components.correlation, places, draws, seed)
    ellipses = []
    for sample, (x, y) in enumerate(places.tolist()):
        found = find_drawn_ellipse(clouds[:, sample], len(cells), (x, y), level)
        assert found is not None  # there are three assessors or more
        ellipses.append(found)
    return tuple(ellipses)
