"""The largest likelihood of replicated answers, whole or with one parameter held."""

import itertools
import math
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Literal, NamedTuple

from server.stats.replicate_likelihood import ReplicateLikelihood

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Parameter = Literal["mean", "gamma"]

# Derivatives exist up to here; what the edge itself gives is looked at besides.
INSIDE = 1e-9
BOUNDS = ((INSIDE, 1 - INSIDE), (0.0, 1 - INSIDE))  # of the mean, and of gamma
FLATTEST = 1e-9  # a curvature that a step is still divided by
NEAR_EDGE = 1e-4
# Log-likelihoods this near, relative to their size, count as equal: an edge then wins.
SAME = 1e-12
MOST_STEPS = 100
STARTS = 4
MEANS = (0.02, 0.06, 0.12, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.88, 0.94, 0.98)
CORNERS = [(0.0, 0.0), (1.0, 0.0)]
GAMMAS = (0.0, 0.01, 0.03, 0.08, 0.16, 0.3, 0.45, 0.6, 0.75, 0.88, 0.97)


class Maximum(NamedTuple):
    """Where a likelihood is largest.

    Attributes
    ----------
    mean, gamma : float
        The place, 0 to 1.
    log_likelihood : float
        Its logarithm there.

    Examples
    --------
    >>> Maximum(0.5, 0.25, -10.0).gamma
    0.25
    """

    mean: float
    gamma: float
    log_likelihood: float


def maximise(likelihood: ReplicateLikelihood) -> Maximum:
    """Return the maximum over all means and gammas from 0 to 1, edges included.

    Parameters
    ----------
    likelihood : ReplicateLikelihood

    Returns
    -------
    Maximum
        At an edge exactly 0 or 1.

    Notes
    -----
    The four best peaks of a coarse net are each climbed by Newton's steps with
    the exact second derivatives, halved until they do not lead down; the best
    summit, or edge beside it, is taken. A summit is the same whichever peak
    led to it, so that a second one is seen if it is there.

    Examples
    --------
    >>> from server.stats.replicate_likelihood import build_likelihood
    >>> answers = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
    >>> top = maximise(build_likelihood(answers, [5] * 16, chance=0.0))
    >>> round(top.mean, 6), round(top.gamma, 6)
    (0.497245, 0.22746)
    """
    import numpy as np

    means, gammas = np.meshgrid(MEANS, GAMMAS, indexing="ij")
    starts = [
        (MEANS[i], GAMMAS[j]) for i, j in _find_peaks(likelihood.log_likelihood(means, gammas))
    ]
    summits = [_climb(likelihood, start, (0, 1)) for start in starts]
    return _choose(likelihood, [*summits, *CORNERS])


def maximise_given(likelihood: ReplicateLikelihood, held: Parameter, value: float) -> Maximum:
    """Return the maximum over one parameter with the other held.

    Parameters
    ----------
    likelihood : ReplicateLikelihood
    held : {"mean", "gamma"}
        The parameter that stays.
    value : float
        Its value, 0 to 1.

    Returns
    -------
    Maximum
        Its log-likelihood is minus infinity if the data are impossible there.

    Examples
    --------
    >>> from server.stats.replicate_likelihood import build_likelihood
    >>> likelihood = build_likelihood([1, 2, 3], [4, 4, 4], chance=0.0)
    >>> round(maximise_given(likelihood, "gamma", 0.0).mean, 10)
    0.5
    """
    import numpy as np

    free = 1 if held == "mean" else 0
    along = np.asarray(GAMMAS if free else MEANS)

    def place(other: float) -> tuple[float, float]:
        return (value, other) if free else (other, value)

    inside = _bring_inside(value, value)[1 - free]
    values = likelihood.log_likelihood(*((inside, along) if free else (along, inside)))
    peaks = [float(along[i]) for (i,) in _find_peaks(values)]
    starts = [(inside, other) if free else (other, inside) for other in peaks]
    climbed = [_climb(likelihood, start, (free,))[free] for start in starts]
    return _choose(likelihood, [place(other) for other in (*climbed, 0.0, 1.0)], held)


