"""Draw a whole tasting: first what anybody at the table may see, then the key."""

from collections.abc import Sequence
from itertools import groupby
from random import Random
from uuid import UUID

from server.blinding.allocation import RoundPots, allocate_slots, slots_per_round
from server.blinding.codes import draw_codes
from server.blinding.orders import balance_report, balanced_orders
from server.blinding.seal import find_key_problems, find_layout_problems
from server.blinding.sealed import (
    Layout,
    Plan,
    PlannedComparison,
    PlannedCup,
    PlannedSample,
    PlannedSeat,
    PlannedServing,
    PlannedSlot,
    SealedTasting,
)

COMPARISON = "test"


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
        One for each level that the orders name.
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
    >>> from server.blinding.sealed import Pourer
    >>> plan = Plan(
    ...     question="?", difference="water", method="triangle", standard="ISO 4120:2021",
    ...     alpha="0.05", size_d_prime="1.5", assessors=6, rounds=2, spare_seats=1,
    ...     pourer=Pourer.ABSENT, swallow=True, cup_ml="40", pot_ml="500", blended=False,
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
    """Draw ids and codes; of the orders only their number, length and letters matter.

    Parameters and errors are those of `draw_tasting`.
    """
    _check(plan, samples, orders)
    pots = plan_pots(plan, orders)
    return Layout(
        tasting=tasting,
        plan=plan,
        samples=tuple(samples),
        comparisons=(
            PlannedComparison(
                name=COMPARISON, samples=tuple(sample.level for sample in samples), purpose="test"
            ),
        ),
        slots=_name_slots([sample.level for sample in samples], pots, plan.rounds),
        seats=tuple(
            PlannedSeat(number=number, spare=number > plan.assessors)
            for number in range(1, plan.assessors + plan.spare_seats + 1)
        ),
        servings=_draw_servings(plan, len(orders[0]), rng),
    )


def plan_pots(plan: Plan, orders: Sequence[str]) -> RoundPots:
    """Return what each sample needs in each round of a plan."""
    return slots_per_round(
        orders, plan.assessors, plan.spare_seats, plan.cup_ml, plan.pot_ml, plan.blended
    )


def _check(plan: Plan, samples: Sequence[PlannedSample], orders: Sequence[str]) -> None:
    for name, least in (("assessors", 1), ("rounds", 1), ("spare_seats", 0)):
        if getattr(plan, name) < least:
            raise ValueError(f"{name} must be at least {least}, got {getattr(plan, name)}")
    if len({len(order) for order in orders}) != 1:
        raise ValueError(f"orders must all have the same number of cups, got {list(orders)}")
    levels = [sample.level for sample in samples]
    if sorted(levels) != sorted(set("".join(orders))):
        raise ValueError(f"samples must be those of the orders {list(orders)}, got {levels}")


def _name_slots(levels: Sequence[str], pots: RoundPots, rounds: int) -> tuple[PlannedSlot, ...]:
    return tuple(
        PlannedSlot(name=f"{level}{n}", sample=level, n=n, round=round_, brews=pots.brews)
        for round_ in range(1, rounds + 1)
        for level in levels
        for n in range((round_ - 1) * pots.slots + 1, round_ * pots.slots + 1)
    )


def _draw_servings(plan: Plan, cups: int, rng: Random) -> tuple[PlannedServing, ...]:
    """Draw ids and codes of all servings, round by round, spare seats last."""
    seats = range(1, plan.assessors + plan.spare_seats + 1)
    codes = draw_codes([cups * plan.rounds] * len(seats), rng)
    return tuple(
        PlannedServing(
            id=_draw_id(rng),
            seat=seat,
            sitting=1,
            round=round_,
            comparison=COMPARISON,
            cups=tuple(
                PlannedCup(id=_draw_id(rng), code=code, position=position)
                for position, code in enumerate(
                    codes[seat - 1][(round_ - 1) * cups : round_ * cups], 1
                )
            ),
        )
        for round_ in range(1, plan.rounds + 1)
        for seat in seats
    )


def _draw_id(rng: Random) -> UUID:
    return UUID(int=rng.getrandbits(128), version=4)


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
        Cup id to slot name. The seats that count are balanced among themselves,
        and so are the spare ones.
    """
    plan = layout.plan
    drawn = balanced_orders(orders, plan.assessors, plan.rounds, rng)
    if plan.spare_seats:
        drawn += balanced_orders(orders, plan.spare_seats, plan.rounds, rng)
    order_of = {
        (seat.number, round_): order
        for seat, row in zip(layout.seats, drawn, strict=True)
        for round_, order in enumerate(row, 1)
    }
    key: dict[UUID, str] = {}
    for round_, servings in groupby(layout.servings, key=lambda serving: serving.round):
        tables = list(servings)
        filled = allocate_slots(
            [order_of[serving.seat, round_] for serving in tables],
            _slots_of(layout, round_),
            plan_pots(plan, orders).cups,
            rng,
            blended=plan.blended,
            spares=plan.spare_seats,
        )
        for serving, names in zip(tables, filled, strict=True):
            key |= {cup.id: name for cup, name in zip(serving.cups, names, strict=True)}
    return key


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
    found = find_layout_problems(sealed) + find_key_problems(sealed)
    if found:
        return found
    for spare in (False, True):
        found += _check_orders(sealed, orders, spare)
    if not sealed.plan.blended:
        found += _check_pots(sealed)
    return found + _check_codes(sealed)


def _check_orders(sealed: SealedTasting, orders: Sequence[str], spare: bool) -> list[str]:
    who = "spare seats" if spare else "seats that count"
    rows = [
        [sealed.order(serving) for serving in sealed.servings if serving.seat == seat.number]
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
    return [
        f"Two cups of serving {serving.id} come from one brew."
        for serving in sealed.servings
        if len({sealed.key[cup.id] for cup in serving.cups}) < len(serving.cups)
    ]


def _check_codes(sealed: SealedTasting) -> list[str]:
    found = []
    for seat in sealed.seats:
        codes = [c for s in sealed.servings if s.seat == seat.number for c in s.codes]
        if len(set(codes)) < len(codes):
            found.append(f"Seat {seat.number} gets a code twice.")
    return found
