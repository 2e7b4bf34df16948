"""Draw a whole tasting: first what anybody at the table may see, then the key."""

from collections import Counter
from collections.abc import Sequence
from itertools import groupby
from random import Random
from string import ascii_uppercase
from uuid import UUID

from server.blinding.allocation import allocate_slots, plan_null_pots, plan_pots
from server.blinding.codes import draw_codes
from server.blinding.ids import draw_id
from server.blinding.orders import balance_report, balanced_orders
from server.blinding.plans import Plan, Pots, Purpose
from server.blinding.seal import find_key_problems, find_layout_problems
from server.blinding.sealed import (
    Layout,
    PlannedComparison,
    PlannedCup,
    PlannedSample,
    PlannedSeat,
    PlannedServing,
    PlannedSlot,
    SealedTasting,
)

COMPARED = {
    Purpose.TEST: ("A", "B"),
    Purpose.NULL: ("A",),
    Purpose.POSITIVE: ("A", "C"),
}
"""The samples of each comparison; a serving order's letters stand for them in turn."""


def draw_tasting(
    plan: Plan,
    tasting: UUID,
    samples: Sequence[PlannedSample],
    orders: Sequence[str],
    rng: Random,
) -> SealedTasting:
    """Draw everything a seal covers.

    Parameters
    ----------
    plan : Plan
        The planned test.
    tasting : UUID
        Its id.
    samples : sequence of PlannedSample
        One for each level that the orders name, and ``C`` for a positive control.
    orders : sequence of str
        The full set of serving orders of the method, one letter a cup.
    rng : random.Random
        The only source of chance: `random.SystemRandom` in use, seeded in tests.

    Returns
    -------
    SealedTasting
        Layout, salt and key, in that order of drawing.

    Raises
    ------
    ValueError
        If the numbers of the plan cannot be served, or orders and samples differ.

    See Also
    --------
    draw_layout, draw_key : The two steps; the first knows nothing of the second.

    Examples
    --------
    >>> from server.blinding.plans import Pots, Pourer
    >>> plan = Plan(
    ...     question="?", difference="water", method="triangle", standard="ISO 4120:2021",
    ...     alpha="0.05", size_d_prime="1.5", assessors=6, rounds=2, spare_seats=1,
    ...     null_control=False, positive_control=None, pourer=Pourer.ABSENT, swallow=True,
    ...     cup_ml="40", pot_ml="500", pots=Pots.SEPARATE,
    ...     tds_limit="0.05", temperature_limit="2",
    ... )
    >>> samples = [PlannedSample(level=level, label=level) for level in "AB"]
    >>> triangle = ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB")
    >>> sealed = draw_tasting(plan, UUID(int=0), samples, triangle, Random(1))
    >>> [slot.name for slot in sealed.slots]
    ['A1', 'A2', 'B1', 'B2', 'A3', 'A4', 'B3', 'B4']
    >>> len(sealed.servings), check_balance(sealed, triangle)
    (14, [])
    """
    layout = draw_layout(plan, tasting, samples, orders, rng)
    salt = rng.randbytes(32).hex()
    return join_key(layout, salt, draw_key(layout, orders, rng))


def draw_layout(
    plan: Plan,
    tasting: UUID,
    samples: Sequence[PlannedSample],
    orders: Sequence[str],
    rng: Random,
) -> Layout:
    """Draw ids, codes and the rounds of the controls; nothing of it depends on the key.

    Of the orders only their number, length and letters matter. Parameters and errors
    are those of `draw_tasting`.
    """
    _check(plan, samples, orders)
    purposes = _draw_purposes(plan, rng)
    return Layout(
        tasting=tasting,
        plan=plan,
        samples=tuple(samples),
        comparisons=tuple(
            PlannedComparison(name=one.value, samples=COMPARED[one], purpose=one)
            for one in (Purpose.TEST, *plan.controls)
        ),
        slots=_name_slots(purposes, plan, orders),
        seats=tuple(
            PlannedSeat(number=number, spare=number > plan.assessors)
            for number in range(1, plan.assessors + plan.spare_seats + 1)
        ),
        servings=draw_servings([one.value for one in purposes], plan, len(orders[0]), rng),
    )