def build_deviance(
    likelihood: ReplicateLikelihood, top: Maximum, which: Parameter
) -> Callable[[float], float]:
    """Return the deviance of one parameter, the other at its best value.

    Parameters
    ----------
    likelihood : ReplicateLikelihood
    top : Maximum
        Its maximum.
    which : {"mean", "gamma"}
        The parameter.

    Returns
    -------
    callable
        Value from 0 to 1 to twice the loss of log-likelihood, never infinite: an
        edge at which the data are impossible counts as a place beside it.

    Examples
    --------
    >>> from server.stats.replicate_likelihood import build_likelihood
    >>> likelihood = build_likelihood([1, 2, 3], [4, 4, 4], chance=0.0)
    >>> deviance = build_deviance(likelihood, maximise(likelihood), "mean")
    >>> deviance(0.5), round(deviance(0.3), 6)
    (0.0, 2.056973)
    """

    def deviance(value: float) -> float:
        there = maximise_given(likelihood, which, value).log_likelihood
        if not math.isfinite(there):
            beside = min(max(value, INSIDE), 1 - INSIDE)
            there = maximise_given(likelihood, which, beside).log_likelihood
        return max(0.0, 2 * (top.log_likelihood - there))

    return deviance


def _climb(
    likelihood: ReplicateLikelihood, start: tuple[float, float], free: tuple[int, ...]
) -> tuple[float, float]:
    """Return the summit above a start, moving the free coordinates only."""
    point = _bring_inside(*start)
    value, gradient, hessian = likelihood.expand(*point)
    for _ in range(MOST_STEPS):
        step = _step(gradient, hessian, _find_movable(point, gradient, free))
        # A gain this small, its last digits cannot show; Newton's step still is exact.
        if gradient @ step < 1e-12 * (1 + abs(value)):
            return _bring_inside(*(point + step))
        for halving in range(60):
            reached = _bring_inside(*(point + step / 2**halving))
            risen, *derivatives = likelihood.expand(*reached)
            if risen > value:
                break
        else:
            return point
        point, value, (gradient, hessian) = reached, risen, derivatives
    return point


def _bring_inside(mean: float, gamma: float) -> tuple[float, float]:
    (low, high), (least, most) = BOUNDS
    return min(max(float(mean), low), high), min(max(float(gamma), least), most)


def _find_movable(
    point: tuple[float, float], gradient: "Floats", free: tuple[int, ...]
) -> list[int]:
    """Return the free coordinates that do not press against an edge."""
    return [
        i
        for i in free
        if not (point[i] <= BOUNDS[i][0] and gradient[i] <= 0)
        and not (point[i] >= BOUNDS[i][1] and gradient[i] >= 0)
    ]


def _step(gradient: "Floats", hessian: "Floats", movable: list[int]) -> "Floats":
    """Return Newton's step, its curvatures made negative so that it leads up."""
    import numpy as np

    step = np.zeros(2)
    if len(movable) == 1:
        step[movable] = gradient[movable] / max(abs(hessian[movable[0], movable[0]]), FLATTEST)
    elif movable:
        curvatures, axes = np.linalg.eigh(hessian)
        step = axes @ (axes.T @ gradient / np.maximum(np.abs(curvatures), FLATTEST))
    return step


def _find_peaks(values: "Floats") -> list[tuple[int, ...]]:
    """Return the places of a net that no neighbour tops, best first, a few."""
    import numpy as np

    walled = np.full([n + 2 for n in values.shape], -np.inf)
    walled[(slice(1, -1),) * values.ndim] = values
    around = [
        walled[tuple(slice(at, at + n) for at, n in zip(shift, values.shape, strict=True))]
        for shift in itertools.product(range(3), repeat=values.ndim)
    ]
    peaks = np.argwhere((values == np.max(around, axis=0)) & np.isfinite(values)).tolist()
    return sorted((tuple(place) for place in peaks), key=lambda at: -float(values[at]))[:STARTS]


def _choose(
    likelihood: ReplicateLikelihood,
    points: Iterable[tuple[float, float]],
    held: Parameter | None = None,
) -> Maximum:
    """Return the best of the points and of the edges beside them, an edge where all is equal."""
    import numpy as np

    places = sorted(
        {
            place
            for mean, gamma in points
            for place in itertools.product(
                [mean] if held == "mean" else _beside(mean),
                [gamma] if held == "gamma" else _beside(gamma),
            )
        }
    )
    values = likelihood.log_likelihood(*np.array(places).T)
    best = float(values.max())
    margin = SAME * (1 + abs(best)) if math.isfinite(best) else 0.0
    equal = [place for place, v in zip(places, values, strict=True) if v >= best - margin]
    mean, gamma = max(equal, key=lambda place: (sum(x in (0.0, 1.0) for x in place), place[0]))
    return Maximum(mean, gamma, best)


def _beside(value: float) -> list[float]:
    """Return a coordinate and the edge it is near to."""
    edge = round(value)
    return [value, float(edge)] if abs(value - edge) < NEAR_EDGE else [value]
