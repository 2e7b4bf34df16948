"""Numbers of plans whose servings are of two kinds: what answers within blocks can find.

A block is a whole set of orders at one seat: of either kind as many. The size that matters is
a share s of servings in which the difference is noticed; all others are called the first
kind as often as not. So the first kind is called so in (1 + s)/2 of its servings, and the
second kind in (1 - s)/2.
"""

from functools import lru_cache

from server.methods.registry import YES_NO
from server.stats.yes_no_power import power_in_blocks

MOST_BLOCKS = 240
"""Blocks that a search for a number of servings goes up to."""

STEPS = 20  # halvings of a share, to a millionth


def count_blocks(name: str, trials: int) -> int:
    """Return the whole blocks in so many servings.

    Examples
    --------
    >>> count_blocks("same-different", 30)
    7
    """
    return trials // len(YES_NO[name].orders)


@lru_cache(maxsize=1024)
def find_power(name: str, trials: int, alpha: float, share: float) -> float:
    """Return the exact chance to find that a share is noticed.

    Examples
    --------
    >>> round(find_power("a-not-a", 40, 0.05, 0.5), 4)
    0.9025
    """
    blocks = count_blocks(name, trials)
    if not blocks:
        return 0.0
    of_each = len(YES_NO[name].orders) // 2
    return power_in_blocks(blocks, of_each, (1 + share) / 2, (1 - share) / 2, alpha)


def can_reach(name: str, trials: int, alpha: float) -> bool:
    """Tell whether so many servings reach the level if every answer is right.

    Examples
    --------
    >>> can_reach("a-not-a", 8, 0.05), can_reach("a-not-a", 10, 0.05)
    (False, True)
    """
    return find_power(name, trials, alpha, 1.0) > 0.5


@lru_cache(maxsize=256)
def find_share(name: str, trials: int, alpha: float, power: float) -> float | None:
    """Return the smallest share found with a power; None if no share is."""
    low, high = 0.0, 1.0
    if find_power(name, trials, alpha, high) < power:
        return None
    for _ in range(STEPS):
        middle = (low + high) / 2
        if find_power(name, trials, alpha, middle) < power:
            low = middle
        else:
            high = middle
    return high


@lru_cache(maxsize=256)
def find_servings(name: str, alpha: float, power: float, share: float) -> int | None:
    """Return the servings, in whole blocks, that find a share; None if there are too many.

    Power goes up and down with the number of blocks: it is the first from which on twice
    in a row it is not too low.
    """
    size = len(YES_NO[name].orders)
    low, high = 1, 1
    while find_power(name, high * size, alpha, share) < power:
        low, high = high, 2 * high
        if high > MOST_BLOCKS:
            return None
    for blocks in range(low, high + 1):
        if all(
            find_power(name, more * size, alpha, share) >= power for more in (blocks, blocks + 1)
        ):
            return blocks * size
    return high * size
