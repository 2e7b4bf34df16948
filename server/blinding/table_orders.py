"""Which samples each seat meets at each sitting of a scored table, and in which order."""

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise, permutations
from random import Random

from server.blinding.block_plans import draw_blocks
from server.blinding.dealing import deal_evenly
from server.blinding.even_groups import draw_groups
from server.blinding.plans import TablePlan
from server.blinding.table_plans import is_complete, list_fixed
from server.blinding.twins import draw_apart
from server.blinding.williams import draw_williams

Order = tuple[str, ...]

RING_TRIES = 200
"""Draws of a ring at most, until no sample stands beside itself."""
MOST_LAPS = 5
"""With more laps their order is left as drawn."""


def draw_own_orders(
    table: TablePlan, levels: Sequence[str], seats: int, sittings: int, rng: Random
) -> list[list[Order]]:
    """Draw the samples under a seat's codes, in the order of tasting.

    Parameters
    ----------
    table : TablePlan
        Checked by `table_plans.check_table_plan`.
    levels : sequence of str
        The samples.
    seats, sittings : int
        How many, at least 1 each.
    rng : random.Random
        Source of chance.

    Returns
    -------
    list of list of tuple of str
        Indexed ``[seat][sitting][place]``. Complete servings are Williams designs, blocks
        are balanced where a design exists. Where every sample has a single code or
        scattered ones, each sample comes once in each lap of a serving. The counts of
        one sample at two places of a lap differ by at most 1.

    Examples
    --------
    >>> plan = draw_own_orders(TablePlan(sheet={}, duplicates=("A",)), "ABC", 4, 1, Random(1))
    >>> sorted(plan[0][0]), sum(order[0] == "A" for (order,) in plan)
    (['A', 'A', 'B', 'C'], 2)
    """
    if is_complete(table, levels) and not table.duplicates:
        laps = draw_williams(levels, seats, sittings * table.laps, rng)
        return [_join_laps(row, table.laps, rng) for row in laps]
    if not is_complete(table, levels) and not list_fixed(table) and table.laps == 1:
        rows = draw_blocks(levels, table.block, seats, sittings, rng)
        return deal_evenly([order for row in rows for order in row], seats, sittings, rng)
    groups = [
        (*group, *table.duplicates) for row in draw_samples(table, levels, seats, sittings, rng)
        for group in row for _ in range(table.laps)
    ]  # fmt: skip
    orders = draw_apart(groups, rng)
    many = sittings * table.laps
    rows = [orders[start : start + many] for start in range(0, len(orders), many)]
    return [_join_laps(row, table.laps, rng) for row in rows]


def draw_samples(
    table: TablePlan, levels: Sequence[str], seats: int, sittings: int, rng: Random
) -> list[list[Order]]:
    """Draw which different samples stand before each seat at each sitting, in no order.

    Parameters are those of `draw_own_orders`.

    Returns
    -------
    list of list of tuple of str
        Indexed ``[seat][sitting]``. Reference and duplicated samples are in all; of the
        others any two come equally often over all, or one of them once more, and each
        seat has them as evenly as found.

    Examples
    --------
    >>> table = TablePlan(sheet={}, block=2, reference="D")
    >>> draw_samples(table, "ABCD", 3, 1, Random(1))
    [[('B', 'D')], [('A', 'D')], [('C', 'D')]]
    """
    if is_complete(table, levels):
        return [[tuple(levels)] * sittings for _ in range(seats)]
    fixed = list_fixed(table)
    others = [level for level in levels if level not in fixed]
    size = table.block - len(fixed)
    if size > 1:
        rows = draw_blocks(others, size, seats, sittings, rng)
        groups = [group for row in rows for group in row]
    else:
        turns = [serving % seats for serving in range(seats * sittings)]
        groups = draw_groups(others, 1, turns, [Counter() for _ in range(seats)], rng)
    dealt = deal_evenly(groups, seats, sittings, rng)
    return [[tuple(sorted((*group, *fixed))) for group in row] for row in dealt]


def _join_laps(orders: Sequence[Order], laps: int, rng: Random) -> list[Order]:
    """Join every so many orders to one serving, with few samples right after themselves."""
    if laps == 1:
        return list(orders)
    servings = [orders[start : start + laps] for start in range(0, len(orders), laps)]
    return [tuple(level for lap in _turn_laps(one, rng) for level in lap) for one in servings]


def _turn_laps(laps: Sequence[Order], rng: Random) -> Sequence[Order]:
    drawn = rng.sample(laps, len(laps))
    if len(laps) > MOST_LAPS:
        return drawn
    return min(
        permutations(drawn), key=lambda row: sum(one[-1] == two[0] for one, two in pairwise(row))
    )


def draw_ring(table: TablePlan, samples: Sequence[str], rng: Random) -> Order:
    """Draw which sample stands under each code around a shared table.

    Parameters
    ----------
    table : TablePlan
        Checked by `table_plans.check_table_plan`.
    samples : sequence of str
        The different samples of this sitting.
    rng : random.Random
        Source of chance.

    Returns
    -------
    tuple of str
        Around the table; the last stands beside the first. Scattered bowls come lap by
        lap, each with all samples. No sample stands beside itself, if one of many draws
        is like that; around three places two of one sample always do.

    Examples
    --------
    >>> ring = draw_ring(TablePlan(sheet={}, duplicates=("A",)), "ABC", Random(1))
    >>> ring.index("A"), ring[ring.index("A") + 2 :].count("A")
    (0, 1)
    """
    items = (*samples, *table.duplicates)
    best: Order = ()
    for _ in range(RING_TRIES):
        ring = tuple(level for _ in range(table.laps) for level in rng.sample(items, len(items)))
        if not best or count_beside(ring) < count_beside(best):
            best = ring
        if not count_beside(best):
            break
    return best


def count_beside(ring: Sequence[str]) -> int:
    """Return how often a sample stands beside itself around a table.

    Examples
    --------
    >>> count_beside("AABA"), count_beside("ABAB")
    (2, 0)
    """
    return sum(ring[place - 1] == level for place, level in enumerate(ring))
