"""Were the brews of a scored table alike? What its finding says of that, and its grid."""

from collections.abc import Iterator
from decimal import Decimal

from server.brewing.match import Verdict as Match
from server.reports import claim_words, labels, table_words
from server.reports.brews import PropertyState
from server.reports.display import show_apart, show_number
from server.reports.facts import say_be
from server.reports.match_rows import name_judged, show_judged
from server.reports.scored import TableAnalysis
from server.reports.table_grid import Grid
from server.reports.table_verdicts import RIVAL_STATES, decide_table, list_rivals


def say_rivals(analysis: TableAnalysis) -> tuple[str, ...]:
    """Name what else may be why the samples were scored apart."""
    if decide_table(analysis) not in RIVAL_STATES:
        return ()
    rivals = say_be(list_rivals(analysis), "is", "are")
    return (claim_words.RIVAL.format(rivals=rivals),)


def forbid_beside_rivals(analysis: TableAnalysis) -> tuple[str, ...]:
    """Say that nothing speaks against these other causes."""
    if decide_table(analysis) not in RIVAL_STATES:
        return ()
    return (claim_words.NOT_BUT_RIVAL.format(rivals=" or ".join(list_rivals(analysis))),)


def list_match_limits(analysis: TableAnalysis) -> tuple[str, ...]:
    """List how the brews were not alike, or not known to be, the two farthest apart by name."""
    return tuple(_list(analysis)) if analysis.tables else ()


def _list(analysis: TableAnalysis) -> Iterator[str]:
    for one in analysis.properties:
        if one.state in table_words.PROPERTY:
            yield _say_apart(analysis, one)
    unread = [one.name for one in analysis.properties if one.state == Match.NOT_MEASURED]
    if unread:
        said = say_be(unread, "was", "were")
        yield table_words.UNREAD.format(Names=said[:1].upper() + said[1:])


def _say_apart(analysis: TableAnalysis, found: PropertyState) -> str:
    one, other = found.pair or ("", "")
    return table_words.PROPERTY[found.state].format(
        Name=found.name.capitalize(),
        one=analysis.label(one),
        other=analysis.label(other),
        worst=show_apart(found.worst or Decimal(0), found.unit),
        limit=f"{show_number(found.limit)} {found.unit}",
    )


def show_brews(analysis: TableAnalysis) -> Grid:
    """Show what was read of every brew behind a sheet that counts; nothing if nothing was."""
    title, head = labels.TABLES["match"]
    rounds = 2 if analysis.table.warm_up else 1  # a warm-up cup has a round of its own
    rows = tuple(
        (
            row.slot,
            str((row.round - 1) // rounds + 1),
            analysis.label(row.sample),
            *(_show(value) for value in (row.tds, row.spread, row.temperature_c, row.fill_g)),
            *show_judged(analysis.match, row),
        )
        for row in analysis.match.rows
        if any(
            value is not None
            for value in (row.tds, row.temperature_c, row.fill_g, row.extraction, row.waited)
        )
    )
    columns = (head[1], labels.SITTING, *head[2:], *name_judged(analysis.match))
    return Grid("brews", title, columns, rows)


def _show(value: Decimal | None) -> str:
    return labels.NOT_READ if value is None else f"{value:f}"
