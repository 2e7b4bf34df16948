"""The five counts of a balanced incomplete block design and what ties them together."""

from dataclasses import dataclass
from math import gcd


@dataclass(frozen=True)
class BlockCounts:
    """Counts of a balanced block design.

    Attributes
    ----------
    samples
        Number of samples t.
    size
        Samples in a block k, from 2 to t.
    replications
        Blocks r that hold a given sample.
    blocks
        Number of blocks b.
    concurrences
        Blocks λ that hold two given samples.
    """

    samples: int
    size: int
    replications: int
    blocks: int
    concurrences: int

    @property
    def efficiency(self) -> float:
        """Efficiency factor λ t / (r k): 1 for complete blocks, less for smaller ones."""
        return self.concurrences * self.samples / (self.replications * self.size)

    @property
    def complement(self) -> "BlockCounts":
        """Counts of the design whose blocks hold the samples left out, t - k in each."""
        return BlockCounts(
            self.samples,
            self.samples - self.size,
            self.blocks - self.replications,
            self.blocks,
            self.blocks - 2 * self.replications + self.concurrences,
        )


def find_counts(samples: int, size: int, concurrences: int) -> BlockCounts | None:
    """Return the counts of a design, or nothing if they do not come out whole.

    Parameters
    ----------
    samples : int
        Number of samples t, at least 2.
    size : int
        Samples in a block k, from 2 to t.
    concurrences : int
        Blocks λ that hold two given samples, at least 1.

    Returns
    -------
    BlockCounts or None
        With λ (t - 1) = r (k - 1) and r t = k b [1]_. That the counts are whole does
        not mean that there is a design.

    Raises
    ------
    ValueError
        If a number is out of range.

    References
    ----------
    .. [1] W. G. Cochran and G. M. Cox, Experimental Designs, 2nd ed. (1957), section
       11.1 (from memory).

    Examples
    --------
    >>> find_counts(7, 3, 1)
    BlockCounts(samples=7, size=3, replications=3, blocks=7, concurrences=1)
    >>> find_counts(8, 3, 1) is None
    True
    """
    check_sizes(samples, size)
    if concurrences < 1:
        raise ValueError(f"concurrences must be at least 1, got {concurrences}")
    replications, part = divmod(concurrences * (samples - 1), size - 1)
    blocks, rest = divmod(replications * samples, size)
    if part or rest:
        return None
    return BlockCounts(samples, size, replications, blocks, concurrences)


def least_concurrences(samples: int, size: int) -> int:
    """Return the smallest λ whose counts come out whole; all others are its multiples.

    Examples
    --------
    >>> least_concurrences(8, 3), least_concurrences(16, 7)
    (6, 14)
    """
    check_sizes(samples, size)
    for_replications = (size - 1) // gcd(samples - 1, size - 1)
    pairs = size * (size - 1)
    for_blocks = pairs // gcd(samples * (samples - 1), pairs)
    return for_replications * for_blocks // gcd(for_replications, for_blocks)


def check_sizes(samples: int, size: int) -> None:
    """Raise ValueError if blocks of this size cannot be filled or compare nothing."""
    if samples < 2:
        raise ValueError(f"samples must be at least 2, got {samples}")
    if not 2 <= size <= samples:
        raise ValueError(f"size must lie between 2 and samples ({samples}), got {size}")
