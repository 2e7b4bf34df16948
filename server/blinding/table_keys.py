"""The key of a scored table: orders of samples, and the brew of every cup."""

from collections.abc import Sequence
from itertools import groupby
from random import Random
from uuid import UUID

from server.blinding.layouts import list_names
from server.blinding.plans import Pots, Purpose
from server.blinding.sealed import Layout, PlannedServing
from server.blinding.table_allocation import allocate_cups
from server.blinding.table_orders import Order, draw_own_orders, draw_ring
from server.blinding.table_plans import get_table
from server.blinding.table_stands import list_ring, list_scored, list_stands

Key = dict[UUID, str]


def draw_own_key(layout: Layout, rng: Random) -> Key:
    """Draw the key of own cups; parameters are those of `table.draw_table_key`."""
    levels = [sample.level for sample in layout.samples]
    plan, table = layout.plan, get_table(layout.plan)
    orders = draw_own_orders(table, levels, plan.assessors, plan.sittings, rng)
    if plan.spare_seats:
        orders += draw_own_orders(table, levels, plan.spare_seats, plan.sittings, rng)
    key: Key = {}
    scored = sorted(list_scored(layout), key=lambda serving: (serving.sitting, serving.seat))
    for sitting, servings in groupby(scored, key=lambda serving: serving.sitting):
        mine = [seat[sitting - 1] for seat in orders]
        key |= _fill_sitting(layout, list(servings), mine, rng)
    return key


def _fill_sitting(
    layout: Layout, servings: Sequence[PlannedServing], orders: Sequence[Order], rng: Random
) -> Key:
    """Choose the brews of one sitting; servings come by seat, spare ones last."""
    cups = [
        [
            (order[stand.place - 1], stand.place)
            for stand in list_stands(serving)
            for _ in stand.cups
        ]
        for serving, order in zip(servings, orders, strict=True)
    ]
    filled = allocate_cups(
        cups,
        list_names(layout.slots, servings[0].round),
        rng,
        share=layout.plan.pots != Pots.SEPARATE,
        spares=layout.plan.spare_seats,
    )
    return {
        cup.id: name
        for serving, names in zip(servings, filled, strict=True)
        for cup, name in zip(serving.cups, names, strict=True)
    }


def draw_shared_key(layout: Layout, rng: Random) -> Key:
    """Draw the key of shared bowls; parameters are those of `table.draw_table_key`."""
    key: Key = {}
    scored = sorted(list_scored(layout), key=lambda serving: serving.sitting)
    for _, group in groupby(scored, key=lambda serving: serving.sitting):
        servings = list(group)
        truth = _draw_bowls(layout, servings, rng)
        key |= {cup.id: truth[cup.code, cup.bowl] for one in servings for cup in one.cups}
    return key


def _draw_bowls(
    layout: Layout, servings: Sequence[PlannedServing], rng: Random
) -> dict[tuple[str, int], str]:
    """Draw the brew of every code and bowl on a table; each bowl is one of its own."""
    slots = list_names(layout.slots, servings[0].round)
    around = draw_ring(get_table(layout.plan), sorted(slots), rng)
    left = {level: rng.sample(names, len(names)) for level, names in sorted(slots.items())}
    return {
        (stand.code, bowl): left[level].pop()
        for stand, level in zip(list_ring(servings), around, strict=True)
        for bowl in stand.bowls
    }


def fill_warm_ups(layout: Layout, rng: Random) -> Key:
    """Fill warm-up cups from the pots brewed for them, turn by turn."""
    key: Key = {}
    warm_ups = [one for one in layout.servings if layout.purpose(one) == Purpose.WARM_UP]
    for round_, group in groupby(
        sorted(warm_ups, key=lambda one: one.round), key=lambda one: one.round
    ):
        (names,) = list_names(layout.slots, round_).values()
        servings = list(group)
        turns = rng.sample(servings, len(servings))
        key |= {one.cups[0].id: names[turn % len(names)] for turn, one in enumerate(turns)}
    return key
