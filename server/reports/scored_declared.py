"""The question that was declared to count: its scores or orders, and the test that decides it."""

from collections.abc import Sequence

from server.blinding.sealed import SealedTasting
from server.blinding.table_plans import get_table
from server.reports.scored_answers import SeatTable
from server.reports.scored_control import compare_control, compares_with_control
from server.reports.scored_kinds import Declared, OtherKinds, analyse_others
from server.sheets.filled import list_score_names, to_changes, to_scores
from server.sheets.scales.base import Analysis
from server.sheets.scores import Score
from server.sheets.sheet import Sheet

ORDERS = (Analysis.RANKS, Analysis.ORDERED)


def list_scores(sheet: Sheet, tables: Sequence[SeatTable]) -> tuple[Score, ...]:
    """List the numbers of all sheets, in the order of the score sheet, changes last."""
    filled = [one.filled for one in tables]
    order = {name: place for place, name in enumerate(list_score_names(sheet))}
    scores = [*to_scores(sheet, filled), *to_changes(sheet, filled)]
    return tuple(sorted(scores, key=lambda one: order[one.attribute]))


def find_primary(sheet: Sheet, declared: str) -> str:
    """Return the score that was declared to count; of several passes the first.

    A question that is no number has no score: it is empty, as if none was declared.
    """
    names = list_score_names(sheet)
    if declared in names:
        return declared
    return next((name for name in names if name.startswith(f"{declared}, ")), "")


def has_own_test(sealed: SealedTasting, sheet: Sheet) -> bool:
    """Tell whether another test than an analysis of variance decides the declared question."""
    table = get_table(sealed.plan)
    asked = sheet.find_attribute(table.primary.partition(", ")[0])
    ordered = asked is not None and asked.scale.analysis in ORDERS
    return ordered or compares_with_control(table)


def analyse_kinds(sealed: SealedTasting, sheet: Sheet, tables: Sequence[SeatTable]) -> OtherKinds:
    """Analyse what is no number, along the order that was declared beforehand if there is one."""
    table, levels = get_table(sealed.plan), [one.level for one in sealed.samples]
    declared = Declared(table.primary.partition(", ")[0], table.order)
    return analyse_others(sheet, tables, levels, float(sealed.plan.alpha), declared)


def find_own_p(sealed: SealedTasting, sheet: Sheet, tables: Sequence[SeatTable]) -> float | None:
    """Return the p-value of the declared question where no analysis of variance decides."""
    table, scores = get_table(sealed.plan), list_scores(sheet, tables)
    if compares_with_control(table):
        levels = [one.level for one in sealed.samples]
        primary = find_primary(sheet, table.primary)
        found = compare_control(table, scores, primary, levels, float(sealed.plan.alpha))
        return found.p_value if found else None
    orders = analyse_kinds(sealed, sheet, tables).orders
    mine = (one.p_value for name, one in orders.items()
            if name == table.primary or name.startswith(f"{table.primary}, "))  # fmt: skip
    return next(mine, None)
