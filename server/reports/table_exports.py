"""A scored table's finding as plain data for programs, and as plain text for a terminal."""

from typing import Any

from server.reports import table_words as words
from server.reports.exports import to_dict
from server.reports.plain_text import lay_out, render_grid, render_list, render_pairs
from server.reports.scored import TableAnalysis
from server.reports.table_findings import TableFinding, conclude_table
from server.reports.table_grids import list_grids


def report_table(analysis: TableAnalysis) -> dict[str, Any]:
    """Put the numbers and the finding of a table into one object."""
    return {
        "finding": to_dict(conclude_table(analysis)),
        "analysis": to_dict(
            {
                "primary": analysis.primary,
                "alpha": analysis.alpha,
                "planned": analysis.planned,
                "answered": analysis.answered,
                "numbers": analysis.numbers,
                "beliefs": analysis.beliefs,
                "control": analysis.control,
                "others": analysis.others,
                "bowls": analysis.bowls,
                "own_words": analysis.own_words,
                "readings": analysis.readings,
                "missing": analysis.missing,
                "open_bowls": analysis.open_bowls,
                "scores": analysis.scores,
            }
        ),
    }


def render_table(analysis: TableAnalysis) -> str:
    """Lay a table's finding out for the terminal, with a line end after the last line."""
    finding = conclude_table(analysis)
    grids = [render_grid(one.title, one.head, one.rows) for one in list_grids(analysis)]
    return lay_out([*_render_first(finding), *grids, *_render_rest(finding)])


def _render_first(finding: TableFinding) -> list[str]:
    blinding = f"{finding.blinding_level}, {finding.blinding}"
    pairs = [
        ("Question", finding.question),
        ("The one difference", finding.difference),
        ("Samples", ", ".join(finding.samples)),
        ("Sheet", finding.sheet),
        ("Blinding level", blinding),
        ("Seal", finding.seal),
    ]
    return [
        finding.headline,
        render_pairs(pairs),
        render_list(words.DIFFER_TITLE, finding.differ),
        render_list(words.DISAGREE_TITLE, finding.disagree),
        render_list(words.DECIDE_TITLE, finding.decide),
        render_list("May not be said", finding.may_not_say),
        render_pairs([(one.label, one.value) for one in finding.numbers], "Numbers"),
    ]


def _render_rest(finding: TableFinding) -> list[str]:
    readings = [(one.label, f"{one.counted}, p {one.p}, {one.outcome}") for one in finding.readings]
    return [
        render_pairs(readings, "Ways to count"),
        render_list("Limits", finding.limits),
        render_list("Blinding", finding.blinding_reasons),
        render_list("Amendments and exclusions", finding.amendments),
    ]
