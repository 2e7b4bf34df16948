"""How many brews of each sample a plan takes, before anything is drawn for good."""

from collections import Counter
from collections.abc import Sequence
from random import Random
from uuid import UUID

from server.blinding.alone import draw_alone
from server.blinding.draw import draw_layout
from server.blinding.plans import Plan
from server.blinding.sealed import PlannedSample, PlannedSlot
from server.blinding.series import draw_series
from server.blinding.series_rules import BASE
from server.blinding.table import draw_table
from server.methods.asked import find_orders


def count_brews_needed(plan: Plan, samples: Sequence[PlannedSample]) -> Counter[str]:
    """Count the brews by level, shots poured together each by itself.

    How many there are does not depend on chance, so the draw that counts them is thrown away.
    In a rising series only the base is brewed: the rest is made of it.
    """
    needed: Counter[str] = Counter()
    for slot in _draw_slots(plan, samples):
        if plan.series is None or slot.sample == BASE:
            needed[slot.sample] += slot.brews * count_shots(plan, slot.sample)
    return needed


def count_shots(plan: Plan, level: str) -> int:
    """Return how many brews are poured together into one, by the recipe of a sample."""
    recipe = plan.bench.recipes.get(level, {}) if plan.bench else {}
    return int(recipe.get("shots") or 1)


def _draw_slots(plan: Plan, samples: Sequence[PlannedSample]) -> Sequence[PlannedSlot]:
    tasting, rng = UUID(int=0), Random(0)
    if plan.table is not None:
        return draw_table(plan, tasting, samples, rng).slots
    orders = find_orders(plan)
    if plan.series is not None:
        return draw_series(plan, tasting, samples, orders, rng).slots
    if plan.alone:
        return draw_alone(plan, tasting, samples, orders, rng).slots
    return draw_layout(plan, tasting, samples, orders, rng).slots
