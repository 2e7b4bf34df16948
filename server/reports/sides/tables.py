"""Heads of tables where either sample may be chosen more often."""

from server.reports.analysis import Analysis
from server.reports.sides import labels


def name_heads(analysis: Analysis, head: tuple[str, ...]) -> tuple[str, ...]:
    """Name the sample that is counted where other methods speak of right answers."""
    b = analysis.samples[-1].label
    return tuple(
        labels.HEADS.get(one, one).format(b=b) if one in labels.HEADS else one for one in head
    )
