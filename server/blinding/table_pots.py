"""Pots and bowls of a scored table: how many brews of each sample a sitting needs."""

from collections.abc import Sequence
from math import ceil

from server.blinding.allocation import RoundPots
from server.blinding.plans import Plan, Pots, TablePlan
from server.blinding.table_plans import get_table, is_complete, list_fixed


def plan_table_pots(plan: Plan, levels: Sequence[str]) -> dict[str, RoundPots]:
    """Return the brews of each sample that are enough for a sitting, whatever is drawn.

    Parameters
    ----------
    plan : Plan
        With a table, checked by `table_plans.check_table_plan`.
    levels : sequence of str
        The samples of a sitting: all of them, or the block of a shared table.

    Returns
    -------
    dict of str to RoundPots
        For own cups pots: at least two, and one for each of a seat's like cups, if they
        are to be separate; a blend; or a single pot. On a shared table every bowl is a
        brew of its own.

    Raises
    ------
    ValueError
        If a pot does not fill a single cup, or a single pot not all of them.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from decimal import Decimal
    >>> plan = SimpleNamespace(
    ...     assessors=6, spare_seats=1, sittings=1, cup_ml=Decimal(40), pot_ml=Decimal(250),
    ...     pots=Pots.SEPARATE, table=TablePlan(sheet={}, duplicates=("A",)),
    ... )
    >>> {level: pots.slots for level, pots in plan_table_pots(plan, "AB").items()}
    {'A': 3, 'B': 2}
    """
    table = get_table(plan)
    if table.shared:
        return {level: RoundPots(count_alike(table, level), 1, 1) for level in levels}
    return {level: _plan_pots(plan, table, levels, level) for level in levels}


def count_alike(table: TablePlan, level: str) -> int:
    """Return how many cups or bowls of a sample a serving holds that holds it at all.

    Examples
    --------
    >>> table = TablePlan(sheet={}, bowls=3, duplicates=("A",))
    >>> count_alike(table, "A"), count_alike(table, "B")
    (6, 3)
    """
    return table.bowls * (2 if level in table.duplicates else 1)


def _plan_pots(plan: Plan, table: TablePlan, levels: Sequence[str], level: str) -> RoundPots:
    if not 0 < plan.cup_ml <= plan.pot_ml:
        raise ValueError(
            f"cup_ml must be above 0 and at most pot_ml ({plan.pot_ml}), got {plan.cup_ml}"
        )
    alike, capacity = count_alike(table, level), int(plan.pot_ml // plan.cup_ml)
    cups = alike * sum(
        _most_servings(plan, table, levels, level, seats)
        for seats in (plan.assessors, plan.spare_seats)
    )
    if plan.pots == Pots.BLEND:
        brews = max(2, ceil(cups * plan.cup_ml / plan.pot_ml))
        return RoundPots(1, brews, int(brews * plan.pot_ml // plan.cup_ml))
    if plan.pots == Pots.SINGLE:
        if cups > capacity:
            raise ValueError(f"pot_ml must fill {cups} cups of {plan.cup_ml} mL, got {plan.pot_ml}")
        return RoundPots(1, 1, capacity)
    return RoundPots(max(2, alike, ceil(cups / capacity)), 1, capacity)


def _most_servings(
    plan: Plan, table: TablePlan, levels: Sequence[str], level: str, seats: int
) -> int:
    """Return how many servings of one sitting may hold a sample at most."""
    fixed = list_fixed(table)
    if is_complete(table, levels) or level in fixed:
        return seats
    places = seats * plan.sittings * (table.block - len(fixed))
    return min(seats, -(-places // (len(levels) - len(fixed))))


def plan_warm_up_pots(plan: Plan) -> RoundPots:
    """Return the pots of a sitting's warm-up cups, which nobody compares.

    On a shared table it is one bowl.

    Raises
    ------
    ValueError
        If a pot does not fill a single cup.
    """
    if get_table(plan).shared:
        return RoundPots(1, 1, 1)
    if not 0 < plan.cup_ml <= plan.pot_ml:
        raise ValueError(
            f"cup_ml must be above 0 and at most pot_ml ({plan.pot_ml}), got {plan.cup_ml}"
        )
    capacity = int(plan.pot_ml // plan.cup_ml)
    return RoundPots(ceil((plan.assessors + plan.spare_seats) / capacity), 1, capacity)
