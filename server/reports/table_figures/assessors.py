"""How each assessor worked on one attribute, as data, words and a table: three figures each."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.reports.display import NO_VALUE, show_count, show_share
from server.reports.table_figures import words
from server.reports.table_figures.shown import (
    Names,
    Numbers,
    list_names,
    show_limits,
    show_value,
)
from server.sheets.analysis import Analysis
from server.sheets.scores import Score, collect_ratings, group_scores
from server.stats.assessor_limits import AssessorLimits, Estimate, limit_assessors
from server.stats.assessors import analyse_assessors


@dataclass(frozen=True)
class AssessorRow:
    """One assessor.

    Attributes
    ----------
    assessor : str
    tells_apart : Estimate or None
        Share of the variance of own scores that goes with the samples, 0 to 1.
    repeats : Estimate or None
        Standard deviation of repeated scores, in units of the scale.
    agrees : Estimate or None
        Correlation with the means of the rest, -1 to 1.
    shared : int
        Samples that `agrees` is from.
    against : bool
    reasons : tuple of str
        Why something is missing or has no limits.
    """

    assessor: str
    tells_apart: Estimate | None
    repeats: Estimate | None
    agrees: Estimate | None
    shared: int
    against: bool
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Assessors:
    """A panel's assessors on one attribute.

    Attributes
    ----------
    attribute : str
    rows : tuple of AssessorRow
    level : float
        Of the limits.
    """

    attribute: str
    rows: tuple[AssessorRow, ...]
    level: float


NOTHING = AssessorLimits(None, None, None, ())


def build_assessors(
    analysis: Analysis, scores: Sequence[Score], attribute: str, names: Names | None = None
) -> Assessors:
    """Build the rows of one attribute, everybody of the sheet among them.

    Examples
    --------
    >>> from server.sheets.analysis import analyse_scores
    >>> rows = [("ann", "X", 2), ("ann", "X", 3), ("ann", "Y", 6), ("ann", "Y", 7)]
    >>> scores = [Score(who, sample, "bitter", value) for who, sample, value in rows]
    >>> [row] = build_assessors(analyse_scores(scores), scores, "bitter").rows
    >>> round(row.repeats.value, 3), row.agrees
    (0.707, None)
    """
    called, one = names or Names(), analysis.attributes[attribute]
    ratings = collect_ratings(group_scores(scores)[attribute])
    limits = limit_assessors(ratings, analysis.alpha)
    shared = {who: x.shared_samples for who, x in analyse_assessors(ratings).assessors.items()}
    rows = []
    for who in one.assessors:
        found = limits.get(who, NOTHING)
        rows.append(
            AssessorRow(
                assessor=called.assessor(who),
                tells_apart=found.discrimination,
                repeats=found.repeatability,
                agrees=found.agreement,
                shared=shared.get(who, 0),
                against=who in one.against,
                reasons=found.notes,
            )
        )
    return Assessors(called.attribute(attribute), tuple(rows), 1 - analysis.alpha)


def describe(data: Assessors) -> str:
    """Say what the figure shows, who goes against the rest, and who tells samples apart."""
    shown = words.ASSESSORS_ALT.format(
        assessors=show_count(len(data.rows), "assessor"),
        attribute=data.attribute,
        level=show_share(data.level),
    )
    against = [row.assessor for row in data.rows if row.against]
    goes = words.GOES[len(against) == 1].format(list_names(against))
    told = words.ASSESSORS_AGAINST.format(who=goes) if against else words.LINES_NOBODY
    return f"{shown} {told} {_tell_apart(data)}"


def _tell_apart(data: Assessors) -> str:
    known = [row.tells_apart.interval for row in data.rows if row.tells_apart]
    if not known:
        return words.TELLS_NONE
    told = sum(1 for interval in known if interval is not None and interval.low > 0)
    return words.TELLS.format(told=told, testable=len(known))


def tabulate(data: Assessors) -> Numbers:
    """Return the figure's numbers, a row an assessor."""
    level = show_share(data.level)
    rows = tuple(
        (
            row.assessor,
            *_show(row.tells_apart),
            *_show(row.repeats),
            *_show(row.agrees),
            str(row.shared),
        )
        for row in data.rows
    )
    return Numbers(tuple(head.format(level=level) for head in words.ASSESSORS_HEAD), rows)


def _show(found: Estimate | None) -> tuple[str, str]:
    if found is None:
        return NO_VALUE, NO_VALUE
    return show_value(found.value), show_limits(found.interval)
