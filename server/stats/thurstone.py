"""Thurstonian models of forced-choice tests: d′ from a proportion correct and back."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, overload

from server.stats import psychometric
from server.stats.checks import (
    check_d_prime,
    check_open_unit,
    check_probability,
    check_trials,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Curve = Callable[[Array], Array]

# Beyond it, the proportion correct of every model here is 1 to the last digit.
LARGEST_D_PRIME = 64.0
SMALLEST_D_PRIME = 1e-8
CELLS = 2000
STEPS = 6


def _refuse(d: "Array") -> "Array":
    raise ValueError(f"proportion and rate must be given to a model, not left out (d′ {d})")


@dataclass(frozen=True)
class ForcedChoice:
    """What a forced-choice method says of d′, the distance between two samples.

    d′ is the distance between the means of two normal distributions of a
    perceived intensity, in units of their common standard deviation.

    Attributes
    ----------
    name : str
        Name of the method.
    chance : float
        Probability of a correct answer by guessing.
    proportion : callable
        Array of d′ to the probability of a correct answer; rising, `chance` at 0.
    rate : callable
        Array of d′ to the derivative of `proportion`.
    without_d_prime : str
        Why the method has no d′; empty if it has one. With a reason, `pc`,
        `slope` and `d_prime` raise a ValueError.

    Examples
    --------
    >>> from server.stats.forced_choice import TRIANGLE
    >>> round(TRIANGLE.pc(1.0), 10)
    0.4180466747
    >>> round(TRIANGLE.d_prime(0.5), 8)
    1.46626278
    """

    name: str
    chance: float
    proportion: "Curve" = _refuse
    rate: "Curve" = _refuse
    without_d_prime: str = ""

    @overload
    def pc(self, d: float) -> float: ...
    @overload
    def pc(self, d: "Array") -> "Array": ...
    def pc(self, d: "float | Array") -> "float | Array":
        """Return the probability of a correct answer at d′ = `d`.

        Parameters
        ----------
        d : float or ndarray of float, any shape
            Distance, 0 or more and finite.

        Returns
        -------
        float or ndarray of float, same shape
            `chance` at 0, rising to 1.

        Raises
        ------
        ValueError
            If `d` is negative or not finite, or the method has no d′.

        Examples
        --------
        >>> from server.stats.forced_choice import TRIANGLE
        >>> round(TRIANGLE.pc(2.0), 10)
        0.6048069328
        """
        return self._follow(self.proportion, d)

    @overload
    def slope(self, d: float) -> float: ...
    @overload
    def slope(self, d: "Array") -> "Array": ...
    def slope(self, d: "float | Array") -> "float | Array":
        """Return the derivative of `pc` at d′ = `d`; arguments and errors as there.

        Examples
        --------
        >>> from server.stats.forced_choice import TRIANGLE
        >>> TRIANGLE.slope(0.0)
        0.0
        """
        return self._follow(self.rate, d)

    @overload
    def d_prime(self, pc: float) -> float | None: ...
    @overload
    def d_prime(self, pc: "Array") -> "Array": ...
    def d_prime(self, pc: "float | Array") -> "float | Array | None":
        """Return the d′ at which the probability of a correct answer is `pc`.

        Parameters
        ----------
        pc : float or ndarray of float, any shape
            Probability of a correct answer, 0 to 1.

        Returns
        -------
        float or None, or ndarray of float, same shape
            0 at or below chance. No finite d′ reaches 1: there a number gives
            None and an element of an array is infinite.

        Raises
        ------
        ValueError
            If `pc` is below 0, above 1 or NaN, or the method has no d′.

        Notes
        -----
        Newton's method inside a bracket. A d′ from 0.001 to 6 comes back to
        1e-8 and better; where the model is flat at 0, nearer to 0 the
        proportion moves by less than its last digit and the d′ comes back to
        about 1e-7.

        Examples
        --------
        >>> from server.stats.forced_choice import TRIANGLE
        >>> TRIANGLE.d_prime(0.25), TRIANGLE.d_prime(1.0)
        (0.0, None)
        """
        import numpy as np

        self._check_defined()
        given = np.asarray(pc, dtype=np.float64)
        _check_ends(given, lambda value: check_probability("pc", value))
        found = _invert(self, given.ravel()).reshape(given.shape)
        if given.ndim:
            return found
        return float(found) if np.isfinite(found) else None

    def _follow(self, curve: "Curve", d: "float | Array") -> "float | Array":
        import numpy as np

        self._check_defined()
        given = np.asarray(d, dtype=np.float64)
        _check_ends(given, check_d_prime)
        followed = curve(np.minimum(given, LARGEST_D_PRIME))
        return followed if given.ndim else float(followed)

    def _check_defined(self) -> None:
        if self.without_d_prime:
            raise ValueError(f"model must have a d′, not {self.name}: {self.without_d_prime}")


def _check_ends(values: "Array", check: Callable[[float], None]) -> None:
    """Check the least and the largest value; NaN is both."""
    if values.size:
        check(float(values.min()))
        check(float(values.max()))


def _invert(model: ForcedChoice, pc: "Array") -> "Array":
    """Return the d′ of proportions, shape (n,): 0 up to chance, infinite at 1."""
    import numpy as np

    found = np.where(pc < 1, 0.0, np.inf)
    inside = (pc > model.chance) & (pc < 1)
    if inside.any():
        found[inside] = _solve(model, pc[inside])
    return found


def _solve(model: ForcedChoice, pc: "Array") -> "Array":
    """Return the d′ of proportions above chance and below 1, shape (n,).

    A table brackets each d′ to about one part in a hundred; Newton's steps are
    kept in the bracket, which shrinks with each.
    """
    import numpy as np

    grid, table = _tabulate(model)
    cell = np.clip(np.searchsorted(table, pc), 1, CELLS)
    low, high = grid[cell - 1], grid[cell]
    d: Array = (low + high) / 2
    for _ in range(STEPS):
        excess = model.proportion(d) - pc
        low, high = np.where(excess < 0, d, low), np.where(excess < 0, high, d)
        d = np.clip(d - excess / model.rate(d), low, high)
    return d


@cache
def _tabulate(model: ForcedChoice) -> "tuple[Array, Array]":
    """Return a grid of d′ that is finer towards 0, and the proportions on it."""
    import numpy as np

    grid = np.append(0.0, np.geomspace(SMALLEST_D_PRIME, LARGEST_D_PRIME, CELLS))
    return grid, model.proportion(grid)


def d_prime_se(model: ForcedChoice, pc: float, trials: int) -> float | None:
    """Return the standard error of d′ by the delta method.

    Parameters
    ----------
    model : ForcedChoice
        The method's model.
    pc : float
        Observed proportion correct, 0 to 1.
    trials : int
        Number of answers, 1 or more.

    Returns
    -------
    float or None
        sqrt(pc (1 - pc) / `trials`) divided by the slope of the model at d′.
        None at or below chance, where d′ ends and the slope may be 0, and at
        1, where d′ is infinite.

    Raises
    ------
    ValueError
        If an argument is out of range, or the method has no d′.

    References
    ----------
    .. [1] Bi, J., Ennis, D. M. & O'Mahony, M. (1997). How to estimate and use
       the variance of d' from difference tests. Journal of Sensory Studies,
       12, 87-104.

    Examples
    --------
    >>> from server.stats.forced_choice import TRIANGLE
    >>> round(d_prime_se(TRIANGLE, 14 / 24, 24), 8)
    0.50829016
    """
    check_trials(trials)
    d = model.d_prime(pc)
    if d is None or pc <= model.chance:
        return None
    return math.sqrt(pc * (1 - pc) / trials) / model.slope(d)


def share_from_pc(pc: float, chance: float) -> float:
    """Return the share of answers that noticed the difference, by the guessing model.

    Parameters
    ----------
    pc : float
        Proportion correct, 0 to 1.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.

    Returns
    -------
    float
        (pc - chance) / (1 - chance); negative below chance.

    Raises
    ------
    ValueError
        If an argument is out of range.

    References
    ----------
    .. [1] Abbott, W. S. (1925). A method of computing the effectiveness of an
       insecticide. Journal of Economic Entomology, 18, 265-267.

    Examples
    --------
    >>> round(share_from_pc(0.5, 1 / 3), 10)
    0.25
    """
    check_probability("pc", pc)
    check_open_unit("chance", chance)
    return (pc - chance) / (1 - chance)


def pc_from_share(share: float, chance: float) -> float:
    """Return the proportion correct that goes with a share; undoes `share_from_pc`.

    Raises
    ------
    ValueError
        If `share` is outside 0 to 1, or `chance` not between them.

    Examples
    --------
    >>> round(pc_from_share(0.25, 1 / 3), 10)
    0.5
    """
    check_probability("share", share)
    check_open_unit("chance", chance)
    return chance + (1 - chance) * share


TRIANGLE = ForcedChoice("triangle", 1 / 3, psychometric.triangle, psychometric.triangle_slope)
"""Triangle test; see `forced_choice`."""
