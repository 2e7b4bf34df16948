"""What questions, samples and assessors of a scored table are called."""

from server.reports.display import NO_VALUE
from server.reports.scored import TableAnalysis
from server.reports.table_figures.shown import Names
from server.sheets.filled import name_score
from server.sheets.scales.base import Analysis
from server.sheets.scales.line import Line
from server.sheets.scales.word_row import WordRow
from server.sheets.sheet import Attribute


def name_all(analysis: TableAnalysis) -> Names:
    """Return the labels people chose, by the names used in the analysis."""
    called: dict[str, str] = {}
    ends: dict[str, tuple[float, float]] = {}
    for one in analysis.sheet.attributes:
        for time in (*one.times, *_list_changes(one)):
            name = name_score(one.name, time)
            called[name] = name_score(one.label, time)
            if time in one.times and (span := _find_ends(one)):
                ends[name] = span
    samples = {one.level: one.label for one in analysis.samples}
    return Names(called, samples, {}, ends)


def _list_changes(one: Attribute) -> tuple[str, ...]:
    return (f"{one.times[0]} to {one.times[-1]}",) if len(one.times) > 1 else ()


def _find_ends(one: Attribute) -> tuple[float, float] | None:
    if isinstance(one.scale, Line):
        return 0.0, 100.0
    if isinstance(one.scale, WordRow) and one.scale.analysis in (
        Analysis.NUMBERS,
        Analysis.LIKING,
    ):
        return float(one.scale.lowest), float(one.scale.lowest + len(one.scale.words) - 1)
    return None


def show_points(value: float | None) -> str:
    """Show a score or a difference of scores to one decimal.

    Examples
    --------
    >>> show_points(12.34), show_points(-0.04), show_points(None)
    ('12.3', '0.0', 'not estimable')
    """
    if value is None:
        return NO_VALUE
    return f"{round(value, 1) + 0.0:.1f}".replace("-", "−")
