"""Draw a scored table: first what anybody at it may see, then the key."""

from collections.abc import Sequence
from random import Random
from uuid import UUID

from server.blinding.allocation import RoundPots
from server.blinding.layouts import join_key, list_seats, name_slots
from server.blinding.plans import Plan, Purpose
from server.blinding.sealed import (
    Layout,
    PlannedComparison,
    PlannedSample,
    SealedTasting,
)
from server.blinding.table_keys import draw_own_key, draw_shared_key, fill_warm_ups
from server.blinding.table_orders import draw_samples
from server.blinding.table_plans import check_table_plan, get_table
from server.blinding.table_pots import plan_table_pots, plan_warm_up_pots
from server.blinding.table_servings import draw_servings


def draw_table(
    plan: Plan, tasting: UUID, samples: Sequence[PlannedSample], rng: Random
) -> SealedTasting:
    """Draw everything the seal of a scored table covers.

    Parameters
    ----------
    plan : Plan
        With a table; one round.
    tasting : UUID
        Its id.
    samples : sequence of PlannedSample
        At least two, in the order of their levels.
    rng : random.Random
        The only source of chance: `random.SystemRandom` in use, seeded in tests.

    Returns
    -------
    SealedTasting
        Layout, salt and key, in that order of drawing.

    Raises
    ------
    ValueError
        If the plan cannot be served; the message names the argument.

    See Also
    --------
    draw_table_layout, draw_table_key : The two steps; the first knows nothing of the second.
    server.blinding.table_balance : What came out.

    Examples
    --------
    >>> from server.blinding.plans import Pots, Pourer, TablePlan
    >>> plan = Plan(
    ...     question="?", difference="roast", method="table", standard="none", alpha="0.05",
    ...     size_d_prime=None, assessors=6, rounds=1, spare_seats=1, pourer=Pourer.ABSENT,
    ...     swallow=False, cup_ml="40", pot_ml="500", pots=Pots.SEPARATE, tds_limit="0.05",
    ...     temperature_limit="2", table=TablePlan(sheet={}, bowls=2, duplicates=("A",)),
    ... )
    >>> samples = [PlannedSample(level=level, label=level) for level in "ABC"]
    >>> sealed = draw_table(plan, UUID(int=0), samples, Random(1))
    >>> [slot.name for slot in sealed.slots]
    ['A1', 'A2', 'A3', 'A4', 'B1', 'B2', 'C1', 'C2']
    >>> len(sealed.servings), [cup.bowl for cup in sealed.servings[0].cups]
    (7, [1, 2, 1, 2, 1, 2, 1, 2])
    """
    layout = draw_table_layout(plan, tasting, samples, rng)
    salt = rng.randbytes(32).hex()
    return join_key(layout, salt, draw_table_key(layout, rng))


def draw_table_layout(
    plan: Plan, tasting: UUID, samples: Sequence[PlannedSample], rng: Random
) -> Layout:
    """Draw ids, codes and, on a shared table, starts and directions; nothing of the key.

    What is brewed for a sitting is part of it: which samples a shared table holds follows
    from a draw, and how many pots of each sample own cups need from numbers alone.
    Parameters and errors are those of `draw_table`.
    """
    levels = [sample.level for sample in samples]
    check_table_plan(plan, levels)
    return Layout(
        tasting=tasting,
        plan=plan,
        samples=tuple(samples),
        comparisons=tuple(_list_comparisons(plan, levels)),
        slots=name_slots(
            (round_, sorted(brews.items()))
            for round_, brews in enumerate(_draw_brews(plan, levels, rng), 1)
        ),
        seats=list_seats(plan),
        servings=draw_servings(plan, levels, rng),
    )


def _list_comparisons(plan: Plan, levels: Sequence[str]) -> list[PlannedComparison]:
    test = PlannedComparison(name="test", samples=tuple(levels), purpose=Purpose.TEST)
    warm_up = get_table(plan).warm_up
    if not warm_up:
        return [test]
    purpose = Purpose.WARM_UP
    return [test, PlannedComparison(name=purpose.value, samples=(warm_up,), purpose=purpose)]


def _draw_brews(plan: Plan, levels: Sequence[str], rng: Random) -> list[dict[str, RoundPots]]:
    """Return what is brewed for each round, warm-up cups in rounds of their own."""
    table = get_table(plan)
    brews = []
    shared = draw_samples(table, levels, 1, plan.sittings, rng)[0] if table.shared else None
    for sitting in range(plan.sittings):
        if table.warm_up:
            brews.append({table.warm_up: plan_warm_up_pots(plan)})
        brews.append(plan_table_pots(plan, shared[sitting] if shared else levels))
    return brews


def draw_table_key(layout: Layout, rng: Random) -> dict[UUID, str]:
    """Draw which brew stands under every code and bowl.

    Parameters
    ----------
    layout : Layout
        From `draw_table_layout`.
    rng : random.Random
        Source of chance.

    Returns
    -------
    dict of UUID to str
        Cup id to slot name. Own cups: the seats that count are balanced among themselves,
        and so are the spare ones. Shared bowls: cups of several seats that are one bowl
        have one slot.
    """
    shared = get_table(layout.plan).shared
    key = draw_shared_key(layout, rng) if shared else draw_own_key(layout, rng)
    return key | fill_warm_ups(layout, rng)