def _check(plan: Plan, samples: Sequence[PlannedSample], orders: Sequence[str]) -> None:
    for name, least in (("assessors", 1), ("rounds", 1), ("spare_seats", 0)):
        if getattr(plan, name) < least:
            raise ValueError(f"{name} must be at least {least}, got {getattr(plan, name)}")
    if plan.positive_control and plan.positive_control.rounds < 1:
        raise ValueError(f"rounds of a control must be at least 1, got {plan.positive_control}")
    if len({len(order) for order in orders}) != 1:
        raise ValueError(f"orders must all have the same number of cups, got {list(orders)}")
    levels = [sample.level for sample in samples]
    wanted = {*"".join(orders), *("C" if plan.positive_control else "")}
    if sorted(levels) != sorted(wanted):
        raise ValueError(f"samples must be {sorted(wanted)}, got {levels}")


def _draw_purposes(plan: Plan, rng: Random) -> list[Purpose]:
    """Draw which round is the test's and which a control's; everybody has the same rounds."""
    purposes = [Purpose.TEST] * plan.rounds + list(plan.control_rounds)
    return rng.sample(purposes, len(purposes))


def _name_slots(
    purposes: Sequence[Purpose], plan: Plan, orders: Sequence[str]
) -> tuple[PlannedSlot, ...]:
    """Name every slot by its sample and a number that runs on through the rounds."""
    slots: list[PlannedSlot] = []
    running: Counter[str] = Counter()
    for round_, purpose in enumerate(purposes, 1):
        null = purpose == Purpose.NULL
        pots = plan_null_pots(plan, orders) if null else plan_pots(plan, orders)
        for level in COMPARED[purpose]:
            for _ in range(pots.slots * (2 if null else 1)):
                running[level] += 1
                n = running[level]
                slots.append(
                    PlannedSlot(
                        name=f"{level}{n}", sample=level, n=n, round=round_, brews=pots.brews
                    )
                )
    return tuple(slots)


def draw_servings(
    comparisons: Sequence[str], plan: Plan, cups: int, rng: Random
) -> tuple[PlannedServing, ...]:
    """Draw ids and codes of all servings, round by round, spare seats last.

    ``comparisons`` are the names of what each round compares.
    """
    seats = range(1, plan.assessors + plan.spare_seats + 1)
    codes = draw_codes([cups * len(comparisons)] * len(seats), rng)
    return tuple(
        PlannedServing(
            id=draw_id(rng),
            seat=seat,
            sitting=1,
            round=round_,
            comparison=comparison,
            cups=tuple(
                PlannedCup(id=draw_id(rng), code=code, position=position)
                for position, code in enumerate(
                    codes[seat - 1][(round_ - 1) * cups : round_ * cups], 1
                )
            ),
        )
        for round_, comparison in enumerate(comparisons, 1)
        for seat in seats
    )


def draw_key(layout: Layout, orders: Sequence[str], rng: Random) -> dict[UUID, str]:
    """Draw serving orders and the brew slot of every cup.

    Parameters
    ----------
    layout : Layout
        From `draw_layout`.
    orders : sequence of str
        The full set of serving orders of the method.
    rng : random.Random
        Source of chance.

    Returns
    -------
    dict of UUID to str
        Cup id to slot name. Within each comparison the seats that count are
        balanced among themselves, and so are the spare ones.
    """
    key: dict[UUID, str] = {}
    for comparison in layout.comparisons:
        mine = [one for one in layout.servings if one.comparison == comparison.name]
        order_of = _draw_orders(layout, mine, orders, rng)
        for round_, servings in groupby(mine, key=lambda serving: serving.round):
            tables = list(servings)
            drawn = [order_of[serving.seat, round_] for serving in tables]
            filled = _fill_round(layout, comparison, round_, drawn, orders, rng)
            for serving, names in zip(tables, filled, strict=True):
                key |= {cup.id: name for cup, name in zip(serving.cups, names, strict=True)}
    return key


def _draw_orders(
    layout: Layout, servings: Sequence[PlannedServing], orders: Sequence[str], rng: Random
) -> dict[tuple[int, int], str]:
    """Draw the order of every serving of a comparison, by seat and round."""
    rounds = sorted({serving.round for serving in servings})
    plan = layout.plan
    drawn = balanced_orders(orders, plan.assessors, len(rounds), rng)
    if plan.spare_seats:
        drawn += balanced_orders(orders, plan.spare_seats, len(rounds), rng)
    return {
        (seat.number, round_): order
        for seat, row in zip(layout.seats, drawn, strict=True)
        for round_, order in zip(rounds, row, strict=True)
    }


