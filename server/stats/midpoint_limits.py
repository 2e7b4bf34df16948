"""Likelihood limits of a curve's midpoint, outermost and possibly open."""

import math
from typing import TYPE_CHECKING

from server.stats.guessed_logistic import FARTHEST, GuessedLogistic, Peak, profile

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LADDER = 61  # midpoints at which limits are first looked for
ZOOMS, ZOOMED = 13, 9  # how often to look closer at an edge, and at how many
BESIDE = 1e-3  # from a dose, to either side, where a jump in the data shows


def find_limits(
    answers: GuessedLogistic, peak: Peak, least: float
) -> tuple[float | None, float | None]:
    """Return the outermost midpoints that the answers leave likely enough.

    Parameters
    ----------
    answers : GuessedLogistic
        Two doses or more.
    peak : Peak
        Most likely curve with a slope.
    least : float
        Log-likelihood that a midpoint must reach with its best slope.

    Returns
    -------
    tuple of two floats or None
        Lower and upper limit on the scale of `answers.x`. A limit is None where
        a level curve on that side, or a midpoint `FARTHEST` away, is likely enough.

    Notes
    -----
    Midpoints far away look like level curves: towards +infinity of a rate between
    guessing and half way, towards -infinity between half way and 1. If no midpoint
    that is tried reaches `least`, nothing is known and both limits are None.

    Examples
    --------
    >>> import numpy as np
    >>> from server.stats.guessed_logistic import find_peak
    >>> doses = np.array([[-1, 0, 1], [8, 12, 24], [24, 24, 24]])
    >>> answers = GuessedLogistic(*doses, chance=1 / 3)
    >>> peak = find_peak(answers)
    >>> low, high = find_limits(answers, peak, peak.log_likelihood - 1.92)
    >>> low < peak.midpoint < high
    True
    """
    import numpy as np

    reach = math.asinh(FARTHEST)
    ladder = np.sinh(np.linspace(-reach, reach, LADDER))
    near = np.concatenate([answers.x - BESIDE, answers.x + BESIDE, [peak.midpoint]])
    tried = np.union1d(ladder, near[abs(near) < FARTHEST])
    inside = np.flatnonzero(profile(answers, tried) >= least)
    if not inside.size:
        return None, None
    half = (1 + answers.chance) / 2
    first, last = int(inside[0]), int(inside[-1])
    low = high = None
    if first > 0 and answers.level_peak(half, 1.0) < least:
        low = _find_edge(answers, tried[first], tried[first - 1], least)
    if last < len(tried) - 1 and answers.level_peak(answers.chance, half) < least:
        high = _find_edge(answers, tried[last], tried[last + 1], least)
    return low, high


def _find_edge(answers: GuessedLogistic, inside: float, outside: float, least: float) -> float:
    """Return where between two midpoints the profile falls below `least`."""
    import numpy as np

    for _ in range(ZOOMS):
        between = np.linspace(inside, outside, ZOOMED)
        reached = profile(answers, between) >= least
        reached[0], reached[-1] = True, False  # known; their last digits may differ
        last = int(np.flatnonzero(reached)[-1])
        inside, outside = between[last], between[last + 1]
    return float(inside)
