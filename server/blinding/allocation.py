"""Pots: how many brews a round needs, and which brew slot fills which cup."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import permutations
from math import ceil
from random import Random
from typing import Protocol

from server.blinding.plans import Pots

WEIGHTS = 10_000, 100, 10, 1
"""What counts first when a slot is chosen: all its cups, their roles, positions, then both."""


@dataclass(frozen=True)
class RoundPots:
    """What one sample needs in one round; every sample of a tasting gets as many.

    Attributes
    ----------
    slots
        Brew slots of the sample in the round.
    brews
        Brews that make up one slot; more than one is a blend.
    cups
        Cups that one slot fills at most.
    """

    slots: int
    brews: int
    cups: int

    @property
    def pots(self) -> int:
        """Pots of one sample to brew for one round."""
        return self.slots * self.brews


class TableSize(Protocol):
    """What the number of pots follows from; a plan has it, and so has its form."""

    @property
    def assessors(self) -> int:
        """Seats that count."""
        ...

    @property
    def spare_seats(self) -> int:
        """Seats in reserve; every seat is served in every round."""
        ...

    @property
    def cup_ml(self) -> Decimal:
        """Portion of a cup, in millilitres."""
        ...

    @property
    def pot_ml(self) -> Decimal:
        """Usable volume of a pot; what is drawn off for readings is not usable."""
        ...

    @property
    def pots(self) -> Pots:
        """Separate brews, one blend of at least two brews, or a single pot."""
        ...


def plan_pots(table: TableSize, orders: Sequence[str]) -> RoundPots:
    """Return the brew slots of a sample that are enough for a round, whatever is drawn.

    Parameters
    ----------
    table : TableSize
        Seats and volumes.
    orders : sequence of str
        The full set of the method.

    Returns
    -------
    RoundPots
        At least as many slots as a serving has like cups (two, in a triangle),
        or one blend, or one pot. It follows from numbers alone, so it gives no key away.

    Raises
    ------
    ValueError
        If a pot does not fill a single cup, or a single pot not all of them.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> table = SimpleNamespace(
    ...     assessors=18, spare_seats=0, cup_ml=Decimal(40), pot_ml=Decimal(250),
    ...     pots=Pots.SEPARATE,
    ... )
    >>> plan_pots(table, ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB"))
    RoundPots(slots=5, brews=1, cups=6)
    """
    cup_ml, pot_ml = table.cup_ml, table.pot_ml
    _check_volumes(cup_ml, pot_ml)
    cups = max_cups(orders, table.assessors) + max_cups(orders, table.spare_seats)
    if table.pots == Pots.BLEND:
        brews = max(2, ceil(cups * cup_ml / pot_ml))
        return RoundPots(1, brews, int(brews * pot_ml // cup_ml))
    capacity = int(pot_ml // cup_ml)
    if table.pots == Pots.SINGLE:
        if cups > capacity:
            raise ValueError(f"pot_ml must fill {cups} cups of {cup_ml} mL, got {pot_ml}")
        return RoundPots(1, 1, capacity)
    return RoundPots(max(2, _count_alike(orders), ceil(cups / capacity)), 1, capacity)


def plan_null_pots(table: TableSize, orders: Sequence[str]) -> RoundPots:
    """Return what each of the two brews of a null control needs.

    All like cups of a serving come from one slot, and its odd cup from another; where
    a slot does not fill the round, several pairs of slots share the servings.
    Parameters and errors are those of `plan_pots`.
    """
    if table.pots == Pots.BLEND:
        return plan_pots(table, orders)
    _check_volumes(table.cup_ml, table.pot_ml)
    capacity, alike = int(table.pot_ml // table.cup_ml), _count_alike(orders)
    if alike > capacity:
        raise ValueError(f"pot_ml must fill {alike} cups of {table.cup_ml} mL, got {table.pot_ml}")
    pairs = 1
    while alike * sum(ceil(n / pairs) for n in (table.assessors, table.spare_seats)) > capacity:
        pairs += 1
        if pairs > table.assessors + table.spare_seats:
            raise ValueError(f"pot_ml must fill the cups of two servings, got {table.pot_ml}")
    return RoundPots(pairs, 1, capacity)


def _check_volumes(cup_ml: Decimal, pot_ml: Decimal) -> None:
    if not 0 < cup_ml <= pot_ml:
        raise ValueError(f"cup_ml must be above 0 and at most pot_ml ({pot_ml}), got {cup_ml}")


def _count_alike(orders: Sequence[str]) -> int:
    """Return the most like cups a serving may have."""
    return max(count for order in orders for count in Counter(order).values())


def max_cups(orders: Sequence[str], seats: int) -> int:
    """Return the most cups of one sample that a round with balanced orders can need.

    Examples
    --------
    >>> triangle = ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB")
    >>> [max_cups(triangle, seats) for seats in (1, 3, 6, 18)]
    [2, 6, 9, 27]
    """
    whole, rest = divmod(seats, len(orders))
    counts = [[order.count(level) for order in orders] for level in set("".join(orders))]
    return max(sum(c) * whole + sum(sorted(c, reverse=True)[:rest]) for c in counts)


def allocate_slots(
    orders: Sequence[str],
    slots: Mapping[str, Sequence[str]],
    capacity: int,
    rng: Random,
    *,
    share: bool = False,
    spares: int = 0,
) -> list[tuple[str, ...]]:
    """Decide which brew slot fills each cup of one round.

    Parameters
    ----------
    orders : sequence of str
        One serving order for each serving of the round, spare servings last.
    slots : mapping of str to sequence of str
        Level to the names of its slots in this round.
    capacity : int
        Cups that one slot fills at most.
    rng : random.Random
        Source of chance.
    share : bool
        Like cups of a serving may come from one slot.
    spares : int
        How many of the last servings are in reserve. They are filled last, so
        that the others are balanced among themselves.

    Returns
    -------
    list of tuple of str
        For each serving the slot names from left to right. Within a sample the
        slots fill equally many cups or differ by one; then roles (odd or like cups,
        cups of a pair or of three), then positions are spread as evenly as a
        cup-by-cup choice allows. Slots of a single cup are taken in the order of the
        servings: nothing is shared, so there is nothing to spread.

    Raises
    ------
    ValueError
        If the slots cannot fill the cups, or a serving has more like cups than
        its sample has slots.

    Notes
    -----
    Servings are taken in random order; each takes the slots that have filled
    least, ties drawn. No step knows one slot of a sample from another, so for a
    given cup each of them is equally likely. Where a slot is one cup, its name follows
    from the serving orders, and says no more than they do.

    Examples
    --------
    >>> names = {"A": ("A1", "A2"), "B": ("B1", "B2")}
    >>> filled = allocate_slots(["AAB", "BAB"], names, 6, Random(3))
    >>> [sorted(serving) for serving in filled]
    [['A1', 'A2', 'B1'], ['A2', 'B1', 'B2']]
    """
    _check(orders, slots, capacity, share)
    if capacity == 1:
        fresh = {level: iter(names) for level, names in slots.items()}
        return [tuple(next(fresh[level]) for level in order) for order in orders]
    counted = range(len(orders) - spares)
    turns = rng.sample(counted, len(counted))
    turns += rng.sample(range(len(counted), len(orders)), spares)
    filled: list[tuple[str, ...]] = [()] * len(orders)
    used: Counter[tuple[object, ...]] = Counter()
    for turn in turns:
        filled[turn] = _fill_serving(orders[turn], slots, used, rng, share)
    return filled


def _check(
    orders: Sequence[str], slots: Mapping[str, Sequence[str]], capacity: int, share: bool
) -> None:
    needed = Counter("".join(orders))
    for level, cups in sorted(needed.items()):
        names = slots.get(level, ())
        if cups > capacity * len(names):
            raise ValueError(
                f"capacity: {cups} cups of {level} do not fit {len(names)} slots of {capacity} cups"
            )
        alike = max(order.count(level) for order in orders)
        if not share and alike > len(names):
            raise ValueError(
                f"slots: {alike} like cups of {level} need as many slots, got {len(names)}"
            )


def _fill_serving(
    order: str,
    slots: Mapping[str, Sequence[str]],
    used: Counter[tuple[object, ...]],
    rng: Random,
    share: bool,
) -> tuple[str, ...]:
    """Choose the slots of one serving and count them as used."""
    filled = [""] * len(order)
    for level in sorted(set(order)):
        places = [place for place, one in enumerate(order, 1) if one == level]
        alike = len(places)
        for group in [[place] for place in places] if share else [places]:
            names = _choose_slots(group, alike, slots[level], used, rng)
            for place, name in zip(group, names, strict=True):
                filled[place - 1] = name
                used.update(_tallies(name, place, alike))
    return tuple(filled)


def _choose_slots(
    places: Sequence[int],
    alike: int,
    names: Sequence[str],
    used: Counter[tuple[object, ...]],
    rng: Random,
) -> tuple[str, ...]:
    """Choose a different slot for each of some like cups, least used first."""

    def cost(choice: tuple[str, ...]) -> int:
        return sum(
            weight * used[tally]
            for name, place in zip(choice, places, strict=True)
            for weight, tally in zip(WEIGHTS, _tallies(name, place, alike), strict=True)
        )

    least = sorted(rng.sample(names, len(names)), key=lambda name: used[(name,)])
    level_with_last = used[(least[len(places) - 1],)]
    pool = [name for name in least if used[(name,)] <= level_with_last]
    return min(permutations(pool, len(places)), key=cost)


def _tallies(name: str, place: int, alike: int) -> tuple[tuple[object, ...], ...]:
    """Name the counts a filled cup adds to: slot; with role; with position; with both.

    A cup's role is how many of its serving are alike: 1 is the odd cup of a triad.
    """
    return (name,), (name, f"of {alike}"), (name, place), (name, place, alike)