def _fill_round(
    layout: Layout,
    comparison: PlannedComparison,
    round_: int,
    drawn: Sequence[str],
    orders: Sequence[str],
    rng: Random,
) -> list[tuple[str, ...]]:
    """Choose the slots of a round; ``drawn`` has an order for each seat, spare ones last."""
    plan, slots = layout.plan, _slots_of(layout, round_)
    if comparison.purpose == Purpose.NULL:
        return _fill_null_round(plan, slots[comparison.samples[0]], drawn, orders, rng)
    letters = dict(zip(comparison.samples, ascii_uppercase, strict=False))
    return allocate_slots(
        drawn,
        {letters[level]: names for level, names in slots.items()},
        plan_pots(plan, orders).cups,
        rng,
        share=plan.pots != Pots.SEPARATE,
        spares=plan.spare_seats,
    )


def _fill_null_round(
    plan: Plan, names: Sequence[str], drawn: Sequence[str], orders: Sequence[str], rng: Random
) -> list[tuple[str, ...]]:
    """Share the servings among pairs of brews: an earlier one and a later one."""
    pots = plan_null_pots(plan, orders)
    earlier, later = names[: pots.slots], names[pots.slots :]
    filled: list[tuple[str, ...]] = [()] * len(drawn)
    counted = len(drawn) - plan.spare_seats
    for group in (range(counted), range(counted, len(drawn))):
        for turn, place in enumerate(rng.sample(group, len(group))):
            pair = {"A": earlier[turn % pots.slots], "B": later[turn % pots.slots]}
            filled[place] = tuple(pair[letter] for letter in drawn[place])
    return filled


def _slots_of(layout: Layout, round_: int) -> dict[str, list[str]]:
    slots: dict[str, list[str]] = {}
    for slot in layout.slots:
        if slot.round == round_:
            slots.setdefault(slot.sample, []).append(slot.name)
    return slots


def join_key(layout: Layout, salt: str, key: dict[UUID, str]) -> SealedTasting:
    """Put a layout, a salt and a key together."""
    return SealedTasting(**dict(layout), salt=salt, key=key)


def check_balance(sealed: SealedTasting, orders: Sequence[str]) -> list[str]:
    """List where a drawn tasting breaks the rules of blinding.

    Parameters
    ----------
    sealed : SealedTasting
        What was drawn.
    orders : sequence of str
        The full set of serving orders of the method.

    Returns
    -------
    list of str
        One sentence for each rule that is broken; empty if the draw is sound.
    """
    found = find_layout_problems(sealed) or find_key_problems(sealed)
    if found:
        return found
    for comparison in sealed.comparisons:
        for spare in (False, True):
            found += _check_orders(sealed, comparison, orders, spare)
    return found + _check_pots(sealed) + _check_codes(sealed)


def _check_orders(
    sealed: SealedTasting, comparison: PlannedComparison, orders: Sequence[str], spare: bool
) -> list[str]:
    who = f"{'spare seats' if spare else 'seats that count'} ({comparison.name})"
    rows = [
        [
            sealed.order(serving)
            for serving in sealed.servings
            if (serving.seat, serving.comparison) == (seat.number, comparison.name)
        ]
        for seat in sealed.seats
        if seat.spare == spare
    ]
    found = []
    if rows and balance_report(orders, rows).widest > 1:
        found.append(f"The orders of the {who} are not balanced after every round.")
    for row in rows:
        blocks = (row[start : start + len(orders)] for start in range(0, len(row), len(orders)))
        if any(len(set(block)) < len(block) for block in blocks):
            found.append(f"One of the {who} meets an order twice in {len(orders)} rounds.")
    return found


def _check_pots(sealed: SealedTasting) -> list[str]:
    found = []
    for serving in sealed.servings:
        brews = {sealed.key[cup.id] for cup in serving.cups}
        if sealed.purpose(serving) == Purpose.NULL:
            if len(brews) != 2:
                found.append(f"Null control {serving.id} is not of two brews.")
        elif sealed.plan.pots == Pots.SEPARATE and len(brews) < len(serving.cups):
            found.append(f"Two cups of serving {serving.id} come from one brew.")
    return found


def _check_codes(sealed: SealedTasting) -> list[str]:
    found = []
    for seat in sealed.seats:
        codes = [c for s in sealed.servings if s.seat == seat.number for c in s.codes]
        if len(set(codes)) < len(codes):
            found.append(f"Seat {seat.number} gets a code twice.")
    return found
