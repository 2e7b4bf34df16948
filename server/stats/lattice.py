"""Distributions on whole numbers: their sums, tails and critical values."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from server.stats.binomial import reaches

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_PRODUCTS = 2_000_000_000


@dataclass(frozen=True, eq=False)
class Lattice:
    """Probabilities of whole numbers in a row.

    Attributes
    ----------
    start : int
        The smallest number.
    chances : ndarray of float, shape (m,)
        Probabilities of `start`, ..., `start` + m - 1.
    """

    start: int
    chances: "NDArray[np.float64]"

    def tail(self, at: int) -> float:
        """Return the probability of `at` or more.

        Examples
        --------
        >>> import numpy as np
        >>> Lattice(1, np.array([0.25, 0.5, 0.25])).tail(2)
        0.75
        """
        place = at - self.start
        if not self.chances[: max(0, place)].any():
            return 1.0
        return min(1.0, float(self._tails[place])) if place < len(self.chances) else 0.0

    def critical(self, alpha: float) -> int | None:
        """Return the smallest possible number whose tail is at most `alpha`, or None.

        Examples
        --------
        >>> import numpy as np
        >>> coin = Lattice(0, np.array([0.5, 0.5]))
        >>> coin.critical(0.5), coin.critical(0.25)
        (1, None)
        """
        import numpy as np

        for at in np.flatnonzero(self.chances > 0).tolist():
            if reaches(float(self._tails[at]), alpha):
                return self.start + int(at)
        return None

    @cached_property
    def _tails(self) -> "NDArray[np.float64]":
        """Added up from the far end, so that they only fall."""
        import numpy as np

        return np.asarray(np.cumsum(self.chances[::-1])[::-1], dtype=np.float64)


def add_up(parts: Sequence[Lattice]) -> Lattice | None:
    """Return the distribution of the sum of independent numbers.

    Parameters
    ----------
    parts : sequence of Lattice
        Their distributions, one or more.

    Returns
    -------
    Lattice or None
        By plain convolution: all terms are positive, so that far tails keep
        their digits, which a Fourier transform would lose. None where that
        takes more than 2 billion products, a second or two.

    Examples
    --------
    >>> import numpy as np
    >>> both = add_up([Lattice(1, np.array([0.5, 0.5]))] * 2)
    >>> both.start, both.chances.tolist()
    (2, [0.25, 0.5, 0.25])
    """
    import numpy as np

    if _count_products([len(part.chances) for part in parts]) > MOST_PRODUCTS:
        return None
    total = parts[0].chances
    for part in parts[1:]:
        total = np.convolve(total, part.chances)
    return Lattice(sum(part.start for part in parts), total)


def _count_products(widths: Sequence[int]) -> int:
    products = reached = 0
    for width in widths:
        products += reached * width
        reached += width
    return products
