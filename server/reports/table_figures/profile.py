"""Profile of the samples as data, words and a table: means, limits, and the scores behind."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from server.reports.display import show_count, show_share
from server.reports.table_figures import words
from server.reports.table_figures.axis import span
from server.reports.table_figures.shown import (
    Names,
    Numbers,
    list_names,
    show_limits,
    show_p_value,
    show_short,
    show_value,
)
from server.sheets.analysis import Analysis
from server.sheets.scores import Score, group_scores
from server.stats.results import Interval

Standing = Literal["finding", "lead", "none", "untested"]


@dataclass(frozen=True)
class SampleRow:
    """One sample in one attribute.

    Attributes
    ----------
    sample : str
    mean : float or None
    interval : Interval or None
    letters : str or None
        Samples that share a letter are not told apart.
    scores : tuple of (str, float)
        Who gave what.
    """

    sample: str
    mean: float | None
    interval: Interval | None
    letters: str | None
    scores: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class ProfilePanel:
    """One attribute.

    Attributes
    ----------
    attribute : str
    ends : tuple of float
        Of the axis.
    p_value : float or None
    standing : {"finding", "lead", "none", "untested"}
    against : tuple of str
        Who goes against the rest.
    rows : tuple of SampleRow
    """

    attribute: str
    ends: tuple[float, float]
    p_value: float | None
    standing: Standing
    against: tuple[str, ...]
    rows: tuple[SampleRow, ...]


@dataclass(frozen=True)
class Profile:
    """Samples by attributes.

    Attributes
    ----------
    panels : tuple of ProfilePanel
    assessors : tuple of str
        Everybody who scored anything, sorted.
    level : float
        Of the limits.
    """

    panels: tuple[ProfilePanel, ...]
    assessors: tuple[str, ...]
    level: float


def build_profile(
    analysis: Analysis,
    scores: Sequence[Score],
    names: Names | None = None,
    attributes: Sequence[str] = (),
) -> Profile:
    """Build the profile of the attributes named, all that were analysed if none is.

    Examples
    --------
    >>> from server.sheets.analysis import analyse_scores
    >>> rows = [("ann", 3, 5), ("bo", 4, 7), ("cy", 2, 3)]
    >>> scores = [Score(who, "X", "bitter", x) for who, x, _ in rows]
    >>> scores += [Score(who, "Y", "bitter", y) for who, _, y in rows]
    >>> [panel] = build_profile(analyse_scores(scores), scores).panels
    >>> panel.rows[0].mean, panel.rows[0].scores
    (3.0, (('ann', 3.0), ('bo', 4.0), ('cy', 2.0)))
    """
    called = names or Names()
    grouped = group_scores(scores)
    panels = tuple(
        _build_panel(analysis, name, grouped[name], called)
        for name in attributes or analysis.attributes
    )
    people = {called.assessor(one.assessor) for one in scores if one.value is not None}
    return Profile(panels, tuple(sorted(people)), 1 - analysis.alpha)


def judge(analysis: Analysis, attribute: str) -> Standing:
    """Return what the test of an attribute may be called."""
    p = analysis.attributes[attribute].samples.p_value
    if p is None:
        return "untested"
    if analysis.verdicts is not None:
        if attribute in analysis.verdicts.findings:
            return "finding"
        return "lead" if attribute in analysis.verdicts.leads else "none"
    return "lead" if p <= analysis.alpha else "none"


def _build_panel(
    analysis: Analysis, name: str, scores: Sequence[Score], called: Names
) -> ProfilePanel:
    one = analysis.attributes[name]
    found = one.samples
    rows = tuple(
        SampleRow(
            sample=called.sample(sample),
            mean=mean,
            interval=found.intervals[sample],
            letters=found.letters[sample],
            scores=tuple(
                (called.assessor(score.assessor), float(score.value))
                for score in scores
                if score.sample == sample and score.value is not None
            ),
        )
        for sample, mean in found.means.items()
    )
    return ProfilePanel(
        attribute=called.attribute(name),
        ends=span([value for row in rows for _, value in row.scores], called.ends.get(name)),
        p_value=found.p_value,
        standing=judge(analysis, name),
        against=tuple(called.assessor(who) for who in one.against),
        rows=rows,
    )


def describe(data: Profile) -> str:
    """Say what the figure shows, and which attributes tell the samples apart."""
    samples = max(len(panel.rows) for panel in data.panels)
    shown = words.PROFILE_ALT.format(
        samples=show_count(samples, "sample"),
        attributes=show_count(len(data.panels), "attribute"),
        level=show_share(data.level),
    )
    return f"{shown} {_tell(data)}"


def _tell(data: Profile) -> str:
    by: dict[Standing, list[str]] = {}
    for panel in data.panels:
        by.setdefault(panel.standing, []).append(panel.attribute)
    parts = []
    if "finding" in by:
        parts.append(words.PROFILE_FINDINGS.format(names=list_names(by["finding"])))
    if "lead" in by:
        parts.append(words.PROFILE_LEADS.format(names=list_names(by["lead"])))
    if not parts and "none" in by:
        parts.append(words.PROFILE_NONE)
    if "untested" in by:
        parts.append(words.PROFILE_UNTESTED.format(names=list_names(by["untested"])))
    return " ".join(parts)


def tabulate(data: Profile) -> Numbers:
    """Return the figure's numbers, a row a sample and attribute."""
    level = show_share(data.level)
    rows = (
        (
            panel.attribute,
            show_p_value(panel.p_value),
            row.sample,
            show_value(row.mean),
            show_limits(row.interval),
            row.letters or "",
            ", ".join(f"{who} {show_short(value)}" for who, value in row.scores),
        )
        for panel in data.panels
        for row in panel.rows
    )
    return Numbers(tuple(head.format(level=level) for head in words.PROFILE_HEAD), tuple(rows))
