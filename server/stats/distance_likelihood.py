"""Likelihood of distances that several tests share, or that differ by so much."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from server.stats.checks import check_counts
from server.stats.profile_limits import (
    best_log_likelihood,
    find_limits,
    find_peak,
    log_likelihood,
)
from server.stats.results import HalfOpenInterval, OpenInterval
from server.stats.thurstone import LARGEST_D_PRIME, ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class Counts:
    """The counts of one test.

    Attributes
    ----------
    test : str
        What the test is called.
    model : ForcedChoice
        Its method's model, one that has a d′.
    correct, trials : int
        Correct answers and all answers.
    """

    test: str
    model: ForcedChoice
    correct: int
    trials: int

    @cached_property
    def d_prime(self) -> float | None:
        """The distance these counts make likeliest; None if every answer was correct.

        Examples
        --------
        >>> from server.stats.thurstone import TRIANGLE
        >>> Counts("fresh", TRIANGLE, 20, 60).d_prime
        0.0
        """
        return self.model.d_prime(self.correct / self.trials)

    def likelihood(self, d: "NDArray[np.float64]") -> "NDArray[np.float64]":
        """Return the log-likelihood of distances, less the largest there is; 0 or below.

        Parameters
        ----------
        d : ndarray of float, shape (n,)
            Distances, 0 or more.

        Returns
        -------
        ndarray of float, shape (n,)

        Examples
        --------
        >>> import numpy as np
        >>> from server.stats.thurstone import TRIANGLE
        >>> Counts("fresh", TRIANGLE, 20, 60).likelihood(np.array([0.0, 1.0])).round(6).tolist()
        [0.0, -0.906995]
        """
        pc = self.model.pc(d)
        wrong = self.trials - self.correct
        return log_likelihood(self.correct, wrong, pc, 1 - pc) - self._largest()

    def _largest(self) -> float:
        wrong = self.trials - self.correct
        chance = self.model.chance
        if self.correct > chance * self.trials:
            return best_log_likelihood(self.correct, wrong)
        return self.correct * math.log(chance) + wrong * math.log1p(-chance)


def check_tests(counts: Sequence[Counts]) -> None:
    """Refuse tests that cannot be compared.

    Raises
    ------
    ValueError
        If there are fewer than two, a name comes twice, or a count is out of range.

    Examples
    --------
    >>> check_tests([])
    Traceback (most recent call last):
    ValueError: counts must hold two tests or more, not 0
    """
    if len(counts) < 2:
        raise ValueError(f"counts must hold two tests or more, not {len(counts)}")
    names = [one.test for one in counts]
    for one in counts:
        check_counts(one.correct, one.trials)
        if names.count(one.test) > 1:
            raise ValueError(f"counts must hold tests of different names, not {one.test!r} twice")


def find_common(counts: Sequence[Counts]) -> float | None:
    """Return the distance of the largest likelihood if all tests share one.

    Parameters
    ----------
    counts : sequence of Counts
        One test or more.

    Returns
    -------
    float or None
        It lies between the tests' own distances; None if every answer of every
        test was correct.

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> two = [Counts("fresh", TRIANGLE, 40, 80), Counts("flushed", TRIANGLE, 52, 80)]
    >>> find_common(two) == TRIANGLE.d_prime(92 / 160)
    True
    """
    own = [one.d_prime for one in counts]
    if all(d is None for d in own):
        return None
    if len({one.model for one in counts}) == 1:  # then the answers can be pooled
        return counts[0].model.d_prime(
            sum(one.correct for one in counts) / sum(one.trials for one in counts)
        )
    ends = [_finite(d) for d in own]
    return find_peak(
        lambda d: sum((one.likelihood(d) for one in counts), start=0 * d), min(ends), max(ends)
    )


def common_deviance(counts: Sequence[Counts], d: float) -> float:
    """Return twice the log-likelihood that is lost if every test has this distance.

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> round(common_deviance([Counts("fresh", TRIANGLE, 20, 60)], 1.0), 6)
    1.81399
    """
    import numpy as np

    at = np.array([d])
    return -2 * sum(float(one.likelihood(at)[0]) for one in counts)


def common_limits(counts: Sequence[Counts], level: float) -> HalfOpenInterval:
    """Return likelihood limits of the distance if all tests share one.

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> low, high = common_limits([Counts("fresh", TRIANGLE, 14, 24)], 0.95)
    >>> round(low, 6), round(high, 6)
    (0.769461, 2.889204)
    """
    best = find_common(counts)
    least = common_deviance(counts, _finite(best))
    limits = find_limits(
        lambda d: common_deviance(counts, d) - least,
        best,
        0.0,
        LARGEST_D_PRIME,
        level,
        open_high=best is None,
    )
    return HalfOpenInterval(limits.low or 0.0, limits.high)


def pair_deviance(first: Counts, second: Counts, difference: float) -> float:
    """Return twice the log-likelihood that is lost if the distances differ by so much.

    Parameters
    ----------
    first, second : Counts
        Two tests.
    difference : float
        Distance of the first minus that of the second.

    Notes
    -----
    The smaller distance is free, 0 or more; its best value lies between what
    either test alone would make it.

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> fresh, flushed = Counts("fresh", TRIANGLE, 52, 80), Counts("flushed", TRIANGLE, 40, 80)
    >>> round(pair_deviance(fresh, flushed, 0.0), 6)
    3.698464
    """
    import numpy as np

    more, less = max(difference, 0.0), max(-difference, 0.0)
    ends = [
        max(0.0, _finite(one.d_prime) - shift) for one, shift in ((first, more), (second, less))
    ]

    def likelihood(base: "NDArray[np.float64]") -> "NDArray[np.float64]":
        return first.likelihood(base + more) + second.likelihood(base + less)

    peak = find_peak(likelihood, min(ends), max(ends))
    return -2 * float(likelihood(np.array([peak]))[0])


def subtract(first: float | None, second: float | None) -> float | None:
    """Return a difference; None if either is missing.

    Examples
    --------
    >>> subtract(1.5, None) is None
    True
    """
    return None if first is None or second is None else first - second


def difference_limits(first: Counts, second: Counts, level: float) -> OpenInterval:
    """Return likelihood limits of the first distance minus the second.

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> fresh, flushed = Counts("fresh", TRIANGLE, 60, 60), Counts("flushed", TRIANGLE, 40, 80)
    >>> difference_limits(fresh, flushed, 0.95).high is None
    True
    """
    own = first.d_prime, second.d_prime
    return find_limits(
        lambda difference: pair_deviance(first, second, difference),
        subtract(*own),
        -LARGEST_D_PRIME,
        LARGEST_D_PRIME,
        level,
        open_low=own[1] is None,
        open_high=own[0] is None,
    )


def _finite(d: float | None) -> float:
    return LARGEST_D_PRIME if d is None else d
