"""A series' finding as plain data for programs, as rows, and as plain text for a terminal."""

import csv
import io
from typing import Any

from server.reports.exports import to_dict
from server.reports.plain_text import lay_out, render_grid, render_list, render_pairs
from server.reports.series.analysis import SeriesAnalysis
from server.reports.series.findings import SeriesFinding, conclude_series

COLUMNS = ("assessor", "concentration", "correct")
"""As `oddcup analyse threshold` reads them."""


def report_series(analysis: SeriesAnalysis) -> dict[str, Any]:
    """Put analysis and finding into one object, unrounded."""
    return {"analysis": to_dict(analysis), "finding": to_dict(conclude_series(analysis))}


def write_rows(analysis: SeriesAnalysis) -> str:
    """Write every answer that counts, one a row, as CSV."""
    steps = analysis.series.steps
    judged = sorted(analysis.judged, key=lambda one: (one.seat, one.round))
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(COLUMNS)
    for one in judged:
        rows.writerow((f"seat {one.seat}", f"{steps[one.round - 1]:f}", int(one.correct)))
    return text.getvalue()


def render_series(finding: SeriesFinding) -> str:
    """Lay a finding out for the terminal, with a line end after the last line."""
    blinding = f"{finding.blinding_level}, {finding.blinding}"
    pairs = [
        ("Question", finding.question),
        ("Base", finding.base),
        ("Added", finding.added),
        ("Method", finding.method),
        ("Blinding level", blinding),
        ("Seal", finding.seal),
    ]
    blocks = [
        finding.headline,
        render_pairs(pairs),
        render_list("May be said", finding.may_say),
        render_list("May not be said", finding.may_not_say),
        render_pairs([(one.label, one.value) for one in finding.numbers], "Numbers"),
        *(render_grid(one.title, one.head, one.rows) for one in finding.tables),
        render_list("Limits", finding.limits),
        render_list("Blinding", finding.blinding_reasons),
        render_list("Amendments and exclusions", finding.amendments),
        render_list("Next", finding.next_steps),
    ]
    return lay_out(blocks)
