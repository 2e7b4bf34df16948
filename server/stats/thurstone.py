"""Thurstonian models of forced-choice tests: d′ from a proportion correct and back."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from server.stats.checks import (
    check_d_prime,
    check_open_unit,
    check_probability,
    check_trials,
)

# Beyond it, the proportion correct of every model here is 1 to the last digit.
LARGEST_D_PRIME = 64.0


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
        d′ to the probability of a correct answer; strictly rising, `chance` at 0.
    rate : callable
        d′ to the derivative of `proportion`.

    Examples
    --------
    >>> round(TRIANGLE.pc(1.0), 10)
    0.4180466747
    >>> round(TRIANGLE.d_prime(0.5), 8)
    1.46626278
    """

    name: str
    chance: float
    proportion: Callable[[float], float]
    rate: Callable[[float], float]

    def pc(self, d: float) -> float:
        """Return the probability of a correct answer at d′ = `d`.

        Raises
        ------
        ValueError
            If `d` is negative or not finite.

        Examples
        --------
        >>> round(TRIANGLE.pc(2.0), 10)
        0.6048069328
        """
        check_d_prime(d)
        return self.proportion(d)

    def slope(self, d: float) -> float:
        """Return the derivative of `pc` at d′ = `d`.

        Raises
        ------
        ValueError
            If `d` is negative or not finite.

        Examples
        --------
        >>> TRIANGLE.slope(0.0)
        0.0
        """
        check_d_prime(d)
        return self.rate(d)

    def d_prime(self, pc: float) -> float | None:
        """Return the d′ at which the probability of a correct answer is `pc`.

        Parameters
        ----------
        pc : float
            Probability of a correct answer, 0 to 1.

        Returns
        -------
        float or None
            0 at or below chance; None at 1, which no finite d′ reaches.

        Raises
        ------
        ValueError
            If `pc` is below 0, above 1 or NaN.

        Notes
        -----
        Found by halving a bracket until it cannot be halved further. A d′ from
        0.001 to 6 comes back to 1e-8; nearer to 0 the proportion moves by less
        than its last digit and the d′ comes back to about 1e-7.

        Examples
        --------
        >>> TRIANGLE.d_prime(0.25), TRIANGLE.d_prime(1.0)
        (0.0, None)
        """
        check_probability("pc", pc)
        if pc == 1:
            return None
        return 0.0 if pc <= self.chance else _halve(self.proportion, pc)


def _halve(rising: Callable[[float], float], target: float) -> float:
    """Return the argument at which a rising function passes `target`."""
    low, high = 0.0, LARGEST_D_PRIME
    while low < (middle := (low + high) / 2) < high:
        if rising(middle) < target:
            low = middle
        else:
            high = middle
    return high


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
        None at or below chance, where the slope is 0, and at 1, where d′ is
        infinite.

    Raises
    ------
    ValueError
        If an argument is out of range.

    References
    ----------
    .. [1] Bi, J., Ennis, D. M. & O'Mahony, M. (1997). How to estimate and use
       the variance of d' from difference tests. Journal of Sensory Studies,
       12, 87-104.

    Examples
    --------
    >>> round(d_prime_se(TRIANGLE, 14 / 24, 24), 8)
    0.50829016
    """
    check_trials(trials)
    d = model.d_prime(pc)
    if d is None or not (slope := model.slope(d)):
        return None
    return math.sqrt(pc * (1 - pc) / trials) / slope


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


def _triangle_pc(d: float) -> float:
    from scipy import special  # takes half a second to load

    # The slope below, integrated from 0 with u = d / sqrt(6), is four times the
    # derivative of Owen's T function: dT(h, a)/dh = -phi(h) (Phi(a h) - 1/2), and
    # T(0, sqrt 3) = 1/6 (Owen 1956). No quadrature and no lost digits.
    return float(1 / 3 + 4 * (1 / 6 - special.owens_t(d / math.sqrt(6), math.sqrt(3))))


def _triangle_slope(d: float) -> float:
    # sqrt(2/3) phi(d / sqrt 6) (2 Phi(d / sqrt 2) - 1), where 2 Phi(x) - 1 = erf(x / sqrt 2)
    return math.sqrt(2 / 3) * _normal_density(d / math.sqrt(6)) * math.erf(d / 2)


def _normal_density(x: float) -> float:
    return math.exp(-x * x / 2) / math.sqrt(2 * math.pi)


TRIANGLE = ForcedChoice("triangle", 1 / 3, _triangle_pc, _triangle_slope)
"""Triangle test, nature of the difference unspecified: the odd cup is the one
farthest from the other two.

References
----------
Ennis, D. M. (1993). The power of sensory discrimination methods. Journal of
Sensory Studies, 8, 353-370.
Owen, D. B. (1956). Tables for computing bivariate normal probabilities. Annals
of Mathematical Statistics, 27, 1075-1090.
"""
