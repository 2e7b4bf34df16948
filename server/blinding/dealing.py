"""Deal given servings to seats and sittings so that everybody meets all samples alike."""

from collections import Counter
from collections.abc import Sequence
from random import Random

Order = tuple[str, ...]

SEATS_FIRST = 100
"""How much even seats outweigh even sittings."""
PATIENCE = 300
"""Exchanges that are tried for each serving."""
MOST_TRIES = 12_000
"""Exchanges that are tried at most."""


def deal_evenly(
    orders: Sequence[Order], seats: int, sittings: int, rng: Random
) -> list[list[Order]]:
    """Deal servings to seats and sittings.

    Parameters
    ----------
    orders : sequence of tuple of str
        The samples of each serving; seats times sittings of them.
    seats, sittings : int
        How many, at least 1 each.
    rng : random.Random
        Source of chance.

    Returns
    -------
    list of list of tuple of str
        Indexed ``[seat][sitting]``: the same servings, such that each seat has samples,
        and then each sitting has them, as evenly as found. What counts over all servings
        (positions, pairs) stays as it is.

    Raises
    ------
    ValueError
        If the number of orders is another one.

    Notes
    -----
    Two servings change places wherever that does not make the sum of the squared counts
    larger. Two servings of one seat only change the sittings.

    Examples
    --------
    >>> pairs = [("A", "B"), ("C", "D"), ("A", "C"), ("B", "D"), ("A", "D"), ("B", "C")]
    >>> plan = deal_evenly(pairs, 3, 2, Random(1))
    >>> [sorted(one + two) for one, two in plan] == [["A", "B", "C", "D"]] * 3
    True
    """
    if len(orders) != seats * sittings:
        raise ValueError(f"orders must be {seats * sittings}, got {len(orders)}")
    cells = rng.sample(orders, len(orders))
    table = [_count(cells[seat * sittings : (seat + 1) * sittings]) for seat in range(seats)]
    times = [_count(cells[sitting::sittings]) for sitting in range(sittings)]
    for _ in range(min(PATIENCE * len(cells), MOST_TRIES) if len(cells) > 1 else 0):
        one, two = rng.sample(range(len(cells)), 2)
        mine, other = set(cells[one]), set(cells[two])
        gone, come = mine - other, other - mine
        lines = [
            (table[one // sittings], table[two // sittings], SEATS_FIRST),
            (times[one % sittings], times[two % sittings], 1),
        ]
        if sum(weight * _weigh(a, b, gone, come) for a, b, weight in lines) <= 0:
            cells[one], cells[two] = cells[two], cells[one]
            for a, b, _ in lines:
                _move(a, b, gone, come)
    return [cells[seat * sittings : (seat + 1) * sittings] for seat in range(seats)]


def _count(orders: Sequence[Order]) -> Counter[str]:
    """Count the servings that hold a sample."""
    return Counter(level for order in orders for level in set(order))


def _weigh(one: Counter[str], two: Counter[str], gone: set[str], come: set[str]) -> int:
    """Return half the change of the squared counts if samples leave one line for another."""
    if one is two:
        return 0
    left = sum(two[level] - one[level] + 1 for level in gone)
    return left + sum(one[level] - two[level] + 1 for level in come)


def _move(one: Counter[str], two: Counter[str], gone: set[str], come: set[str]) -> None:
    one.subtract(gone)
    one.update(come)
    two.subtract(come)
    two.update(gone)
