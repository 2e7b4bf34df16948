"""What a rising series must be: steps that rise, a level and a round for each of them."""

from collections.abc import Sequence
from decimal import Decimal
from string import ascii_uppercase

from server.blinding.plans import Plan
from server.blinding.sealed import Layout, PlannedSample

BASE = "A"
FEWEST_STEPS, MOST_STEPS = 3, 10


def name_levels(steps: int) -> tuple[str, ...]:
    """Return the levels of the steps, the lowest first.

    Examples
    --------
    >>> name_levels(3)
    ('B', 'C', 'D')
    """
    return tuple(ascii_uppercase[1 : steps + 1])


def check_series(plan: Plan, samples: Sequence[PlannedSample]) -> tuple[str, ...]:
    """Return the levels of the steps.

    Raises
    ------
    ValueError
        If the plan has no series, or its rounds or the samples do not fit it.
    """
    if plan.series is None:
        raise ValueError("plan must have a series")
    steps = plan.series.steps
    if not FEWEST_STEPS <= len(steps) <= MOST_STEPS:
        raise ValueError(f"steps must be {FEWEST_STEPS} to {MOST_STEPS}, got {len(steps)}")
    if plan.total_rounds != len(steps):
        raise ValueError(f"rounds must be as many as steps ({len(steps)}), got {plan.rounds}")
    if any(high <= low for low, high in zip((Decimal(0), *steps), steps, strict=False)):
        raise ValueError(f"steps must rise from above 0, got {[str(one) for one in steps]}")
    for name, least in (("assessors", 1), ("spare_seats", 0)):
        if getattr(plan, name) < least:
            raise ValueError(f"{name} must be at least {least}, got {getattr(plan, name)}")
    levels, wanted = [one.level for one in samples], [BASE, *name_levels(len(steps))]
    if sorted(levels) != wanted:
        raise ValueError(f"samples must be {wanted}, got {levels}")
    return tuple(wanted[1:])


def find_series_problems(layout: Layout) -> list[str]:
    """List where the layout of a series contradicts its steps; empty of every other test."""
    series = layout.plan.series
    if series is None:
        return []
    try:
        levels = check_series(layout.plan, layout.samples)
    except ValueError as error:
        return [f"The series cannot be served: {error}."]
    wanted = {f"step-{n}": (BASE, level) for n, level in enumerate(levels, 1)}
    found = []
    if {one.name: one.samples for one in layout.comparisons} != wanted:
        found.append("The rounds do not compare the base with the steps of the series in turn.")
    if any(one.comparison != f"step-{one.round}" for one in layout.servings):
        found.append("A serving of the series belongs to another step than its round.")
    return found
