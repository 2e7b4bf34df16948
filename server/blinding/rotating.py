"""A shared table: everybody walks around the same bowls, from different starts both ways."""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

Order = tuple[str, ...]


@dataclass(frozen=True)
class TableRound:
    """Bowls on a table and how the seats walk around them.

    Attributes
    ----------
    table
        The samples as they stand around the table, one bowl each.
    starts
        For each seat the place of its first bowl, from 0.
    steps
        For each seat 1 or -1: the direction in which it goes on.
    """

    table: Order
    starts: tuple[int, ...]
    steps: tuple[int, ...]

    @property
    def orders(self) -> list[Order]:
        """For each seat its samples in serving order."""
        many = len(self.table)
        return [
            tuple(self.table[(start + step * turn) % many] for turn in range(many))
            for start, step in zip(self.starts, self.steps, strict=True)
        ]


def draw_rotation(samples: Sequence[str], seats: int, rounds: int, rng: Random) -> list[TableRound]:
    """Draw how a panel walks around a shared table in each round.

    Parameters
    ----------
    samples : sequence of str
        The samples t, at least 2.
    seats : int
        Number of seats, at least 1.
    rounds : int
        Number of tables, one after another, at least 1.
    rng : random.Random
        Source of chance: the order of the bowls, drawn anew for each round.

    Returns
    -------
    list of TableRound
        Over t seats (t even) or 2 t seats (t odd) each sample stands at each position
        equally often. Position is all that is balanced: whoever walks around a
        table meets each bowl after one of the two beside it, so only 2 t of the
        t (t - 1) ordered neighbours of samples ever come in a round.
        `check_balance` counts them.

    Raises
    ------
    ValueError
        If there are fewer than two samples, one comes twice, or a number is below 1.

    Notes
    -----
    Seat i starts at bowl i and walks the other way round than its neighbour; after a
    lap of t seats, and in the next round, the directions change places. With t even
    those who walk up stand at bowls of one parity and those who walk down at the
    others, turn after turn, so that t seats never meet at a bowl. With t odd some do.
    Common practice at a shared table, no source; the count of positions is checked.

    Examples
    --------
    >>> (round_,) = draw_rotation("ABCD", seats=4, rounds=1, rng=Random(1))
    >>> round_.starts, round_.steps
    ((0, 1, 2, 3), (1, -1, 1, -1))
    >>> [sorted(bowls) for bowls in zip(*round_.orders)] == [["A", "B", "C", "D"]] * 4
    True
    """
    _check(samples, seats, rounds)
    many = len(samples)
    starts = tuple(seat % many for seat in range(seats))
    laps = [seat // many for seat in range(seats)]
    return [
        TableRound(
            table=tuple(rng.sample(samples, many)),
            starts=starts,
            steps=tuple(
                1 if (start + lap + turn) % 2 == 0 else -1
                for start, lap in zip(starts, laps, strict=True)
            ),
        )
        for turn in range(rounds)
    ]


def _check(samples: Sequence[str], seats: int, rounds: int) -> None:
    if len(samples) < 2 or len(set(samples)) < len(samples):
        raise ValueError(f"samples must be two or more different ones, got {list(samples)}")
    for name, value in (("seats", seats), ("rounds", rounds)):
        if value < 1:
            raise ValueError(f"{name} must be at least 1, got {value}")
