"""What a drawn table balances, counted, and which rules of blinding it breaks, if any."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise, permutations

from server.blinding.balance import Aspect, Table
from server.blinding.efficiency import find_efficiency
from server.blinding.plans import TablePlan
from server.blinding.sealed import PlannedServing, SealedTasting
from server.blinding.table_plans import get_table, is_complete, list_fixed
from server.blinding.table_stands import list_scored, list_stands

Order = tuple[str, ...]


class Balanced(StrEnum):
    """What the draw sees to; all else falls as it may."""

    POSITIONS = "positions only"
    NEIGHBOURS = "positions and neighbours"


@dataclass(frozen=True)
class TableBalance:
    """Counts over the seats that count and all sittings.

    Attributes
    ----------
    design
        What was balanced by design. Whoever walks around a shared table meets each code
        after one of the two beside it: positions only.
    levels
        The samples.
    servings
        Sample to the number of servings with it.
    seats
        Sample to the least and the most servings with it that a seat has.
    positions
        Sample to how often it stands at each place, the first code first.
    neighbours
        Sample to each other one to how often that comes right after it.
    pairs
        Sample to each other one to the number of servings with both.
    beside_itself
        How often a sample comes right after itself under another code.
    ranges
        Least and most count of each aspect among samples that are served alike, which
        leaves out duplicated ones and, in blocks, a reference; it is balanced if they are
        the same. An aspect of which nothing can be counted is missing.
    efficiency
        Average efficiency factor of comparisons within servings (`find_efficiency`): 1 if
        every serving holds all samples. None if some samples cannot be compared so.
    """

    design: Balanced
    levels: tuple[str, ...]
    servings: dict[str, int]
    seats: dict[str, tuple[int, int]]
    positions: dict[str, tuple[int, ...]]
    neighbours: Table
    pairs: Table
    beside_itself: int
    ranges: dict[Aspect, tuple[int, int]]
    efficiency: float | None


def read_orders(
    sealed: SealedTasting, servings: Iterable[PlannedServing]
) -> list[tuple[PlannedServing, Order]]:
    """Return servings with the samples under their codes, in the order of tasting."""
    samples = {slot.name: slot.sample for slot in sealed.slots}
    return [
        (serving, tuple(samples[sealed.key[one.cups[0].id]] for one in list_stands(serving)))
        for serving in servings
    ]


def measure_table_balance(sealed: SealedTasting) -> TableBalance:
    """Count how evenly a drawn table serves its samples.

    Parameters
    ----------
    sealed : SealedTasting
        With a table and its key. A plan may be judged by any draw of it: what is balanced
        by design comes out the same in all.

    Returns
    -------
    TableBalance

    Raises
    ------
    ValueError
        If it has no table.
    """
    levels = tuple(sample.level for sample in sealed.samples)
    table = get_table(sealed.plan)
    rows = read_orders(sealed, list_scored(sealed, spare=False))
    orders = [order for _, order in rows]
    sets = [tuple(sorted(set(order))) for order in orders]
    positions = count_positions(levels, orders)
    neighbours = _tabulate(levels, (pair for order in orders for pair in pairwise(order)))
    pairs = _tabulate(levels, (pair for one in sets for pair in permutations(one, 2)))
    servings = {level: sum(level in one for one in sets) for level in levels}
    followed = not table.shared and is_complete(table, levels) and not table.duplicates
    return TableBalance(
        design=Balanced.NEIGHBOURS if followed and table.laps == 1 else Balanced.POSITIONS,
        levels=levels,
        servings=servings,
        seats=_count_by_seat(levels, rows),
        positions=positions,
        neighbours=neighbours,
        pairs=pairs,
        beside_itself=sum(one == two for order in orders for one, two in pairwise(order)),
        ranges=_find_ranges(
            _list_alike(table, levels), orders, servings, positions, neighbours, pairs
        ),
        efficiency=find_efficiency(levels, sets),
    )


def count_positions(levels: Sequence[str], orders: Sequence[Order]) -> dict[str, tuple[int, ...]]:
    """Return how often each sample stands at each place.

    Examples
    --------
    >>> count_positions("AB", [("A", "B", "A"), ("B", "A", "A")])
    {'A': (1, 1, 2), 'B': (1, 1, 0)}
    """
    places = Counter((level, place) for order in orders for place, level in enumerate(order))
    longest = max(map(len, orders), default=0)
    return {level: tuple(places[level, place] for place in range(longest)) for level in levels}


def _tabulate(levels: Sequence[str], pairs: Iterable[tuple[str, str]]) -> Table:
    """Count ordered pairs of different samples, those that never come included."""
    counts = Counter(pairs)
    return {one: {two: counts[one, two] for two in levels if two != one} for one in levels}


def _count_by_seat(
    levels: Sequence[str], rows: Sequence[tuple[PlannedServing, Order]]
) -> dict[str, tuple[int, int]]:
    had = Counter((serving.seat, level) for serving, order in rows for level in set(order))
    seats = sorted({serving.seat for serving, _ in rows})
    counts = {level: [had[seat, level] for seat in seats] for level in levels}
    return {level: (min(mine), max(mine)) for level, mine in counts.items()}


def _list_alike(table: TablePlan, levels: Sequence[str]) -> list[str]:
    """List the samples that a plan serves alike."""
    apart = table.duplicates if is_complete(table, levels) else list_fixed(table)
    return [level for level in levels if level not in apart]


def _find_ranges(
    alike: Sequence[str],
    orders: Sequence[Order],
    servings: dict[str, int],
    positions: dict[str, tuple[int, ...]],
    neighbours: Table,
    pairs: Table,
) -> dict[Aspect, tuple[int, int]]:
    both = list(permutations(alike, 2))
    counted: dict[Aspect, list[int]] = {
        Aspect.SIZES: [len(order) for order in orders],
        Aspect.SERVINGS: [servings[level] for level in alike],
        Aspect.POSITIONS: [n for level in alike for n in positions[level]],
        Aspect.NEIGHBOURS: [neighbours[one][two] for one, two in both],
        Aspect.PAIRS: [pairs[one][two] for one, two in both],
    }
    return {aspect: (min(counts), max(counts)) for aspect, counts in counted.items() if counts}
