"""Theorems that say whether a balanced incomplete block design exists, without building it."""

from enum import StrEnum
from math import isqrt

from server.blinding.block_counts import BlockCounts
from server.blinding.ternary_forms import is_solvable


class Obstacle(StrEnum):
    """Why there is no such design."""

    IDENTITIES = "the counts do not come out whole"
    FISHER = "fewer blocks than samples (Fisher 1940)"
    SQUARE = "as many blocks as samples, an even number, and r - λ is no square (Schützenberger)"
    QUADRATIC_FORM = "as many blocks as samples, and x² = (r - λ) y² ± λ z² has no solution"
    RESIDUAL = "it would be part of a symmetric design that does not exist (Hall and Connor 1953)"
    SEARCHED = "a complete search by computer found none"


class Theorem(StrEnum):
    """Why there is such a design, although it is not built here."""

    HANANI = "all designs with blocks of 3, 4 or 5 exist, except 15 samples in 21 blocks of 5"
    COMPLEMENT = "the samples left out of its blocks form a design that exists"


SEARCHED = {
    (111, 11, 1),  # plane of order 10: Lam, Thiel and Swiercz, Canad. J. Math. 41 (1989)
    (46, 6, 1),  # Houghten, Thiel, Janssen and Lam, Math. Comp. 70 (2001)
    (22, 8, 4),  # Bilous, Lam and others, J. Combin. Des. 15 (2007)
}
"""(t, k, λ) of designs ruled out by computer alone; all from memory."""


def find_obstacle(counts: BlockCounts) -> Obstacle | None:
    """Return why no design has these counts, or nothing if no reason is known.

    Parameters
    ----------
    counts : BlockCounts
        Counts that fulfil the identities.

    Returns
    -------
    Obstacle or None

    Notes
    -----
    A design exists if and only if its complement does, so blocks of more than half
    the samples are judged by what they leave out. Fewer blocks than samples cannot be
    [1]_. With as many (a symmetric design, r = k), k - λ is a square if t is even, and
    x² = (k - λ) y² + (-1)^((t - 1) / 2) λ z² has a solution if t is odd [2]_. A design
    with r = k + λ and λ of 1 or 2 is what is left of a symmetric one with t + r
    samples in blocks of r [3]_; for λ = 1 that is a plane and its line at infinity.

    References
    ----------
    .. [1] R. A. Fisher, Annals of Eugenics 10 (1940), 52-75 (from memory).
    .. [2] R. H. Bruck and H. J. Ryser, Canad. J. Math. 1 (1949), 88-93; S. Chowla and
       H. J. Ryser, Canad. J. Math. 2 (1950), 93-99; M. P. Schützenberger, Annals of
       Eugenics 14 (1949), 286-287 (from memory).
    .. [3] M. Hall and W. S. Connor, Canad. J. Math. 6 (1953), 35-41 (from memory).

    Examples
    --------
    >>> find_obstacle(BlockCounts(15, 5, 7, 21, 2)).name
    'RESIDUAL'
    >>> find_obstacle(BlockCounts(7, 3, 3, 7, 1)) is None
    True
    """
    counts = _smaller_half(counts)
    if counts.size < 2:
        return None
    if counts.blocks < counts.samples:
        return Obstacle.FISHER
    if (counts.samples, counts.size, counts.concurrences) in SEARCHED:
        return Obstacle.SEARCHED
    if counts.blocks == counts.samples:
        return _find_symmetric_obstacle(counts)
    if _is_residual(counts) and find_obstacle(_symmetric_of(counts)):
        return Obstacle.RESIDUAL
    return None


def _smaller_half(counts: BlockCounts) -> BlockCounts:
    return counts.complement if 2 * counts.size > counts.samples else counts


def _find_symmetric_obstacle(counts: BlockCounts) -> Obstacle | None:
    order = counts.replications - counts.concurrences
    if counts.samples % 2 == 0:
        return None if isqrt(order) ** 2 == order else Obstacle.SQUARE
    signed = counts.concurrences * (-1) ** ((counts.samples - 1) // 2)
    return None if is_solvable(order, signed) else Obstacle.QUADRATIC_FORM


def _is_residual(counts: BlockCounts) -> bool:
    return (
        counts.concurrences in (1, 2) and counts.replications == counts.size + counts.concurrences
    )


def _symmetric_of(counts: BlockCounts) -> BlockCounts:
    many, size = counts.samples + counts.replications, counts.replications
    return BlockCounts(many, size, size, many, counts.concurrences)


def find_theorem(counts: BlockCounts) -> Theorem | None:
    """Return a theorem by which a design with these counts exists, or nothing.

    Parameters
    ----------
    counts : BlockCounts
        Counts that fulfil the identities, without a known obstacle.

    Returns
    -------
    Theorem or None

    References
    ----------
    .. [1] H. Hanani, Discrete Mathematics 11 (1975), 255-369 (from memory).

    Examples
    --------
    >>> find_theorem(BlockCounts(61, 5, 15, 183, 1)).name
    'HANANI'
    """
    if 3 <= counts.size <= 5:
        return Theorem.HANANI
    return Theorem.COMPLEMENT if 3 <= counts.samples - counts.size <= 5 else None
