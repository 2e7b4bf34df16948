"""Draw a whole tasting: first what anybody at the table may see, then the key."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from random import Random
from string import ascii_uppercase
from uuid import UUID

from server.blinding.allocation import allocate_slots, plan_null_pots, plan_pots
from server.blinding.codes import draw_codes
from server.blinding.ids import draw_id
from server.blinding.layouts import (
    RoundBrews,
    check_counts,
    check_samples,
    draw_cups,
    join_key,
    list_names,
    list_seats,
    name_slots,
)
from server.blinding.orders import balanced_orders
from server.blinding.plans import Plan, Pots, Purpose
from server.blinding.sealed import (
    Layout,
    PlannedComparison,
    PlannedSample,
    PlannedServing,
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
    draw_balance.check_balance : What came out.

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
    >>> len(sealed.servings)
    14
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
        slots=name_slots(_list_brews(purposes, plan, orders)),
        seats=list_seats(plan),
        servings=draw_servings([one.value for one in purposes], plan, len(orders[0]), rng),
    )


def _check(plan: Plan, samples: Sequence[PlannedSample], orders: Sequence[str]) -> None:
    check_counts(plan, assessors=1, rounds=1, spare_seats=0)
    if plan.positive_control and plan.positive_control.rounds < 1:
        raise ValueError(f"rounds of a control must be at least 1, got {plan.positive_control}")
    if len({len(order) for order in orders}) != 1:
        raise ValueError(f"orders must all have the same number of cups, got {list(orders)}")
    known = "C" if plan.positive_control else ""
    check_samples([sample.level for sample in samples], (*"".join(orders), *known))


def _draw_purposes(plan: Plan, rng: Random) -> list[Purpose]:
    """Draw which round is the test's and which a control's; everybody has the same rounds."""
    purposes = [Purpose.TEST] * plan.rounds + list(plan.control_rounds)
    return rng.sample(purposes, len(purposes))


def _list_brews(
    purposes: Sequence[Purpose], plan: Plan, orders: Sequence[str]
) -> Iterator[RoundBrews]:
    for round_, purpose in enumerate(purposes, 1):
        if purpose == Purpose.NULL:
            pots = plan_null_pots(plan, orders)
            pots = replace(pots, slots=2 * pots.slots)
        else:
            pots = plan_pots(plan, orders)
        yield round_, [(level, pots) for level in COMPARED[purpose]]


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
            cups=draw_cups(codes[seat - 1][(round_ - 1) * cups : round_ * cups], rng),
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
    plan, slots = layout.plan, list_names(layout.slots, round_)
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
