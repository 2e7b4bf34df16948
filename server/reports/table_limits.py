"""What limits the finding of a scored table, and what may not be said of it."""

from server.blinding.table_plans import is_complete
from server.reports import table_words as words
from server.reports.contrast_words import NOT_THE_CAUSE
from server.reports.contrasts import limit_by_contrast
from server.reports.display import quote, show_count
from server.reports.gate_limits import limit_gate, limit_shared
from server.reports.piece_limits import limit_pieces
from server.reports.scored import TableAnalysis
from server.reports.table_calibration import limit_by_open_bowls
from server.reports.table_grids import asks_liking
from server.reports.table_match import forbid_beside_rivals, list_match_limits
from server.reports.table_verdicts import FEWEST_PEOPLE

SMALL_PANEL = 8
"""Below this a panel is called small; common practice, no source."""


def forbid(analysis: TableAnalysis) -> tuple[str, ...]:
    """List what the scores do not support, however tempting."""
    liking = (words.LIKING,) if asks_liking(analysis) else ()
    contrast = analysis.plan.contrast
    part = (NOT_THE_CAUSE[contrast],) if contrast else ()
    return (*forbid_beside_rivals(analysis), *part, *words.MAY_NOT_SAY, *liking)


def list_table_limits(analysis: TableAnalysis) -> tuple[str, ...]:
    """List what limits the finding."""
    missing = analysis.missing.required + analysis.missing.optional
    own = analysis.table.style == "own" and bool(analysis.others.flags)
    said = {
        _say_incomplete(analysis): analysis.answered < analysis.planned,
        words.MISSING.format(
            missing=show_count(missing, "place"), places=analysis.missing.places
        ): missing > 0,
        words.REFUSED.format(refused=show_count(analysis.refused, "value")): analysis.refused > 0,
        words.SINGLE: analysis.single,
        words.SMALL: FEWEST_PEOPLE <= len(analysis.people) < SMALL_PANEL,
        words.SITTINGS: analysis.plan.sittings > 1,
        words.OWN_CUPS_FLAGS: own,
        words.BLOCKS: not is_complete(analysis.table, [one.level for one in analysis.samples]),
        words.OPEN: analysis.blinding.level == 0,
    }
    said |= dict.fromkeys(limit_by_open_bowls(analysis.open_bowls), True)
    held = (sentence for sentence, holds in said.items() if holds)
    gates = (*limit_gate(analysis.gate, analysis.properties), *limit_shared(analysis.gate))
    pieces = limit_pieces(analysis.pieces) if analysis.pieces else ()
    contrast = limit_by_contrast(analysis.plan)
    return (*gates, *list_match_limits(analysis), *pieces, *contrast, *held)


def _say_incomplete(analysis: TableAnalysis) -> str:
    return words.INCOMPLETE.format(
        answered=analysis.answered,
        planned=show_count(analysis.planned, "planned sheet"),
        reason=quote(analysis.closing_reason),
    )
