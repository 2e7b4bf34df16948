"""Scored tables to draw in tests: Lantern Row, a small invented roastery, tastes its batches."""

from random import Random
from typing import Any
from uuid import UUID

from server.blinding.plans import Plan
from server.blinding.sealed import PlannedSample, SealedTasting
from server.blinding.table import draw_table

LEVELS = "ABCDEFGHIJKL"
SHEET: dict[str, Any] = {"title": "Roast check", "attributes": [{"name": "sweet"}]}


def plan_table(**changed: Any) -> Plan:
    """Plan 6 seats and a spare one; members of the table and of the plan may be changed.

    ``serves`` is the table's method; ``method`` is that of the plan.
    """
    table = {"sheet": SHEET, "primary": "sweet"}
    given: dict[str, Any] = {
        **{"question": "Is the new batch like the last?", "difference": "roast batch"},
        **{"method": "table", "standard": "none", "alpha": "0.05", "size_d_prime": None},
        **{"assessors": 6, "rounds": 1, "sittings": 1, "spare_seats": 1, "pourer": "absent"},
        **{"swallow": False, "cup_ml": "40", "pot_ml": "500", "pots": "separate"},
        **{"tds_limit": "0.05", "temperature_limit": "2"},
    }
    mine = {name: value for name, value in changed.items() if name in given}
    others = {name: value for name, value in changed.items() if name not in given}
    if "serves" in others:
        others["method"] = others.pop("serves")
    return Plan(**(given | mine), table=table | others)


def list_batches(many: int) -> list[PlannedSample]:
    """List samples by level, with an invented label each."""
    return [PlannedSample(level=level, label=f"batch {level}") for level in LEVELS[:many]]


def draw_batches(samples: int, seed: int = 1, **changed: Any) -> SealedTasting:
    """Draw and seal a table of so many samples; changes are those of `plan_table`."""
    plan = plan_table(**changed)
    return draw_table(plan, UUID(int=7), list_batches(samples), Random(seed))
