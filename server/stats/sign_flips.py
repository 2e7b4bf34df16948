"""Paired differences tested exactly: in every pair, which value is whose may be swapped."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from server.stats.binomial import reaches
from server.stats.checks import check_open_unit

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_CELLS = 20_000_000
"""Sums by size of subset; beyond this it would take more than about a second."""
MOST_PARTS = 720
"""Differences are whole multiples of at most so small a part of 1."""

TOO_FINE = "The differences are too fine, or too many, for exact values."


@dataclass(frozen=True)
class SignFlips:
    """Paired differences, tested for being above zero.

    Attributes
    ----------
    pairs : int
        How many differences, J.
    mean : float
        Of the differences.
    p_value : float or None
        Exact chance of a sum as large or larger, one-sided; None if it takes too long.
    lower, upper : float or None
        Limits of the mean difference, each at level `alpha` by itself; None where no
        limit holds at so small a level, or it takes too long.
    least : float
        The smallest p-value that so many pairs can give, 2⁻ᴶ.
    alpha : float
    """

    pairs: int
    mean: float
    p_value: float | None
    lower: float | None
    upper: float | None
    least: float
    alpha: float


def flip_signs(differences: Sequence[float], alpha: float = 0.05) -> SignFlips:
    """Test paired differences by all ways to swap the two values of a pair.

    Parameters
    ----------
    differences : sequence of float, length J
        One an independent pair, 1 or more.
    alpha : float
        Level of each limit, above 0 and below 1.

    Returns
    -------
    SignFlips

    Raises
    ------
    ValueError
        If there are no differences, or `alpha` is out of range.

    Notes
    -----
    If nothing differs, a difference is as likely as its negative, given its size: of the
    2ᴶ ways to choose signs, the p-value counts those with a sum as large or larger [1]_. A
    sum is as large where the subset of turned pairs adds up to 0 or less. If instead all
    differences lie symmetrically around θ, each way to order θ among the means of the
    2ᴶ - 1 subsets is equally likely [2]_: the limits are such means, and the lower one lies
    above 0 just where the p-value is at most `alpha`. Subsets are counted by size and sum,
    not one by one.

    References
    ----------
    .. [1] Fisher, R. A. (1935). The Design of Experiments, section 21.
    .. [2] Hartigan, J. A. (1969). Using subsample values as typical values. Journal of the
       American Statistical Association, 64, 1303-1317.

    Examples
    --------
    >>> found = flip_signs([1, 2, 0, 3, 1, 1], alpha=0.1)
    >>> found.p_value, found.lower, found.upper
    (0.03125, 0.6666666666666666, 2.0)
    """
    check_open_unit("alpha", alpha)
    if not len(differences):
        raise ValueError("differences must hold at least one pair, not none")
    pairs, mean = len(differences), math.fsum(differences) / len(differences)
    whole, parts = _count_parts(differences)
    least = 0.5**pairs
    if not parts or (pairs + 1) * (sum(map(abs, whole)) + 1) > MOST_CELLS:
        return SignFlips(pairs, mean, None, None, None, least, alpha)
    lower = _find_lower(whole, alpha)
    upper = _find_lower([-one for one in whole], alpha)
    return SignFlips(
        pairs=pairs,
        mean=mean,
        p_value=_find_p(whole),
        lower=None if lower is None else lower / parts,
        upper=None if upper is None else -upper / parts,
        least=least,
        alpha=alpha,
    )


def _count_parts(differences: Sequence[float]) -> tuple[list[int], int]:
    """Return the differences as whole numbers of equal parts of 1, and how many parts; or 0."""
    near = [Fraction(one).limit_denominator(MOST_PARTS) for one in differences]
    parts = math.lcm(*(one.denominator for one in near))
    fits = all(abs(one - float(at)) < 1e-9 for one, at in zip(differences, near, strict=True))
    return [int(one * parts) for one in near], parts if fits else 0


def _find_p(whole: Sequence[int]) -> float:
    chances = _spread(whole).sum(axis=0)
    zero = -sum(min(one, 0) for one in whole)
    return min(1.0, float(chances[: zero + 1].sum()))


def _find_lower(whole: Sequence[int], alpha: float) -> float | None:
    """Return the smallest mean of a subset up to which more than `alpha` of all means lie."""
    import numpy as np

    if not reaches(0.5 ** len(whole), alpha):
        return None
    spread = _spread(whole)
    spread[0] = 0  # the empty subset has no mean: it lies below all others
    sizes, places = np.nonzero(spread)
    start = sum(min(one, 0) for one in whole)
    means = (places + start) / sizes
    order = np.argsort(means, kind="stable")
    means, chances = means[order], np.cumsum(spread[sizes, places][order]) + 0.5 ** len(whole)
    last = np.append(means[1:] != means[:-1], True)  # ties count together
    beyond = (
        float(at)
        for at, chance in zip(means[last].tolist(), chances[last].tolist(), strict=True)
        if not reaches(chance, alpha)
    )
    return next(beyond)


def _spread(whole: Sequence[int]) -> "NDArray[np.float64]":
    """Return the share of subsets by size and sum, the smallest sum first."""
    import numpy as np

    width = sum(map(abs, whole)) + 1
    found = np.zeros((len(whole) + 1, width))
    found[0, -sum(min(one, 0) for one in whole)] = 1.0
    for one in whole:
        turned = np.zeros_like(found)
        if one >= 0:
            turned[1:, one:] = found[:-1, : width - one]
        else:
            turned[1:, :one] = found[:-1, -one:]
        found = (found + turned) / 2
    return found
