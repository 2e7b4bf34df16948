"""The blocks of a sequential test as rows: the numbers behind its picture."""

from server.reports.analysis import Analysis
from server.reports.stopping import labels
from server.reports.stopping.facts import list_looks


def list_look_rows(analysis: Analysis) -> list[tuple[str, ...]]:
    """List a row for every judged block; none if the test is not sequential."""
    if analysis.sequence is None:
        return []
    path = analysis.sequence
    return [
        (
            str(step.trials),
            str(step.correct),
            _show(step.low),
            _show(step.high),
            labels.SAID[step.trials == path.decided_at],
        )
        for step in list_looks(path)
    ]


def _show(limit: int | None) -> str:
    return labels.NEVER if limit is None else str(limit)
