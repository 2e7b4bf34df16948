"""Cups that are each a brew of their own, seat by seat, in the order in which they are brewed."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import zip_longest
from uuid import UUID

from server.blinding.sealed import Layout, PlannedServing


@dataclass(frozen=True)
class SingleCup:
    """A cup, the slot that is brewed into it, and its sample."""

    slot: str
    sample: str
    code: str
    position: int


def order_cups(
    layout: Layout, key: Mapping[UUID, str], serving: PlannedServing, turn: int
) -> tuple[SingleCup, ...]:
    """List the cups of a serving as they are brewed.

    The samples take turns, and another one begins at the next serving (``turn``), so that
    neither is always the older.
    """
    samples = {slot.name: slot.sample for slot in layout.slots}
    cups = [
        SingleCup(key[cup.id], samples[key[cup.id]], cup.code, cup.position) for cup in serving.cups
    ]
    levels = sorted({cup.sample for cup in cups}, reverse=turn % 2 == 1)
    queues = [[cup for cup in cups if cup.sample == level] for level in levels]
    return tuple(cup for row in zip_longest(*queues) for cup in row if cup is not None)
