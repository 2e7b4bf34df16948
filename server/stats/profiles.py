"""Several attributes rated by one panel: cell means, assessor x sample x attribute."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.ratings import Ratings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

GAPS = "Left out of the map, since they did not rate everything: {}."


@dataclass(frozen=True, eq=False)
class Profile:
    """Cell means of several attributes.

    Attributes
    ----------
    assessors, samples, attributes : tuple of str
    cells : ndarray of float, shape (assessors, samples, attributes)
        Means of replicates; NaN where a cell is empty.
    """

    assessors: tuple[str, ...]
    samples: tuple[str, ...]
    attributes: tuple[str, ...]
    cells: "NDArray[np.float64]"


def build_profile(ratings: Mapping[str, Ratings]) -> Profile:
    """Build the profile of a panel from its ratings by attribute.

    Parameters
    ----------
    ratings : mapping of str to Ratings
        Ratings by attribute, one attribute or more.

    Returns
    -------
    Profile
        Over all assessors and samples of any attribute.

    Raises
    ------
    ValueError
        If there is no attribute.

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> body = build_ratings(["ann", "bo"], ["X", "X"], [3, 5])
    >>> aroma = build_ratings(["ann", "ann"], ["X", "X"], [6, 7])
    >>> build_profile({"body": body, "aroma": aroma}).cells.tolist()
    [[[3.0, 6.5]], [[5.0, nan]]]
    """
    import numpy as np

    if not ratings:
        raise ValueError("ratings must hold one attribute or more, not none")
    assessors = sorted({name for one in ratings.values() for name in one.assessors})
    samples = sorted({name for one in ratings.values() for name in one.samples})
    cells = np.full((len(assessors), len(samples), len(ratings)), np.nan)
    for place, one in enumerate(ratings.values()):
        rows = [assessors.index(name) for name in one.assessors]
        columns = [samples.index(name) for name in one.samples]
        cells[np.ix_(rows, columns, [place])] = one.means()[:, :, None]
    return Profile(tuple(assessors), tuple(samples), tuple(ratings), cells)


def keep_complete(profile: Profile) -> tuple[Profile, tuple[str, ...]]:
    """Return the profile of those who rated everything, and the names of the others.

    Means over different assessors for different samples would mix how samples
    differ with how assessors use the scale.

    Examples
    --------
    >>> import numpy as np
    >>> cells = np.array([[[3.0], [4.0]], [[5.0], [np.nan]]])
    >>> kept, left = keep_complete(Profile(("ann", "bo"), ("X", "Y"), ("body",), cells))
    >>> kept.assessors, left
    (('ann',), ('bo',))
    """
    import numpy as np

    full = np.asarray(np.isfinite(profile.cells).all(axis=(1, 2)))
    people = list(zip(profile.assessors, full.tolist(), strict=True))
    kept = tuple(name for name, whole in people if whole)
    left = tuple(name for name, whole in people if not whole)
    return Profile(kept, profile.samples, profile.attributes, profile.cells[full]), left
