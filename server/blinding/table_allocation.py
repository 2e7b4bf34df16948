"""Which pot fills which cup of a scored table's sitting."""

from collections import Counter
from collections.abc import Mapping, Sequence
from random import Random

WEIGHTS = 100, 1
"""What counts when a pot is chosen: all its cups, then those at the same place."""

Filled = Sequence[tuple[str, int]]
"""The cups of a serving: the sample of each, and the place of its code."""


def allocate_cups(
    tables: Sequence[Filled],
    slots: Mapping[str, Sequence[str]],
    rng: Random,
    *,
    share: bool = False,
    spares: int = 0,
) -> list[tuple[str, ...]]:
    """Decide which brew slot fills each cup of one sitting.

    Parameters
    ----------
    tables : sequence of sequence of (str, int)
        For each serving, spare ones last, the sample and the place of every cup.
    slots : mapping of str to sequence of str
        Sample to the names of its slots in this sitting.
    rng : random.Random
        Source of chance.
    share : bool
        Like cups of a serving may come from one slot.
    spares : int
        How many of the last servings are in reserve; they are filled last.

    Returns
    -------
    list of tuple of str
        For each serving the slot of every cup. Of one sample the slots fill equally many
        cups or differ by one, and so they do among the servings that are not in reserve;
        then they are spread over places as evenly as a cup-by-cup choice allows.

    Raises
    ------
    ValueError
        If a serving has more like cups than its sample has slots, and none may be shared.

    Notes
    -----
    As in `allocation.allocate_slots` servings are taken in random order, and no step
    knows one slot of a sample from another.

    Examples
    --------
    >>> cups = [("A", 1), ("B", 2), ("A", 3)]
    >>> filled = allocate_cups([cups] * 2, {"A": ("A1", "A2"), "B": ("B1", "B2")}, Random(1))
    >>> [sorted(serving) for serving in filled]
    [['A1', 'A2', 'B2'], ['A1', 'A2', 'B1']]
    """
    counted = len(tables) - spares
    turns = rng.sample(range(counted), counted)
    turns += rng.sample(range(counted, len(tables)), spares)
    filled: list[tuple[str, ...]] = [()] * len(tables)
    used: Counter[tuple[str, int]] = Counter()
    for turn in turns:
        filled[turn] = _fill(tables[turn], slots, used, rng, share)
    return filled


def _fill(
    cups: Filled,
    slots: Mapping[str, Sequence[str]],
    used: Counter[tuple[str, int]],
    rng: Random,
    share: bool,
) -> tuple[str, ...]:
    """Choose the slots of one serving and count them as used; place 0 counts all cups."""
    chosen = [""] * len(cups)
    for level in sorted({level for level, _ in cups}):
        mine = [number for number, (other, _) in enumerate(cups) if other == level]
        pool = _take_least(slots[level], len(mine), used, rng, share)
        for number in rng.sample(mine, len(mine)):
            place = cups[number][1]
            chosen[number] = name = _choose(pool, place, used)
            used.update([(name, 0), (name, place)])
            if not share:
                pool.remove(name)
    return tuple(chosen)


def _choose(pool: Sequence[str], place: int, used: Counter[tuple[str, int]]) -> str:
    return min(pool, key=lambda one: WEIGHTS[0] * used[one, 0] + WEIGHTS[1] * used[one, place])


def _take_least(
    names: Sequence[str],
    many: int,
    used: Counter[tuple[str, int]],
    rng: Random,
    share: bool,
) -> list[str]:
    """Return in drawn order the slots to choose from: those that have filled fewest cups."""
    drawn = rng.sample(names, len(names))
    if share:
        return drawn
    if many > len(names):
        raise ValueError(f"slots: {many} like cups need as many slots, got {len(names)}")
    least = sorted(drawn, key=lambda name: used[name, 0])
    last = used[least[many - 1], 0]
    sure = [name for name in least if used[name, 0] < last]
    return [*sure, *(name for name in least if used[name, 0] == last)]
