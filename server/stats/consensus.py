"""Configurations of many assessors turned onto one another: what they have in common."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from server.stats.pca import as_rows, measure_spreads, split
from server.stats.procrustes import find_rotation, stack

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

MOST_STARTS = 8
MOST_SWEEPS = 2000
SETTLED = 1e-13  # gain of a sweep, as a share of the total sum of squares

NO_DIFFERENCES = "Left out, since they rated all samples alike in everything: {}."
TOO_FEW = (
    "There is no consensus: it takes two assessors or more who found differences between samples."
)
NOT_SETTLED = "The turning had not settled after {:,} sweeps: the consensus may be improvable."


@dataclass(frozen=True)
class Consensus:
    """Configurations turned onto their common mean.

    What cannot be estimated is None or empty and has a sentence in `notes`.

    Attributes
    ----------
    assessors, samples : tuple of str
        Those who take part, and labels of the rows.
    scaled : bool
        Whether configurations were stretched too.
    total, consensus, residual : float or None
        Sums of squares about the centre: of all, of the mean configuration times
        the number of assessors, and of the distances from it.
    ratio : float or None
        `consensus` / `total`.
    residual_by_assessor, residual_by_sample : tuple of float
        Parts of `residual`; each adds up to it.
    scales : tuple of float
        What each configuration was multiplied with; 1 unless `scaled`. The total
        sum of squares stays as it was.
    eigenvalues : tuple of float
        Variances of the mean configuration along its principal axes, n - 1 below.
    shares : tuple of float
        Of their sum.
    scores : tuple of tuple of float
        Mean configuration, samples x axes.
    turned : tuple of tuple of tuple of float
        Every assessor's configuration on the same axes.
    correlations : tuple of tuple of tuple of float
        Of every assessor's own attributes with the axes, assessors x attributes
        x axes; 0 for an attribute that does not vary.
    notes : tuple of str
    """

    assessors: tuple[str, ...]
    samples: tuple[str, ...]
    scaled: bool
    total: float | None
    consensus: float | None
    residual: float | None
    ratio: float | None
    residual_by_assessor: tuple[float, ...]
    residual_by_sample: tuple[float, ...]
    scales: tuple[float, ...]
    eigenvalues: tuple[float, ...]
    shares: tuple[float, ...]
    scores: tuple[tuple[float, ...], ...]
    turned: tuple[tuple[tuple[float, ...], ...], ...]
    correlations: tuple[tuple[tuple[float, ...], ...], ...]
    notes: tuple[str, ...]


def find_consensus(
    configurations: "Sequence[Floats]",
    assessors: Sequence[str],
    samples: Sequence[str],
    scaled: bool = False,
) -> Consensus:
    """Turn configurations onto one another and return what they have in common.

    Parameters
    ----------
    configurations : sequence of array_like of float, shapes (samples, p_i)
        One of every assessor: the same samples by the assessor's own attributes,
        all finite; the numbers of attributes may differ, and so may their meaning.
    assessors, samples : sequence of str
        Labels.
    scaled : bool
        Whether configurations may be stretched too, so that wide and narrow use
        of a scale comes to the same.

    Returns
    -------
    Consensus

    Raises
    ------
    ValueError
        If labels do not fit the configurations, or a value is missing.

    Notes
    -----
    Generalised Procrustes analysis [1]_: configurations are centred, filled up
    with columns of zeros, and each in turn is rotated or reflected onto the sum
    of the others until nothing is gained [2]_. With stretching, the factors come
    from the first eigenvector p of the matrix of cosines between configurations,
    s_i = p_i (total / own sum of squares)^½ [2]_, after every sweep. The best is kept of
    several starts: as they stand, and turned onto one assessor each.

    Turning finds some consensus in any numbers; `judge_consensus` says how much.

    References
    ----------
    .. [1] Gower, J. C. (1975). Generalized Procrustes analysis. Psychometrika,
       40, 33-51.
    .. [2] ten Berge, J. M. F. (1977). Orthogonal Procrustes rotation for two or
       more matrices. Psychometrika, 42, 267-276.

    Examples
    --------
    >>> one = [[0, 0], [4, 0], [4, 2]]
    >>> other = [[0, 0], [0, -4], [2, -4]]
    >>> found = find_consensus([one, other], ["ann", "bo"], "XYZ")
    >>> round(found.ratio, 10), round(found.residual, 10)
    (1.0, 0.0)
    """
    import numpy as np

    stacked = _check(configurations, assessors, samples)
    varies = (stacked != 0).any(axis=(1, 2))
    names, left = _split_names(assessors, varies.tolist())
    notes = (NO_DIFFERENCES.format(", ".join(left)),) if left else ()
    if len(names) < 2:
        return _build_empty(names, tuple(samples), scaled, (*notes, TOO_FEW))
    own = stacked[varies]
    settled, scales, done = settle(_turn_onto_some(own), scaled)
    best = int((settled.sum(axis=1) ** 2).sum(axis=(1, 2)).argmax())
    more = () if done else (NOT_SETTLED.format(MOST_SWEEPS),)
    found = _describe(settled[best], scales[best], own, names, tuple(samples), (*notes, *more))
    widths = [np.shape(configurations[place])[1] for place in np.flatnonzero(varies).tolist()]
    return replace(found, scaled=scaled, correlations=_correlate_all(own, widths, found.scores))


def settle(
    starts: "Floats", scaled: bool, tolerance: float = SETTLED
) -> "tuple[Floats, Floats, bool]":
    """Turn stacks of configurations until nothing is gained any more.

    Parameters
    ----------
    starts : ndarray of float, shape (stacks, m, n, p)
        Centred configurations; each stack is turned on its own.
    scaled : bool
        Whether to stretch too.
    tolerance : float
        Least gain of a sweep worth another, as a share of the total sum of squares.

    Returns
    -------
    turned : ndarray of float, shape (stacks, m, n, p)
    scales : ndarray of float, shape (stacks, m)
    settled : bool
        Whether all stacks had settled within the most sweeps allowed.

    Examples
    --------
    >>> import numpy as np
    >>> one = np.array([[1.0, 0.0], [-1.0, 0.0]])
    >>> turned, scales, settled = settle(np.array([[one, one[:, ::-1]]]), scaled=False)
    >>> np.abs(turned[0, 0] - turned[0, 1]).max().round(10).item(), settled
    (0.0, True)
    """
    import numpy as np

    turned, scales = starts.copy(), np.ones(starts.shape[:2])
    total = (starts**2).sum(axis=(1, 2, 3))
    before = np.zeros(len(starts))
    for _ in range(MOST_SWEEPS):
        _sweep(turned)
        if scaled:
            scales *= _stretch(turned, total)
        now = (turned.sum(axis=1) ** 2).sum(axis=(1, 2)) / starts.shape[1]
        if (now - before <= tolerance * total).all():
            return turned, scales, True
        before = now
    return turned, scales, False


def _sweep(turned: "Floats") -> None:
    """Turn each configuration in place onto the sum of the others."""
    total = turned.sum(axis=1)
    for place in range(turned.shape[1]):
        others = total - turned[:, place]
        rotation, _ = find_rotation(others, turned[:, place])
        turned[:, place] = turned[:, place] @ rotation
        total = others + turned[:, place]


def _stretch(turned: "Floats", total: "Floats") -> "Floats":
    """Stretch configurations in place, the total kept, and return the factors."""
    import numpy as np

    flat = turned.reshape(*turned.shape[:2], -1)
    sizes = np.sqrt((flat**2).sum(axis=2))
    cosines = flat @ np.swapaxes(flat, 1, 2) / sizes[:, :, None] / sizes[:, None, :]
    first = np.linalg.eigh(cosines)[1][:, :, -1]
    factors = first * np.sqrt(total)[:, None] / sizes
    turned *= factors[:, :, None, None]  # a negative one is a reflection
    return np.asarray(np.abs(factors), dtype=np.float64)


def _check(
    configurations: "Sequence[Floats]", assessors: Sequence[str], samples: Sequence[str]
) -> "Floats":
    if len(configurations) != len(assessors) or not assessors:
        raise ValueError(
            f"configurations must be one of each of {len(assessors)} assessors, one or more, "
            f"not {len(configurations)}"
        )
    stacked = stack(list(configurations))
    if stacked.shape[1] != len(samples):
        raise ValueError(
            f"configurations must have a row for each of {len(samples)} samples, "
            f"not {stacked.shape[1]}"
        )
    return stacked


def _turn_onto_some(own: "Floats") -> "Floats":
    """Return starts: as they stand, and all turned onto one of the largest configurations."""
    import numpy as np

    largest = np.argsort(-(own**2).sum(axis=(1, 2)), kind="stable")[: MOST_STARTS - 1]
    onto = [own @ find_rotation(own[place], own)[0] for place in largest]
    return np.array([own, *onto])


def _split_names(
    assessors: Sequence[str], varies: Sequence[bool]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    people = list(zip(assessors, varies, strict=True))
    return tuple(x for x, kept in people if kept), tuple(x for x, kept in people if not kept)


def _describe(
    turned: "Floats",
    scales: "Floats",
    own: "Floats",
    assessors: tuple[str, ...],
    samples: tuple[str, ...],
    notes: tuple[str, ...],
) -> Consensus:
    """Return the consensus, for configurations not stretched and without correlations."""
    middle = turned.mean(axis=0)
    away = (turned - middle) ** 2
    scores, values, axes = split(middle - middle.mean(axis=0))
    total, common = float((own**2).sum()), float((middle**2).sum()) * len(turned)
    variances = values**2 / max(1, len(samples) - 1)
    return Consensus(
        assessors=assessors,
        samples=samples,
        scaled=False,
        total=total,
        consensus=common,
        residual=float(away.sum()),
        ratio=common / total,
        residual_by_assessor=tuple(away.sum(axis=(1, 2)).tolist()),
        residual_by_sample=tuple(away.sum(axis=(0, 2)).tolist()),
        scales=tuple(scales.tolist()),
        eigenvalues=tuple(variances.tolist()),
        shares=tuple((variances / variances.sum()).tolist()),
        scores=as_rows(scores),
        turned=tuple(as_rows(one @ axes) for one in turned),
        correlations=(),
        notes=notes,
    )


def _correlate_all(
    own: "Floats", widths: Sequence[int], scores: tuple[tuple[float, ...], ...]
) -> tuple[tuple[tuple[float, ...], ...], ...]:
    import numpy as np

    places = np.array(scores)
    pairs = zip(own, widths, strict=True)
    return tuple(as_rows(_correlate(one[:, :width], places)) for one, width in pairs)


def _correlate(attributes: "Floats", scores: "Floats") -> "Floats":
    """Return correlations of centred attributes with centred scores; 0 without spread."""
    import numpy as np

    n = len(scores)
    spreads, reach = measure_spreads(attributes), measure_spreads(scores)
    shared = attributes.T @ scores / (n - 1)
    size = np.outer(spreads, reach)
    return np.asarray(np.divide(shared, size, out=np.zeros(size.shape), where=size > 0))


def _build_empty(
    assessors: tuple[str, ...], samples: tuple[str, ...], scaled: bool, notes: tuple[str, ...]
) -> Consensus:
    return Consensus(
        assessors=assessors,
        samples=samples,
        scaled=scaled,
        total=None,
        consensus=None,
        residual=None,
        ratio=None,
        residual_by_assessor=(),
        residual_by_sample=(),
        scales=(),
        eigenvalues=(),
        shares=(),
        scores=(),
        turned=(),
        correlations=(),
        notes=notes,
    )
