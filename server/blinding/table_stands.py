"""What stands under one code: a cup, or bowls side by side."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from server.blinding.plans import Purpose
from server.blinding.sealed import Layout, PlannedCup, PlannedServing


@dataclass(frozen=True)
class Stand:
    """What stands under one code of a serving.

    Attributes
    ----------
    code
        Its code.
    place
        Which code of the serving it is, in the order of tasting, from 1.
    cups
        Its bowls in the order of tasting.
    """

    code: str
    place: int
    cups: tuple[PlannedCup, ...]

    @property
    def bowls(self) -> tuple[int, ...]:
        """Numbers of its bowls, rising; (0,) if it is a single cup."""
        return tuple(sorted(cup.bowl for cup in self.cups))


def list_stands(serving: PlannedServing) -> tuple[Stand, ...]:
    """List what stands before a seat, code by code in the order of tasting.

    Examples
    --------
    >>> from uuid import UUID
    >>> cups = tuple(
    ...     PlannedCup(id=UUID(int=n), code=code, position=n, bowl=bowl)
    ...     for n, (code, bowl) in enumerate([("385", 2), ("385", 1), ("417", 1)], 1)
    ... )
    >>> serving = PlannedServing(
    ...     id=UUID(int=9), seat=1, sitting=1, round=1, comparison="test", cups=cups
    ... )
    >>> [(stand.code, stand.place, stand.bowls) for stand in list_stands(serving)]
    [('385', 1, (1, 2)), ('417', 2, (1,))]
    """
    runs = groupby(serving.cups, key=lambda cup: cup.code)
    return tuple(Stand(code, place, tuple(cups)) for place, (code, cups) in enumerate(runs, 1))


def is_scored(layout: Layout, serving: PlannedServing) -> bool:
    """Tell whether a serving is a table to be scored, not a warm-up cup."""
    return layout.purpose(serving) == Purpose.TEST


def list_scored(layout: Layout, *, spare: bool | None = None) -> list[PlannedServing]:
    """List the servings to be scored; those of spare or of other seats alone, if asked."""
    spares = {seat.number for seat in layout.seats if seat.spare}
    return [
        serving
        for serving in layout.servings
        if is_scored(layout, serving) and spare in (None, serving.seat in spares)
    ]


def list_ring(servings: Iterable[PlannedServing]) -> tuple[Stand, ...]:
    """List the codes around a shared table, as the first of its seats walks.

    Parameters
    ----------
    servings : iterable of PlannedServing
        All scored servings of one sitting, at least one.
    """
    return list_stands(min(servings, key=lambda serving: serving.seat))
