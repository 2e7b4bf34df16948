"""What layouts of all kinds share: seats, named brew slots, and cups under codes."""

from collections import Counter
from collections.abc import Iterable, Sequence
from random import Random
from uuid import UUID

from server.blinding.allocation import RoundPots
from server.blinding.ids import draw_id
from server.blinding.plans import Plan
from server.blinding.sealed import Layout, PlannedCup, PlannedSeat, PlannedSlot, SealedTasting

RoundBrews = tuple[int, Iterable[tuple[str, RoundPots]]]
"""A round, and how many slots of which samples are brewed for it."""


def list_seats(plan: Plan) -> tuple[PlannedSeat, ...]:
    """List the seats, spare ones last."""
    return tuple(
        PlannedSeat(number=number, spare=number > plan.assessors)
        for number in range(1, plan.assessors + plan.spare_seats + 1)
    )


def name_slots(rounds: Iterable[RoundBrews]) -> tuple[PlannedSlot, ...]:
    """Name every slot by its sample and a number that runs on through the rounds.

    Examples
    --------
    >>> one, two = (RoundPots(slots=n, brews=1, cups=9) for n in (1, 2))
    >>> [slot.name for slot in name_slots([(1, [("A", two), ("B", one)]), (2, [("A", one)])])]
    ['A1', 'A2', 'B1', 'A3']
    """
    slots: list[PlannedSlot] = []
    running: Counter[str] = Counter()
    for round_, brewed in rounds:
        for level, pots in brewed:
            for _ in range(pots.slots):
                running[level] += 1
                n, brews = running[level], pots.brews
                slots.append(
                    PlannedSlot(name=f"{level}{n}", sample=level, n=n, round=round_, brews=brews)
                )
    return tuple(slots)


def list_names(slots: Iterable[PlannedSlot], round_: int) -> dict[str, list[str]]:
    """Return the names of a round's brew slots by sample."""
    names: dict[str, list[str]] = {}
    for slot in slots:
        if slot.round == round_:
            names.setdefault(slot.sample, []).append(slot.name)
    return names


def draw_cups(codes: Iterable[str], rng: Random) -> tuple[PlannedCup, ...]:
    """Draw the ids of a serving's cups, left to right."""
    return tuple(
        PlannedCup(id=draw_id(rng), code=code, position=position)
        for position, code in enumerate(codes, 1)
    )


def check_counts(plan: Plan, **least: int) -> None:
    """Refuse a plan with fewer of something than ``least`` says, by the name of its field."""
    for name, number in least.items():
        if getattr(plan, name) < number:
            raise ValueError(f"{name} must be at least {number}, got {getattr(plan, name)}")


def check_samples(levels: Sequence[str], wanted: Iterable[str]) -> None:
    """Refuse samples that are not those of the orders."""
    if sorted(levels) != sorted(set(wanted)):
        raise ValueError(f"samples must be {sorted(set(wanted))}, got {levels}")


def join_key(layout: Layout, salt: str, key: dict[UUID, str]) -> SealedTasting:
    """Put a layout, a salt and a key together."""
    return SealedTasting(**dict(layout), salt=salt, key=key)
