"""Methods served as a scored table: their form filled in, and what a plan of one must hold."""

import re
from collections.abc import Iterator, Mapping, Sequence
from math import factorial

from server.blinding.plans import Plan, TablePlan
from server.methods.registry import SCORED
from server.methods.scored import ScoredMethod
from server.sheets.scales.base import Kind
from server.sheets.sheet import Sheet
from server.tastings.refusals import Invalid
from server.tastings.table_messages import ORDER

SAMPLES = "{method}: {fewest} to {most} samples."
PRIMARY = {
    "control": "Choose the question for the difference from the control: its scale must be one.",
    "ranking": "Choose the question for the order: its scale must be a ranking.",
}
CONTROL = "Choose the sample that is the control; it stands blind on every table."
OPEN_CONTROL = "The open cup must be the control: everybody compares the codes with it."
SHARED = "Everybody needs cups of their own here."
WHOLE = "Everybody must meet all samples to put them in one order."
ONCE = "In an order every sample has one place: no sample twice, no cups scattered."
UNORDERED = "An order is declared for a ranking alone."


def fill_form(method: ScoredMethod) -> dict[str, str]:
    """Return the fields of a plan's form that a method fills in."""
    return {**method.suggested, "method": method.name, "sheet": f"starter:{method.starter}"}


def find_method(form: Mapping[str, str]) -> ScoredMethod | None:
    """Return the method a form is for; None if it is for a sheet of one's own."""
    return SCORED.get(form.get("method", ""))


def read_order(text: str) -> tuple[str, ...]:
    """Return the levels of an order as it was typed: letters, whatever stands between them.

    Raises
    ------
    Invalid
        It holds something else.
    """
    if not re.fullmatch(r"[A-La-l\s,;>]*", text):
        raise Invalid(order=ORDER)
    return tuple(re.findall("[A-L]", text.upper()))


def check_method(plan: Plan, levels: Sequence[str], sheet: Sheet) -> None:
    """Refuse a plan that the method it names cannot be served with.

    Raises
    ------
    Invalid
        With one message for each field that cannot be taken.
    """
    table = plan.table
    assert table is not None
    method = SCORED.get(table.method)
    messages = {} if method is None else dict(_check(method, table, levels, sheet))
    if table.order and (method is None or method.asked != "ranking"):
        messages["order"] = UNORDERED
    if messages:
        raise Invalid(**messages)


def _check(
    method: ScoredMethod, table: TablePlan, levels: Sequence[str], sheet: Sheet
) -> Iterator[tuple[str, str]]:
    if not method.fewest <= len(levels) <= method.most:
        place = "sample_b" if len(levels) < method.fewest else f"sample_{levels[-1].lower()}"
        said = {"method": method.title, "fewest": method.fewest, "most": method.most}
        yield place, SAMPLES.format(**said)
    if table.shared:
        yield "style", SHARED
    scale = find_scale(sheet, table.primary)
    if scale is None or getattr(scale, "kind", "") != method.asked:
        yield "primary", PRIMARY[method.asked]
    if method.has_control:
        yield from _check_control(table)
    elif table.block:
        yield "bowls", WHOLE
    elif table.duplicates or table.laps > 1:
        yield ("sample_" + table.duplicates[0].lower() if table.duplicates else "bowls"), ONCE


def _check_control(table: TablePlan) -> Iterator[tuple[str, str]]:
    if not table.reference:
        yield "reference", CONTROL
    elif table.warm_up != table.reference:
        yield "warm_up", OPEN_CONTROL


def find_least_p(plan: Plan, levels: Sequence[str]) -> float | None:
    """Return the smallest p-value that a method's plan can give; None without a method.

    Everybody agrees then: on signs, adjusted for all samples, or on one order.
    """
    table = plan.table
    method = SCORED.get(table.method) if table else None
    if table is None or method is None:
        return None
    if method.has_control:
        return 0.5**plan.assessors * (len(levels) - 1)
    alike = 1 / factorial(len(levels))
    return alike ** (plan.assessors if table.order else plan.assessors - 1)


def find_scale(sheet: Sheet, declared: str) -> Kind | None:
    """Return the scale of the question that was declared to count."""
    attribute = sheet.find_attribute(declared.partition(", ")[0])
    return attribute.scale if attribute else None
