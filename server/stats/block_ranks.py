"""Samples ranked within blocks that need not hold all of them, and their weighted sums."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.rankings import rank_row

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

CUT_OFF = 1e-10  # of the largest singular value: what is below is 0


@dataclass(frozen=True)
class Block:
    """The samples that one block holds, ranked.

    Attributes
    ----------
    samples : tuple of int, length k
        Their places.
    ranks : tuple of int, length k
        Their ranks, doubled, so that mean ranks of ties are whole; 2 is lowest.
    """

    samples: tuple[int, ...]
    ranks: tuple[int, ...]

    @property
    def weight(self) -> float:
        """√(12 / (k + 1)), which gives ranks without ties the same covariance, -1, for any k."""
        return float((12 / (len(self.ranks) + 1)) ** 0.5)

    @property
    def squares(self) -> float:
        """Squared deviations of the ranks, not doubled, from their mean."""
        return sum((rank - len(self.ranks) - 1) ** 2 for rank in self.ranks) / 4

    @property
    def spread(self) -> float:
        """Covariance that the block adds between two weighted ranks, less its sign.

        1 without ties, smaller with ties, 0 if all are tied.
        """
        size = len(self.ranks)
        return 12 * self.squares / ((size + 1) * size * (size - 1))


def rank_blocks(table: "NDArray[np.float64]") -> tuple[Block, ...]:
    """Rank what every row of a table holds.

    Parameters
    ----------
    table : ndarray of float, shape (b, t)
        A block a row, a sample a column; NaN where a block does not hold the sample.

    Returns
    -------
    tuple of Block
        Of the rows with two values or more; one value compares nothing.

    Examples
    --------
    >>> import numpy as np
    >>> rank_blocks(np.array([[7.5, np.nan, 3.0], [np.nan, 2.0, np.nan]]))
    (Block(samples=(0, 2), ranks=(4, 2)),)
    """
    import numpy as np

    blocks = []
    for row in table:
        held = np.flatnonzero(~np.isnan(row))
        if len(held) > 1:
            ranks = tuple(round(2 * rank) for rank in rank_row(row[held].tolist()))
            blocks.append(Block(tuple(held.tolist()), ranks))
    return tuple(blocks)


def sum_weighted(blocks: Sequence[Block], samples: int) -> "NDArray[np.float64]":
    """Return the sum of every sample's weighted ranks, each less its block's mean.

    Parameters
    ----------
    blocks : sequence of Block
    samples : int
        t.

    Returns
    -------
    ndarray of float, shape (t,)
        Their total is 0.

    Examples
    --------
    >>> sum_weighted([Block((0, 2), (4, 2)), Block((0, 1), (4, 2))], 3).tolist()
    [2.0, -1.0, -1.0]
    """
    import numpy as np

    sums = np.zeros(samples)
    for block in blocks:
        middle = len(block.ranks) + 1
        sums[list(block.samples)] += block.weight * (np.array(block.ranks) - middle) / 2
    return sums


def find_covariance(
    blocks: Sequence[Block], samples: int, untied: bool = False
) -> "NDArray[np.float64]":
    """Return the covariance of the weighted sums when every order in a block is as likely.

    Parameters
    ----------
    blocks : sequence of Block
    samples : int
        t.
    untied : bool
        Take every block as if it had no ties.

    Returns
    -------
    ndarray of float, shape (t, t)
        Each row sums to 0.

    Examples
    --------
    >>> find_covariance([Block((0, 1), (4, 2)), Block((0, 1), (3, 3))], 2).tolist()
    [[1.0, -1.0], [-1.0, 1.0]]
    """
    import numpy as np

    shared = np.zeros((samples, samples))
    for block in blocks:
        shared[np.ix_(block.samples, block.samples)] -= 1.0 if untied else block.spread
    np.fill_diagonal(shared, 0)
    np.fill_diagonal(shared, -shared.sum(axis=1))
    return shared


def invert_covariance(
    covariance: "NDArray[np.float64]",
) -> "tuple[NDArray[np.float64], int]":
    """Return the generalised inverse of a covariance of weighted sums, and its rank.

    Examples
    --------
    >>> inverse, rank = invert_covariance(find_covariance([Block((0, 1), (4, 2))], 2))
    >>> inverse.round(6).tolist(), rank
    ([[0.25, -0.25], [-0.25, 0.25]], 1)
    """
    import numpy as np

    inverse = np.linalg.pinv(covariance, rcond=CUT_OFF, hermitian=True)
    return np.asarray(inverse, dtype=np.float64), round(float(np.trace(inverse @ covariance)))
