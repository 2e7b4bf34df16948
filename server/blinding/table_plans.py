"""What the plan of a scored table asks for, and whether it can be served."""

from collections.abc import Sequence
from decimal import Decimal

from server.blinding.codes import CODES
from server.blinding.plans import Plan, Pots, Pourer, TablePlan

METHOD = "table"
HOTTEST_C = Decimal(65)
"""Highest limit of the first sip, in °C: above it a drink scalds."""
LETTERS = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZ")


def get_table(plan: Plan) -> TablePlan:
    """Return what a plan says of its scored table.

    Raises
    ------
    ValueError
        If it has none.
    """
    if plan.table is None:
        raise ValueError(f"plan must have a table, got the method {plan.method}")
    return plan.table


def list_fixed(table: TablePlan) -> tuple[str, ...]:
    """List the samples of every serving: the reference and those that stand twice.

    Examples
    --------
    >>> list_fixed(TablePlan(sheet={}, reference="C", duplicates=("A",)))
    ('A', 'C')
    """
    return tuple(sorted({*table.duplicates, *([table.reference] if table.reference else [])}))


def is_complete(table: TablePlan, levels: Sequence[str]) -> bool:
    """Tell whether every serving holds all samples.

    Examples
    --------
    >>> is_complete(TablePlan(sheet={}, block=3), "ABCD")
    False
    """
    return table.block in (0, len(levels))


def count_codes(table: TablePlan, levels: Sequence[str]) -> int:
    """Return how many codes one serving has, its warm-up cup not among them.

    Examples
    --------
    >>> count_codes(TablePlan(sheet={}, bowls=3, duplicates=("A",)), "ABCD")
    5
    >>> count_codes(TablePlan(sheet={}, bowls=3, scattered=True, block=2), "ABCD")
    6
    """
    different = len(levels) if is_complete(table, levels) else table.block
    return (different + len(table.duplicates)) * table.laps


def check_table_plan(plan: Plan, levels: Sequence[str]) -> None:
    """Refuse a scored table that cannot be drawn.

    Parameters
    ----------
    plan : Plan
        With a table.
    levels : sequence of str
        The samples' levels: one capital letter each.

    Raises
    ------
    ValueError
        If it cannot; the message names the argument and what it was.

    Notes
    -----
    Scattered bowls are blind duplicates of each other already, so that a sample cannot
    be duplicated as well. On a shared table every bowl is its own brew: ``pots`` must be
    separate. In incomplete blocks everybody together must meet every sample.
    """
    table = get_table(plan)
    _check_numbers(plan, table)
    _check_manner(plan, table)
    _check_levels(table, levels)
    _check_blocks(plan, table, levels)
    _check_codes(plan, table, levels)


def _check_numbers(plan: Plan, table: TablePlan) -> None:
    for name, least in (("assessors", 1), ("sittings", 1), ("spare_seats", 0)):
        if getattr(plan, name) < least:
            raise ValueError(f"{name} must be at least {least}, got {getattr(plan, name)}")
    if plan.rounds != 1:
        raise ValueError(f"rounds must be 1, a sitting each, got {plan.rounds}")
    if table.bowls < 1:
        raise ValueError(f"bowls must be at least 1, got {table.bowls}")
    if not 0 < table.sip_limit_c <= HOTTEST_C:
        raise ValueError(f"sip_limit_c must lie above 0 and up to 65, got {table.sip_limit_c}")
    if table.prior_scale is not None and not table.prior_scale > 0:
        raise ValueError(f"prior_scale must be above 0, got {table.prior_scale}")


def _check_manner(plan: Plan, table: TablePlan) -> None:
    if plan.method != METHOD:
        raise ValueError(f"method must be {METHOD}, got {plan.method}")
    if plan.pourer == Pourer.ALONE:
        raise ValueError("pourer must not be alone at a scored table, whose key is drawn")
    if plan.controls:
        raise ValueError(f"controls must not be planned for a scored table, got {plan.controls}")
    if table.shared and plan.pots != Pots.SEPARATE:
        raise ValueError(f"pots must be separate where bowls are shared, got {plan.pots}")


def _check_levels(table: TablePlan, levels: Sequence[str]) -> None:
    if len(levels) < 2 or len(set(levels)) < len(levels) or not LETTERS.issuperset(levels):
        raise ValueError(f"levels must be two or more different letters, got {list(levels)}")
    for name in ("warm_up", "reference"):
        if getattr(table, name) not in ("", *levels):
            raise ValueError(f"{name} must be one of the samples, got {getattr(table, name)}")
    if table.order and sorted(table.order) != sorted(levels):
        raise ValueError(f"order must hold every sample once, got {list(table.order)}")
    twice = table.duplicates
    if len(set(twice)) < len(twice) or not set(twice) <= set(levels):
        raise ValueError(f"duplicates must be different ones of the samples, got {list(twice)}")
    if twice and table.laps > 1:
        raise ValueError(f"duplicates must be none where bowls are scattered, got {list(twice)}")


def _check_blocks(plan: Plan, table: TablePlan, levels: Sequence[str]) -> None:
    if is_complete(table, levels):
        return
    fixed = list_fixed(table)
    if not max(2, len(fixed) + 1) <= table.block < len(levels):
        raise ValueError(
            f"block must be 0 or lie between {max(2, len(fixed) + 1)} and {len(levels)}, "
            f"got {table.block}"
        )
    tables = plan.sittings * (1 if table.shared else plan.assessors)
    if tables * (table.block - len(fixed)) < len(levels) - len(fixed):
        raise ValueError(f"block must be so large that every sample is met, got {table.block}")


def _check_codes(plan: Plan, table: TablePlan, levels: Sequence[str]) -> None:
    needed = plan.sittings * (count_codes(table, levels) + bool(table.warm_up))
    if needed > len(CODES):
        raise ValueError(f"sittings must need at most {len(CODES)} codes, got {needed}")
