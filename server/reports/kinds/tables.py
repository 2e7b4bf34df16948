"""Answers by what stood there, as a table of two rows."""

from server.reports.analysis import Analysis
from server.reports.kinds import labels


def list_calls(analysis: Analysis) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Return head and rows: what stood there, and how often it was called what."""
    found, name = analysis.kinds, analysis.plan.method
    if found is None:
        return (), ()
    names = {"a": analysis.samples[0].label, "b": analysis.samples[-1].label}
    rates = found.rates
    counts = ((rates.first_yes, rates.first), (rates.second_yes, rates.second))
    rows = tuple(
        (kind.format(**names), str(yes), str(served - yes))
        for kind, (yes, served) in zip(labels.KINDS[name], counts, strict=True)
    )
    return (labels.TABLE_HEAD, *labels.ANSWERS[name]), rows
