"""Differences from a control: each sample against the blind control's own scores."""

from collections import defaultdict
from collections.abc import Sequence

from server.blinding.plans import TablePlan
from server.methods.registry import SCORED
from server.sheets.scores import Score
from server.stats.against_control import AgainstControl, compare_with_control


def compares_with_control(table: TablePlan) -> bool:
    """Tell whether a table serves a method that has a control."""
    method = SCORED.get(table.method)
    return method is not None and method.has_control


def compare_control(
    table: TablePlan, scores: Sequence[Score], primary: str, levels: Sequence[str], alpha: float
) -> AgainstControl | None:
    """Compare every sample with the blind control; None if no method asks for it, or no score.

    Several scores of a sample by one person are averaged first: people are the pairs.
    """
    mine = [one for one in scores if one.attribute == primary and one.value is not None]
    if not (compares_with_control(table) and mine and table.reference in levels):
        return None
    given: dict[str, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for one in mine:
        if one.value is not None:
            given[one.assessor][one.sample].append(one.value)
    means = {
        who: {sample: sum(values) / len(values) for sample, values in samples.items()}
        for who, samples in given.items()
    }
    return compare_with_control(means, table.reference, levels, alpha)
