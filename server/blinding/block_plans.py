"""Serving orders of incomplete blocks: which samples a seat gets, and in which order."""

from collections import Counter
from collections.abc import Sequence
from itertools import combinations, pairwise
from random import Random

from server.blinding.block_counts import check_sizes
from server.blinding.edge_colours import colour_edges
from server.blinding.even_groups import Group, draw_groups
from server.blinding.incomplete_blocks import BlockDesign, find_smallest_design
from server.blinding.williams import draw_williams

Order = tuple[str, ...]

TRIES = 10
"""Ways to order all blocks that are drawn; the one that repeats fewest neighbours is taken."""


def draw_blocks(
    samples: Sequence[str], size: int, seats: int, rounds: int, rng: Random
) -> list[list[Order]]:
    """Draw a block of samples, in serving order, for each seat in each round.

    Parameters
    ----------
    samples : sequence of str
        The samples t, at least 2.
    size : int
        Samples in a block k, from 2 to t; blocks of all samples are a Williams design.
    seats : int
        Number of seats, at least 1.
    rounds : int
        Blocks a seat, at least 1.
    rng : random.Random
        Source of chance.

    Returns
    -------
    list of list of tuple of str
        Indexed ``[seat][round][position]``. As many complete balanced designs as the
        panel has servings for, and other groups for the rest: if the servings are a
        multiple of the blocks of the smallest design, samples and pairs come equally
        often. Otherwise samples still do or differ by 1, and `check_balance` counts
        how far pairs differ. The counts of one sample at two positions differ by at
        most 1, whatever the panel.

    Raises
    ------
    ValueError
        If a sample comes twice or a number is out of range.

    Notes
    -----
    The samples' places in each design and the order of its blocks are drawn. In each
    round the seats swap blocks as long as that lets one taste its samples more evenly
    over its rounds. Positions are colours of the links between blocks and samples, with
    the links of a sample taken in groups of k: each block has every colour once, each
    group no colour twice.

    Examples
    --------
    >>> plan = draw_blocks("ABCD", 3, seats=4, rounds=1, rng=Random(1))
    >>> sorted("".join(sorted(order)) for (order,) in plan)
    ['ABC', 'ABD', 'ACD', 'BCD']
    """
    _check(samples, size, seats, rounds)
    if size == len(samples):
        return draw_williams(samples, seats, rounds, rng)
    design = find_smallest_design(len(samples), size)
    whole = seats * rounds // design.counts.blocks if design else 0
    groups = [group for _ in range(whole) if design for group in _rename(design, samples, rng)]
    had = _share_out(groups, seats)
    rest = [serving % seats for serving in range(len(groups), seats * rounds)]
    groups += draw_groups(samples, size, rest, had, rng)
    orders = min((_order_groups(groups, rng) for _ in range(TRIES)), key=_count_repeats)
    return [orders[seat::seats] for seat in range(seats)]


def _check(samples: Sequence[str], size: int, seats: int, rounds: int) -> None:
    check_sizes(len(samples), size)
    if len(set(samples)) < len(samples):
        raise ValueError(f"samples must be different, got {list(samples)}")
    for name, value in (("seats", seats), ("rounds", rounds)):
        if value < 1:
            raise ValueError(f"{name} must be at least 1, got {value}")


def _rename(design: BlockDesign, samples: Sequence[str], rng: Random) -> list[Group]:
    """Return the blocks of a design in drawn order, with drawn places for the samples."""
    names = rng.sample(samples, len(samples))
    blocks = rng.sample(design.blocks, len(design.blocks))
    return [tuple(sorted(names[one] for one in block)) for block in blocks]


def _share_out(groups: list[Group], seats: int) -> list[Counter[str]]:
    """Swap groups within rounds while that is more even; return what each seat has had."""
    had: list[Counter[str]] = [Counter() for _ in range(seats)]
    for start in range(0, len(groups), seats):
        turn = groups[start : start + seats]
        while any(_swap(turn, had, *pair) for pair in combinations(range(len(turn)), 2)):
            pass
        for seat, group in enumerate(turn):
            had[seat].update(group)
        groups[start : start + seats] = turn
    return had


def _swap(turn: list[Group], had: Sequence[Counter[str]], one: int, other: int) -> bool:
    """Swap the groups of two seats if that repeats fewer samples, and say so."""

    def repeats(seat: int, group: Group) -> int:
        return sum(had[seat][name] for name in group)

    now = repeats(one, turn[one]) + repeats(other, turn[other])
    if repeats(one, turn[other]) + repeats(other, turn[one]) >= now:
        return False
    turn[one], turn[other] = turn[other], turn[one]
    return True


def _order_groups(groups: Sequence[Group], rng: Random) -> list[Order]:
    """Draw a serving order for each group, with positions as even as they can be."""
    size = len(groups[0])
    turns: Counter[str] = Counter()
    edges = []
    for place in rng.sample(range(len(groups)), len(groups)):
        for name in groups[place]:
            edges.append((place, (name, turns[name] // size)))
            turns[name] += 1
    orders = [[""] * size for _ in groups]
    for (place, (name, _)), position in zip(edges, colour_edges(edges, size, rng), strict=True):
        orders[place][position] = name
    return [tuple(order) for order in orders]


def _count_repeats(orders: Sequence[Order]) -> int:
    """Return how unevenly samples follow each other: the sum of the squared counts."""
    counts = Counter(pair for order in orders for pair in pairwise(order))
    return sum(count**2 for count in counts.values())
