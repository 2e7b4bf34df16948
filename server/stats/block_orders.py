"""The exact distribution of weighted rank sums when every order within a block is as likely."""

import math
from collections import Counter, defaultdict
from collections.abc import Sequence
from itertools import permutations
from typing import TYPE_CHECKING

from server.stats.block_ranks import Block

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Sums = tuple[NDArray[np.float64], NDArray[np.float64]]

MOST_ORDERS = 5_040  # of one block: seven samples without ties
MOST_ADDITIONS = 4_000_000  # of an order to sums, all blocks together: a second
MOST_SUMS = 20_000_000  # different ones at the end: a second
AT_ONCE = 500_000  # of them, so that memory stays small
CLOSE = 1e-9  # statistics this near are the same one


def block_p(
    blocks: Sequence[Block], inverse: "NDArray[np.float64]", statistic: float
) -> float | None:
    """Return the exact chance of a quadratic statistic as large or larger.

    Parameters
    ----------
    blocks : sequence of Block
        Ranked blocks; ties stay as they are.
    inverse : ndarray of float, shape (t, t)
        Of the covariance of the weighted sums A; the statistic is A' inverse A.
    statistic : float
        The one observed.

    Returns
    -------
    float or None
        None where it would take too long: more than 5,040 orders of one block,
        4 million additions, 20 million different sums, or sums whose digits do not
        fit one number.

    Notes
    -----
    Blocks of one size share a weight: their doubled ranks add up as whole
    numbers, block by block, equal sums merged, all sums of a set being digits of
    one number. The sizes are then put together, (a + b)' M (a + b) at a time.

    Examples
    --------
    >>> import numpy as np
    >>> blocks = [Block((0, 1), (2, 4))] * 3
    >>> block_p(blocks, np.array([[0.25, -0.25], [-0.25, 0.25]]) / 3, 3.0)
    0.25
    """
    parts = _list_parts(blocks, len(inverse))
    if parts is None:
        return None
    (sums, chances), (others, weights) = parts
    own, across = ((part @ inverse * part).sum(axis=1) for part in (sums, others))
    chance, all_as_far = 0.0, True
    for start in range(0, len(sums), step := max(1, AT_ONCE // len(others))):
        rows = slice(start, start + step)
        both = own[rows, None] + across + 2 * sums[rows] @ inverse @ others.T
        as_far = both >= statistic - CLOSE * (1 + statistic)
        all_as_far &= bool(as_far.all())
        chance += float(chances[rows] @ (as_far @ weights))
    return 1.0 if all_as_far else min(1.0, chance)


def _list_parts(blocks: Sequence[Block], samples: int) -> "tuple[Sums, Sums] | None":
    """Return two independent parts of the weighted sums, each shape (m, t) with chances."""
    import numpy as np

    by_size = defaultdict(list)
    for block in blocks:
        by_size[len(block.ranks)].append(block)
    parts = [_add_up_alike(alike, samples) for alike in by_size.values()]
    found = sorted((part for part in parts if part is not None), key=lambda part: len(part[0]))
    if len(found) < len(parts) or math.prod(len(sums) for sums, _ in found) > MOST_SUMS:
        return None
    sums, chances = np.zeros((1, samples)), np.ones(1)
    for more, weights in found[:-1]:
        sums = (sums[:, None, :] + more).reshape(-1, samples)
        chances = np.outer(chances, weights).ravel()
    return (sums, chances), found[-1]


def _add_up_alike(blocks: Sequence[Block], samples: int) -> "Sums | None":
    """Return the weighted sums of blocks of one size, and their chances."""
    import numpy as np

    base = sum(max(block.ranks) for block in blocks) + 1
    if base ** (samples - 1) >= 2**63:
        return None
    values = [base**place for place in range(samples - 1)] + [0]
    keys, chances, additions = np.zeros(1, dtype=np.int64), np.ones(1), 0
    for block in blocks:
        count = _count_orders(block.ranks)
        additions += count * len(keys)
        if count > MOST_ORDERS or additions > MOST_ADDITIONS:
            return None
        added = _list_orders(block.ranks) @ np.array([values[at] for at in block.samples])
        keys, place = np.unique(np.add.outer(keys, added), return_inverse=True)
        merged = np.bincount(place.ravel(), np.repeat(chances / count, count))
        chances = np.asarray(merged, dtype=np.float64)
    return _weigh(keys, blocks, samples, base), chances


def _weigh(
    keys: "NDArray[np.int64]", blocks: Sequence[Block], samples: int, base: int
) -> "NDArray[np.float64]":
    """Return the weighted, centred sums that the digits of the keys stand for."""
    import numpy as np

    sums = np.empty((len(keys), samples))
    for at in range(samples - 1):
        sums[:, at] = keys // base**at % base
    total = sum(sum(block.ranks) for block in blocks)
    sums[:, -1] = total - sums[:, :-1].sum(axis=1)
    middles = np.zeros(samples)
    for block in blocks:
        middles[list(block.samples)] += len(block.ranks) + 1
    weighted: NDArray[np.float64] = blocks[0].weight * (sums - middles) / 2
    return weighted


def _count_orders(ranks: tuple[int, ...]) -> int:
    ties = (math.factorial(count) for count in Counter(ranks).values())
    return math.factorial(len(ranks)) // math.prod(ties)


def _list_orders(ranks: tuple[int, ...]) -> "NDArray[np.int64]":
    """Return the distinguishable orders of a block's ranks, shape (orders, k)."""
    import numpy as np

    return np.array(sorted(set(permutations(ranks))), dtype=np.int64)
