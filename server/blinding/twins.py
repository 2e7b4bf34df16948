"""Orders in which a sample may come twice: positions exactly even, twins kept apart."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from random import Random

from server.blinding.edge_colours import colour_edges

Order = tuple[str, ...]
Node = tuple[str, int]
"""A sample and one of its lots: as many of its cups as a serving has positions."""

TRIES = 8
"""Draws at most, until one has no twins side by side."""
PATIENCE = 40
"""Exchanges that are tried for each serving before twins are left side by side."""
MOST_EVENED = 600
"""Exchanges that are tried after that to make neighbours more even."""


def draw_apart(groups: Sequence[Sequence[str]], rng: Random) -> list[Order]:
    """Draw a serving order for each group of samples, which may hold a sample twice.

    Parameters
    ----------
    groups : sequence of sequence of str
        The samples of each serving, equally many in all.
    rng : random.Random
        Source of chance.

    Returns
    -------
    list of tuple of str
        The counts of one sample at two positions differ by at most 1 over all orders.
        With four or more cups in an order hardly ever do twins stand side by side; with
        three (A, A, B) they sometimes must, or B would always stand in the middle.
        Neighbours are as even as found.

    Raises
    ------
    ValueError
        If the groups differ in size.

    Notes
    -----
    Positions are colours of the links between servings and lots of a sample's cups: each
    serving has every colour once, no lot a colour twice. Then two positions are exchanged
    in as few servings as keep each sample's counts at both within 1 of each other; such
    exchanges are tried at random and kept unless they make the order worse.

    Examples
    --------
    >>> orders = draw_apart(["AABC"] * 4, Random(1))
    >>> [[order[place] for order in orders].count("A") for place in range(4)]
    [2, 2, 2, 2]
    >>> any("AA" in "".join(order) for order in orders)
    False
    """
    if len({len(group) for group in groups}) > 1:
        raise ValueError(f"groups must be equally large, got {[len(one) for one in groups]}")
    if not groups:
        return []
    boards: list[_Board] = []
    while len(boards) < TRIES and all(board.twins for board in boards):
        boards.append(_Board(groups, rng))
        boards[-1].improve()
    return min(boards, key=lambda board: board.faults).orders


class _Board:
    """Orders as they stand, and what of them is worth a change."""

    def __init__(self, groups: Sequence[Sequence[str]], rng: Random) -> None:
        self.rng = rng
        self.rows = _colour(groups, rng)
        self.places = Counter(
            (level, place) for row in self.rows for place, level in enumerate(row)
        )
        self.counts: Counter[tuple[str, str]] = Counter()
        self.twins = self.uneven = 0
        for row in self.rows:
            self._count(pairwise(row), 1)

    @property
    def faults(self) -> tuple[int, int]:
        """Twins side by side, then the sum of the squared counts of neighbours."""
        return self.twins, self.uneven

    @property
    def orders(self) -> list[Order]:
        """The samples of each serving in order."""
        return [tuple(row) for row in self.rows]

    def improve(self) -> None:
        """Try exchanges of two positions: those that part twins, then any."""
        size, many = len(self.rows[0]), len(self.rows)
        tries = PATIENCE * many
        while self.twins and tries and size > 1:
            self._try(*self._find_twins())
            tries -= 1
        for _ in range(min(PATIENCE * many, MOST_EVENED) if size > 1 else 0):
            self._try(self.rng.randrange(many), self.rng.randrange(size))

    def _find_twins(self) -> tuple[int, int]:
        return self.rng.choice(
            [
                (number, place + self.rng.randrange(2))
                for number, row in enumerate(self.rows)
                for place, (left, right) in enumerate(pairwise(row))
                if left == right
            ]
        )

    def _find_chain(self, row: int, first: int, second: int) -> list[int]:
        """Return servings, this one first, whose exchange leaves positions as even.

        One sample goes from the first position to the second and another one back; a
        third takes back its place elsewhere, and so on, until nobody has lost a place,
        or those who have had stood there once more than at the other.
        """
        leaver, comer = self.rows[row][first], self.rows[row][second]
        came: dict[str, int] = {comer: row}
        ends = [comer]
        steps: dict[str, list[int]] = {}
        while ends and leaver != comer:
            end = ends.pop(0)
            if end == leaver or self._may_shift(leaver, end, first, second):
                return self._trace(came, end, comer, first)
            steps = steps or self._list_steps(row, first)
            for other in steps.get(end, ()):
                there = self.rows[other][second]
                if there not in came:
                    came[there] = other
                    ends.append(there)
        return []

    def _list_steps(self, row: int, first: int) -> dict[str, list[int]]:
        """Return the other servings in drawn order by their sample at a position."""
        steps: dict[str, list[int]] = {}
        for other in self.rng.sample(range(len(self.rows)), len(self.rows)):
            if other != row:
                steps.setdefault(self.rows[other][first], []).append(other)
        return steps

    def _may_shift(self, leaver: str, comer: str, first: int, second: int) -> bool:
        return (
            self.places[leaver, first] > self.places[leaver, second]
            and self.places[comer, second] > self.places[comer, first]
        )

    def _trace(self, came: Mapping[str, int], end: str, comer: str, first: int) -> list[int]:
        """Go back from the last sample of a chain to its first serving."""
        chain = []
        while end != comer:
            chain.append(came[end])
            end = self.rows[came[end]][first]
        return [came[comer], *chain]

    def _try(self, row: int, first: int) -> None:
        """Exchange a position of a serving with another one; undo it if that is worse.

        As long as there are twins side by side, their number alone decides.
        """
        second = self.rng.choice([n for n in range(len(self.rows[row])) if n != first])
        rows = self._find_chain(row, first, second)
        before = self.faults
        self._exchange(rows, first, second)
        if self.twins > before[0] or (not before[0] and self.faults > before):
            self._exchange(rows, first, second)

    def _exchange(self, rows: Sequence[int], first: int, second: int) -> None:
        last = len(self.rows[0]) - 1
        near = sorted({n for one in (first, second) for n in (one - 1, one) if 0 <= n < last})
        for row in (self.rows[number] for number in rows):
            self._count(((row[place], row[place + 1]) for place in near), -1)
            self.places.subtract([(row[first], first), (row[second], second)])
            row[first], row[second] = row[second], row[first]
            self.places.update([(row[first], first), (row[second], second)])
            self._count(((row[place], row[place + 1]) for place in near), 1)

    def _count(self, pairs: Iterable[tuple[str, str]], step: int) -> None:
        """Count neighbours in or out: twins, and others by the square of their count."""
        for pair in pairs:
            if pair[0] == pair[1]:
                self.twins += step
            else:
                self.uneven += 2 * step * self.counts[pair] + 1
                self.counts[pair] += step


def _colour(groups: Sequence[Sequence[str]], rng: Random) -> list[list[str]]:
    """Draw orders with even positions, whatever stands side by side."""
    size = len(groups[0])
    turns: Counter[str] = Counter()
    edges: list[tuple[int, Node]] = []
    for row in rng.sample(range(len(groups)), len(groups)):
        for level in groups[row]:
            edges.append((row, (level, turns[level] // size)))
            turns[level] += 1
    rows = [[""] * size for _ in groups]
    for (row, (level, _)), place in zip(edges, colour_edges(edges, size, rng), strict=True):
        rows[row][place] = level
    return rows
