"""Which samples stand together in which blocks, and how well that compares them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

APART = "Nobody compared samples of one of these groups with samples of another: {}."


@dataclass(frozen=True)
class BlockDesign:
    """A design of blocks, each holding some of the samples once.

    A block is what one assessor compares at one sitting.

    Attributes
    ----------
    blocks, samples : int
        b and t.
    block_size : int or None
        k, how many samples a block holds; None if blocks differ.
    replications : int or None
        r, how many blocks hold a sample; None if samples differ.
    together : int or None
        λ, how many blocks hold a given pair; None if pairs differ.
    efficiency : float or None
        Of a balanced design, λ t / (r k): how precise a difference is beside
        that of complete blocks with as many servings, if the error stays the same.
    groups : tuple of tuple of int
        Places of the samples that are linked by blocks, directly or by a chain.
    """

    blocks: int
    samples: int
    block_size: int | None
    replications: int | None
    together: int | None
    efficiency: float | None
    groups: tuple[tuple[int, ...], ...]

    @property
    def balanced(self) -> bool:
        """Whether blocks are of one size, samples equally often there, pairs too."""
        return None not in (self.block_size, self.replications, self.together)

    @property
    def connected(self) -> bool:
        """Whether every two samples can be compared, directly or by a chain."""
        return len(self.groups) == 1


def describe_design(present: "NDArray[np.bool_]") -> BlockDesign:
    """Describe which samples stand together.

    Parameters
    ----------
    present : ndarray of bool, shape (b, t)
        Which block holds which sample; two samples or more.

    Returns
    -------
    BlockDesign

    Raises
    ------
    ValueError
        If there is no block, or fewer than two samples.

    References
    ----------
    Cochran, W. G. & Cox, G. M. (1957). Experimental Designs, 2nd ed., chapters 9
    and 11 (chapters from memory).

    Examples
    --------
    >>> import numpy as np
    >>> found = describe_design(np.array([[1, 1, 0], [1, 0, 1], [0, 1, 1]], dtype=bool))
    >>> found.block_size, found.replications, found.together, found.efficiency
    (2, 2, 1, 0.75)
    """
    import numpy as np

    if present.ndim != 2 or len(present) < 1 or present.shape[1] < 2:
        raise ValueError(f"present must be blocks × two samples or more, not {present.shape}")
    blocks, samples = present.shape
    shared = present.T.astype(np.int64) @ present.astype(np.int64)
    size = _find_common(present.sum(axis=1))
    replications = _find_common(np.diag(shared))
    together = _find_common(shared[~np.eye(samples, dtype=np.bool_)])
    efficiency = None
    if size and replications and together is not None:
        efficiency = together * samples / (replications * size)
    groups = _link(shared)
    return BlockDesign(blocks, samples, size, replications, together, efficiency, groups)


def tell_groups(design: BlockDesign, samples: Sequence[str]) -> str:
    """Return the sentence that says which samples nobody linked.

    Examples
    --------
    >>> import numpy as np
    >>> apart = describe_design(np.array([[1, 1, 0, 0], [0, 0, 1, 1]], dtype=bool))
    >>> tell_groups(apart, ["W", "X", "Y", "Z"]).split(": ")[1]
    'W, X / Y, Z.'
    """
    named = (", ".join(samples[place] for place in group) for group in design.groups)
    return APART.format(" / ".join(named))


def tell_balance(present: "NDArray[np.bool_]") -> str:
    """Return block sizes, replications and pairs of a design, in words.

    Examples
    --------
    >>> import numpy as np
    >>> tell_balance(np.array([[1, 1, 0], [1, 1, 1]], dtype=bool))
    'blocks of 2 to 3 samples, samples in 1 to 2 blocks, pairs in 1 to 2'
    """
    import numpy as np

    shared = present.T.astype(np.int64) @ present.astype(np.int64)
    pairs = shared[~np.eye(len(shared), dtype=np.bool_)]
    size, samples, together = (
        f"{x.min()}" if x.min() == x.max() else f"{x.min()} to {x.max()}"
        for x in (present.sum(axis=1), np.diag(shared), pairs)
    )
    return f"blocks of {size} samples, samples in {samples} blocks, pairs in {together}"


def _find_common(numbers: "NDArray[np.int64]") -> int | None:
    first = int(numbers[0])
    return first if (numbers == first).all() else None


def _link(shared: "NDArray[np.int64]") -> tuple[tuple[int, ...], ...]:
    """Return the groups of samples that a chain of common blocks links."""
    left = set(range(len(shared)))
    groups = []
    while left:
        group, new = set[int](), {min(left)}
        while new:
            group |= new
            new = {other for one in new for other in left if shared[one, other]} - group
        left -= group
        groups.append(tuple(sorted(group)))
    return tuple(groups)
