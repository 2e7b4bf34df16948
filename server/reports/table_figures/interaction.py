"""Lines of the assessors over the samples as data, words and a table: who goes another way."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.reports.display import show_count
from server.reports.table_figures import words
from server.reports.table_figures.axis import span
from server.reports.table_figures.shown import Names, Numbers, list_names, show_value
from server.sheets.analysis import Analysis
from server.sheets.scores import Score, collect_ratings, group_scores


@dataclass(frozen=True)
class AssessorLine:
    """One assessor's means.

    Attributes
    ----------
    assessor : str
    means : tuple of float or None
        Of the samples; None where nothing was scored.
    against : bool
        Whether against the rest more than chance would explain.
    """

    assessor: str
    means: tuple[float | None, ...]
    against: bool


@dataclass(frozen=True)
class LinesPanel:
    """One attribute.

    Attributes
    ----------
    attribute : str
    ends : tuple of float
        Of the axis.
    samples : tuple of str
        The highest mean of the panel first, those without a mean last.
    means : tuple of float or None
        Of the panel.
    lines : tuple of AssessorLine
    """

    attribute: str
    ends: tuple[float, float]
    samples: tuple[str, ...]
    means: tuple[float | None, ...]
    lines: tuple[AssessorLine, ...]


@dataclass(frozen=True)
class Interaction:
    """Assessors by samples, an attribute a panel.

    Attributes
    ----------
    panels : tuple of LinesPanel
    """

    panels: tuple[LinesPanel, ...]


def build_interaction(
    analysis: Analysis,
    scores: Sequence[Score],
    names: Names | None = None,
    attributes: Sequence[str] = (),
) -> Interaction:
    """Build the lines of the attributes named, of all that were analysed if none is.

    Examples
    --------
    >>> from server.sheets.analysis import analyse_scores
    >>> scores = [Score("ann", "X", "bitter", 3), Score("ann", "Y", "bitter", 5)]
    >>> [panel] = build_interaction(analyse_scores(scores), scores).panels
    >>> panel.samples, panel.lines[0].means
    (('Y', 'X'), (5.0, 3.0))
    """
    called, grouped = names or Names(), group_scores(scores)
    return Interaction(
        tuple(
            _build_panel(analysis, name, grouped[name], called)
            for name in attributes or analysis.attributes
        )
    )


def _build_panel(
    analysis: Analysis, name: str, scores: Sequence[Score], called: Names
) -> LinesPanel:
    one, ratings = analysis.attributes[name], collect_ratings(scores)
    means = one.samples.means
    order = sorted(means, key=lambda sample: _rank(means[sample]))
    cells = {
        who: dict(zip(ratings.samples, row, strict=True))
        for who, row in zip(ratings.assessors, ratings.means().tolist(), strict=True)
    }
    lines = tuple(
        AssessorLine(
            called.assessor(who),
            tuple(_hold(row.get(sample)) for sample in order),
            who in one.against,
        )
        for who, row in cells.items()
    )
    held = [value for line in lines for value in line.means if value is not None]
    return LinesPanel(
        attribute=called.attribute(name),
        ends=span(held, called.ends.get(name)),
        samples=tuple(called.sample(sample) for sample in order),
        means=tuple(means[sample] for sample in order),
        lines=lines,
    )


def _rank(mean: float | None) -> float:
    return float("inf") if mean is None else -mean


def _hold(value: float | None) -> float | None:
    return None if value is None or value != value else value


def describe(data: Interaction) -> str:
    """Say what the figure shows, and who goes against the rest in what."""
    shown = words.LINES_ALT.format(
        samples=show_count(max(len(panel.samples) for panel in data.panels), "sample"),
        attributes=show_count(len(data.panels), "attribute"),
    )
    against: dict[str, list[str]] = {}
    for panel in data.panels:
        for line in panel.lines:
            if line.against:
                against.setdefault(line.assessor, []).append(panel.attribute)
    told = [
        words.LINES_AGAINST.format(who=words.GOES[True].format(who), names=list_names(names))
        for who, names in sorted(against.items(), key=lambda one: (-len(one[1]), one[0]))
    ]
    return " ".join([shown, *(told or [words.LINES_NOBODY])])


def tabulate(data: Interaction) -> Numbers:
    """Return the figure's numbers, a row an assessor and attribute, the panel's first."""
    samples = list(dict.fromkeys(name for panel in data.panels for name in panel.samples))
    rows = []
    for panel in data.panels:
        lines = [(words.LINES_PANEL, panel.means)]
        lines += [(line.assessor, line.means) for line in panel.lines]
        for who, means in lines:
            by = dict(zip(panel.samples, means, strict=True))
            rows.append((panel.attribute, who, *(_show(by.get(name)) for name in samples)))
    return Numbers((*words.LINES_HEAD, *samples), tuple(rows))


def _show(mean: float | None) -> str:
    return words.NOT_TASTED if mean is None else show_value(mean)
