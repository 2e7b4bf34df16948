"""A logistic curve that starts from lucky guesses: its likelihood, peak and profile."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]

# Midpoints are sought up to ten widths of the series beyond its middle, where a
# scaled series reaches from -1 to 1. Farther away no curve can be told from a level one.
FARTHEST = 20.0
MIDPOINTS, SLOPES = 81, 61  # grid on which a peak is first looked for
SHALLOWEST, STEEPEST = 1e-6, 1e6
RUNGS = 151  # slopes tried at each midpoint
ROUGHLY, CLOSELY, ZOOMED = 2, 8, 13  # how often to look closer at the best, and at how many
MOST_STEPS, MOST_HALVINGS = 500, 40
SMALLEST_GAIN = 1e-20  # of a step; below it a peak is reached
LOST_DIGITS = 1e-14  # a likelihood that is lower by less, as a part of it, is not lower


class Peak(NamedTuple):
    """A curve and its log-likelihood.

    Attributes
    ----------
    midpoint : float
        Where the curve is half way between guessing and 1.
    slope : float
        Rate of the logistic, per unit of the dose's scale.
    log_likelihood : float
        Without binomial coefficients.
    """

    midpoint: float
    slope: float
    log_likelihood: float


@dataclass(frozen=True, eq=False)
class GuessedLogistic:
    """Answers along a series of doses, and how likely each curve makes them.

    Attributes
    ----------
    x : ndarray of float, shape (doses,)
        Places of the doses, rising from -1 to 1.
    correct, trials : ndarray of float, shape (doses,)
        Counts at each dose.
    chance : float
        Probability g of a correct answer by guessing, from 0 to below 1.

    Notes
    -----
    With eta = b (x - t) and s = 1 / (1 + exp(-eta)), the noticed share,

        p = g + (1 - g) s,    1 - p = (1 - g) (1 - s).

    Of the correct answers at a dose the part f = (1 - g) s / p comes from noticing,
    the rest from guessing; g = 0 gives f = 1 and plain logistic regression.
    The log-likelihood changes with eta by k f (1 - s) - (n - k) s.
    """

    x: "Floats"
    correct: "Floats"
    trials: "Floats"
    chance: float

    def log_likelihood(self, midpoint: "ArrayLike", slope: "ArrayLike") -> "Floats":
        """Return the log-likelihood, without binomial coefficients.

        Parameters
        ----------
        midpoint, slope : array_like of float
            Curves, any shapes that broadcast to one another.

        Returns
        -------
        ndarray of float
            Of the shape the two broadcast to; finite for finite curves.

        Examples
        --------
        >>> import numpy as np
        >>> answers = GuessedLogistic(*np.array([[-1, 1], [1, 3], [3, 3]]), chance=1 / 3)
        >>> answers.log_likelihood(0.0, [0.0, 5.0]).round(6).tolist()
        [-3.819085, -1.923092]
        """
        import numpy as np

        middle = np.asarray(midpoint, dtype=np.float64)[..., np.newaxis]
        eta = np.asarray(slope, dtype=np.float64)[..., np.newaxis] * (self.x - middle)
        both = np.log1p(np.exp(-np.abs(eta)))
        right = np.minimum(eta, 0) - both  # log of the noticed share, s
        wrong = math.log1p(-self.chance) - np.maximum(eta, 0) - both
        if self.chance > 0:
            right = np.log(self.chance + (1 - self.chance) * np.exp(right))
        logs = self.correct * right + (self.trials - self.correct) * wrong
        return np.asarray(logs.sum(axis=-1), dtype=np.float64)

    def pc(self, midpoint: float, slope: float) -> "Floats":
        """Return the probability of a correct answer at each dose, shape (doses,).

        Examples
        --------
        >>> import numpy as np
        >>> answers = GuessedLogistic(*np.array([[-1, 1], [1, 3], [3, 3]]), chance=1 / 3)
        >>> answers.pc(-1.0, 50.0).round(6).tolist()
        [0.666667, 1.0]
        """
        import numpy as np
        from scipy import special

        noticed = special.expit(slope * (self.x - midpoint))
        return np.asarray(self.chance + (1 - self.chance) * noticed, dtype=np.float64)

    def level_peak(self, low: float, high: float) -> float:
        """Return the largest log-likelihood of a curve that is level between two rates.

        Examples
        --------
        >>> import numpy as np
        >>> answers = GuessedLogistic(*np.array([[-1, 1], [1, 3], [3, 3]]), chance=1 / 3)
        >>> round(answers.level_peak(1 / 3, 1.0), 6)
        -3.819085
        """
        from scipy import special

        right, answered = float(self.correct.sum()), float(self.trials.sum())
        rate = min(max(right / answered, low), high)
        return float(special.xlogy(right, rate) + special.xlog1py(answered - right, -rate))

    def jump_peak(self) -> float:
        """Return the largest log-likelihood of a curve without a slope to it: a jump.

        Guessing below one dose, everything correct above it, any rate at it. It is
        what curves tend to that grow steeper without end.

        Examples
        --------
        >>> import numpy as np
        >>> answers = GuessedLogistic(*np.array([[-1, 1], [1, 3], [3, 3]]), chance=1 / 3)
        >>> round(answers.jump_peak(), 6)
        -1.909543
        """
        import numpy as np
        from scipy import special

        missed = self.trials - self.correct
        rate = np.maximum(self.correct / self.trials, self.chance)
        guessed = special.xlogy(self.correct, self.chance) + special.xlog1py(missed, -self.chance)
        own = special.xlogy(self.correct, rate) + special.xlog1py(missed, -rate)
        sure = np.where(missed > 0, -np.inf, 0.0)
        below = np.append(0.0, np.cumsum(guessed)[:-1])
        above = np.append(np.cumsum(sure[::-1])[::-1][1:], 0.0)
        return float((below + own + above).max())


def find_peak(answers: GuessedLogistic) -> Peak:
    """Return the most likely rising curve with a finite slope that can be found.

    Parameters
    ----------
    answers : GuessedLogistic
        Two doses or more.

    Returns
    -------
    Peak
        With a slope above 0. Where the likelihood has no peak, but only grows
        towards a level curve or a jump, it is a curve on the way there.

    Notes
    -----
    The likelihood may have more than one peak, because guessing makes it convex
    in places. A grid is searched first, and every slope that is a peak of its own
    on it is a start for Fisher scoring with halved steps.

    Examples
    --------
    >>> import numpy as np
    >>> doses = np.array([[-1, 0, 1], [9, 15, 23], [24, 24, 24]])
    >>> peak = find_peak(GuessedLogistic(*doses, chance=1 / 3))
    >>> round(peak.midpoint, 6), round(peak.slope, 6)
    (0.077543, 2.891918)
    """
    import numpy as np

    slopes = np.geomspace(1e-2, 1e4, SLOPES)
    reach = math.asinh(FARTHEST)
    ladder = np.linspace(-reach, reach, MIDPOINTS)
    best, ridge = _look_closer(
        lambda rungs: answers.log_likelihood(np.sinh(rungs), slopes), ladder, SLOPES, ROUGHLY
    )
    higher = ridge > np.append(-np.inf, ridge[:-1])
    starts = np.flatnonzero(higher & (ridge >= np.append(ridge[1:], -np.inf)))
    peaks = [_climb(answers, math.sinh(best[i]), float(slopes[i])) for i in starts]
    return max(peaks, key=lambda peak: peak.log_likelihood)


def information(answers: GuessedLogistic, peak: Peak, observed: bool) -> "Floats":
    """Return the information on midpoint and slope at a peak.

    Parameters
    ----------
    answers : GuessedLogistic
        The answers.
    peak : Peak
        Most likely curve.
    observed : bool
        Minus the second derivatives themselves, or else their expectation.

    Returns
    -------
    ndarray of float, shape (2, 2)
        In the order midpoint, slope.

    Notes
    -----
    The weight of a dose is n f s (1 - s) in expectation, and observed
    (n - k) s (1 - s) - k r (1 - 2 s - r) with r = f (1 - s). At a peak the second
    derivatives of eta itself do not count: they are multiplied by a score of 0.

    References
    ----------
    .. [1] Efron, B. & Hinkley, D. V. (1978). Assessing the accuracy of the maximum
       likelihood estimator: observed versus expected Fisher information.
       Biometrika, 65, 457-482 (from memory).

    Examples
    --------
    >>> import numpy as np
    >>> doses = np.array([[-1, 0, 1], [9, 15, 23], [24, 24, 24]])
    >>> answers = GuessedLogistic(*doses, chance=1 / 3)
    >>> information(answers, find_peak(answers), observed=False).shape
    (2, 2)
    """
    import numpy as np

    share, noticed = _parts(answers, peak.slope * (answers.x - peak.midpoint))
    spread = share * (1 - share)
    weights = answers.trials * noticed * spread
    if observed:
        rate = noticed * (1 - share)
        weights = (answers.trials - answers.correct) * spread
        weights -= answers.correct * rate * (1 - 2 * share - rate)
    changes = np.stack([np.full_like(answers.x, -peak.slope), answers.x - peak.midpoint])
    return np.asarray((weights * changes) @ changes.T, dtype=np.float64)


def profile(answers: GuessedLogistic, midpoints: "Floats") -> "Floats":
    """Return the largest log-likelihood at each midpoint, over all rising slopes.

    Parameters
    ----------
    answers : GuessedLogistic
        Two doses or more.
    midpoints : ndarray of float, shape (m,)
        Midpoints on the scale of `answers.x`.

    Returns
    -------
    ndarray of float, shape (m,)
        Log-likelihoods without binomial coefficients.

    Notes
    -----
    A ladder of slopes from nearly level to nearly a jump is tried at each
    midpoint, then a finer one around the best rung, and so on; that a likelihood
    has several peaks or none does no harm.

    Examples
    --------
    >>> import numpy as np
    >>> doses = np.array([[-1, 0, 1], [9, 15, 23], [24, 24, 24]])
    >>> answers = GuessedLogistic(*doses, chance=1 / 3)
    >>> peak = find_peak(answers)
    >>> heights = profile(answers, np.array([-1.0, peak.midpoint, 1.0]))
    >>> bool(abs(heights[1] - peak.log_likelihood) < 1e-10), int(heights.argmax())
    (True, 1)
    """
    import numpy as np

    ladder = np.linspace(math.log(SHALLOWEST), math.log(STEEPEST), RUNGS)
    _, heights = _look_closer(
        lambda rungs: answers.log_likelihood(midpoints, np.exp(rungs)),
        ladder,
        len(midpoints),
        CLOSELY,
    )
    return heights


def _look_closer(
    height: "Callable[[Floats], Floats]", ladder: "Floats", columns: int, times: int
) -> "tuple[Floats, Floats]":
    """Return the highest rung of every column and its height, between rungs too.

    `height` takes rungs of shape (n, columns), a column its own.
    """
    import numpy as np

    rungs = np.broadcast_to(ladder[:, np.newaxis], (len(ladder), columns))
    every, around = np.arange(columns), np.linspace(-1.0, 1.0, ZOOMED)[:, np.newaxis]
    reach = float(ladder[1] - ladder[0])
    for _ in range(times):
        best = rungs[height(rungs).argmax(axis=0), every]
        rungs = best + reach * around
        reach = 2 * reach / (ZOOMED - 1)
    return best, np.asarray(height(best[np.newaxis])[0], dtype=np.float64)


def _parts(answers: GuessedLogistic, eta: "Floats") -> "tuple[Floats, Floats]":
    """Return the noticed share, and the part of correct answers that noticing gave."""
    import numpy as np
    from scipy import special

    guess = answers.chance
    lift = math.inf if guess == 0 else math.log((1 - guess) / guess)
    share = np.asarray(special.expit(eta), dtype=np.float64)
    return share, np.asarray(special.expit(lift + special.log_expit(eta)), dtype=np.float64)


def _climb(answers: GuessedLogistic, midpoint: float, slope: float) -> Peak:
    """Go up by Fisher scoring as far as it leads, the slope staying above 0."""
    peak = Peak(
        float(midpoint), float(slope), float(answers.log_likelihood(midpoint, slope).item())
    )
    for _ in range(MOST_STEPS):
        step = _scoring_step(answers, peak)
        higher = None if step is None else _take_step(answers, peak, *step)
        if higher is None:
            break
        peak = higher
    return peak


def _scoring_step(answers: GuessedLogistic, peak: Peak) -> tuple[float, float] | None:
    """Return the step of eta = a + b x that scoring proposes; None where it knows none."""
    share, noticed = _parts(answers, peak.slope * (answers.x - peak.midpoint))
    score = answers.correct * noticed * (1 - share) - (answers.trials - answers.correct) * share
    weights = answers.trials * noticed * share * (1 - share)
    total, first, second = (float((weights * answers.x**power).sum()) for power in range(3))
    up, tilt = float(score.sum()), float((score * answers.x).sum())
    spread = total * second - first**2
    if not spread > 1e-14 * total * second:
        return None
    steps = (second * up - first * tilt) / spread, (total * tilt - first * up) / spread
    gain = steps[0] * up + steps[1] * tilt  # twice what the step gains, near the peak
    return steps if SMALLEST_GAIN < gain < math.inf else None


def _take_step(answers: GuessedLogistic, peak: Peak, rise: float, tilt: float) -> Peak | None:
    """Take the step, or the first half of a half that leads no lower; None if all do."""
    start = -peak.slope * peak.midpoint
    least = peak.log_likelihood - LOST_DIGITS * abs(peak.log_likelihood)
    for halving in range(MOST_HALVINGS):
        slope = peak.slope + tilt / 2**halving
        if not slope > 0:
            continue
        midpoint = -(start + rise / 2**halving) / slope
        height = float(answers.log_likelihood(midpoint, slope).item())
        if height >= least:
            return Peak(midpoint, slope, height)
    return None
