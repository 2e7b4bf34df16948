"""A scored table's stored plan: read again, and as its form shows it."""

from collections.abc import Mapping
from typing import Any

from server.blinding.plans import Plan, Pourer
from server.methods.scored import ScoredMethod
from server.sheets.cards import read_sheet
from server.sheets.sheet import Sheet
from server.tastings.planning import USUAL_LIMITS
from server.tastings.refusals import NotFound
from server.tastings.table_methods import fill_form
from server.tastings.table_planning import ALIKE, TableInput


def table_form(plan: Plan, labels: Mapping[str, str], sheet: str) -> dict[str, str]:
    """Return a stored plan as the form shows it; ``sheet`` is the choice that names its sheet."""
    assert plan.table is not None
    table = plan.table
    values: dict[str, Any] = {name: getattr(plan, name, None) for name in TableInput.model_fields}
    values |= {name: one for name, one in table if name in TableInput.model_fields}
    if values["prior_scale"] is None:
        values["prior_scale"] = TableInput.model_fields["prior_scale"].default
    ticks = {name: "on" if values[name] else "" for name in ("scattered", "swallow")}
    typed = {name: _type(one) for name, one in values.items() if name not in ticks}
    typed["order"] = ", ".join(table.order)
    typed |= {f"sample_{level.lower()}": label for level, label in labels.items()}
    typed |= {f"twice_{level.lower()}": "on" for level in table.duplicates}
    difference = "" if plan.difference == ALIKE else plan.difference
    return typed | ticks | {"sheet": sheet, "difference": difference}


def empty_table_form(sheet: str, method: ScoredMethod | None = None) -> dict[str, str]:
    """Return the form of a new plan: the defaults, and what a method fills in."""
    fields = TableInput.model_fields.items()
    given = {name: "" if field.is_required() else str(field.default) for name, field in fields}
    given |= USUAL_LIMITS | {"assessors": "8", "sheet": sheet, "pourer": Pourer.ABSENT.value}
    return given | (fill_form(method) if method else {})


def _type(value: Any) -> str:
    return "" if value is None else str(value)


def read_plan(stored: Mapping[str, Any]) -> Plan:
    """Read the stored plan of a tasting that is a scored table.

    Raises
    ------
    NotFound
        It is another kind of tasting.
    """
    plan = Plan.model_validate(stored)
    if plan.table is None:
        raise NotFound("This is no scored table.")
    return plan


def get_plan_sheet(plan: Plan) -> Sheet:
    """Return the sheet of a scored table's plan."""
    assert plan.table is not None
    return read_sheet(plan.table.sheet)
