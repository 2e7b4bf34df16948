"""Balance of any plan of serving orders: what is served how often, where, after and with what."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise, permutations

from server.blinding.efficiency import find_efficiency

Order = Sequence[str]
Table = dict[str, dict[str, int]]

NOT_CONNECTED = "the orders do not tie all samples together, so some cannot be compared"


class Aspect(StrEnum):
    """What can be equal all over a plan."""

    SIZES = "samples in an order"
    SERVINGS = "orders with a sample"
    POSITIONS = "a sample at a position"
    NEIGHBOURS = "a sample right after another"
    PAIRS = "two samples in an order"


@dataclass(frozen=True)
class PlanBalance:
    """Counts of a plan.

    Attributes
    ----------
    samples
        The samples, t of them.
    orders
        Number of serving orders.
    sizes
        Samples in an order to the number of orders as long.
    servings
        Sample to the number of orders with it.
    positions
        Sample to how often it stands at each position, the first first.
    neighbours
        Sample to each other one to how often that is served right after it.
    pairs
        Sample to each other one to the number of orders with both.
    ranges
        Least and most count of each aspect; it is balanced if they are the same.
    efficiency
        Average efficiency factor (`find_efficiency`): 1 for complete orders, less for
        shorter ones. Nothing if a pair of samples cannot be compared within orders.
    notes
        Why there is no efficiency.
    """

    samples: tuple[str, ...]
    orders: int
    sizes: dict[int, int]
    servings: dict[str, int]
    positions: dict[str, tuple[int, ...]]
    neighbours: Table
    pairs: Table
    ranges: dict[Aspect, tuple[int, int]]
    efficiency: float | None
    notes: tuple[str, ...]

    @property
    def uneven(self) -> tuple[Aspect, ...]:
        """Aspects that are not balanced."""
        return tuple(aspect for aspect, (least, most) in self.ranges.items() if least < most)


def check_balance(samples: Sequence[str], orders: Sequence[Order]) -> PlanBalance:
    """Count how evenly a plan serves its samples.

    Parameters
    ----------
    samples : sequence of str
        All samples t, at least 2, so that one that is never served counts as 0.
    orders : sequence of sequence of str
        The serving orders of all seats and rounds, at least one; their number and
        length are free.

    Returns
    -------
    PlanBalance

    Raises
    ------
    ValueError
        If there are fewer than two samples or one comes twice, there is no order, or an
        order holds an unknown sample or one twice.

    Examples
    --------
    >>> found = check_balance("ABC", ["ABC", "BCA", "CAB"])
    >>> [aspect.name for aspect in found.uneven], found.positions["A"]
    (['NEIGHBOURS'], (1, 1, 1))
    >>> found.neighbours["A"], round(found.efficiency, 12)
    ({'B': 2, 'C': 0}, 1.0)
    """
    _check(samples, orders)
    names = tuple(samples)
    lengths = sorted(len(order) for order in orders)
    positions = {name: _count_places(name, orders, lengths[-1]) for name in names}
    servings = {name: sum(counts) for name, counts in positions.items()}
    neighbours = _tabulate(names, (pair for order in orders for pair in pairwise(order)))
    pairs = _tabulate(names, (pair for order in orders for pair in permutations(order, 2)))
    counted: dict[Aspect, list[int]] = {
        Aspect.SIZES: lengths,
        Aspect.SERVINGS: list(servings.values()),
        Aspect.POSITIONS: [n for counts in positions.values() for n in counts],
        Aspect.NEIGHBOURS: [n for row in neighbours.values() for n in row.values()],
        Aspect.PAIRS: [n for row in pairs.values() for n in row.values()],
    }
    efficiency = find_efficiency(names, orders)
    return PlanBalance(
        samples=names,
        orders=len(orders),
        sizes=dict(Counter(lengths)),
        servings=servings,
        positions=positions,
        neighbours=neighbours,
        pairs=pairs,
        ranges={aspect: (min(counts), max(counts)) for aspect, counts in counted.items()},
        efficiency=efficiency,
        notes=(NOT_CONNECTED,) if efficiency is None else (),
    )


def _check(samples: Sequence[str], orders: Sequence[Order]) -> None:
    if len(samples) < 2 or len(set(samples)) < len(samples):
        raise ValueError(f"samples must be two or more different ones, got {list(samples)}")
    if not orders:
        raise ValueError(f"orders must not be empty, got {list(orders)}")
    for order in orders:
        if not order or len(set(order)) < len(order) or not set(order) <= set(samples):
            raise ValueError(f"orders must hold known samples, each once, got {list(order)}")


def _count_places(name: str, orders: Sequence[Order], longest: int) -> tuple[int, ...]:
    """Return how often a sample stands at each position."""
    counts = Counter(order.index(name) for order in orders if name in order)
    return tuple(counts[place] for place in range(longest))


def _tabulate(names: Sequence[str], pairs: Iterable[tuple[str, str]]) -> Table:
    """Count ordered pairs of different samples, those that never come included."""
    counts = Counter(pairs)
    return {one: {other: counts[one, other] for other in names if other != one} for one in names}
