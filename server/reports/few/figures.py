"""Two pictures of a similarity test: what the limit would give, and what the answers allow."""

from typing import TYPE_CHECKING

from server.reports import labels as shared
from server.reports.analysis import Analysis
from server.reports.display import NO_VALUE, show_count, show_share
from server.reports.facts import is_one_answer_each
from server.reports.few import labels
from server.reports.few.facts import find_declared, say_few
from server.reports.figures import get_counts
from server.reports.picture import (
    Counts,
    draw,
    find_likely,
    finish,
    plot_counts,
    plot_estimate,
    plot_range,
    plot_size,
    scale_shares,
)
from server.stats.thurstone import pc_from_share

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_limit(analysis: Analysis) -> bytes:
    """Draw what the limit would give, the counts that pass, and the count reached.

    Raises
    ------
    ValueError
        If no answer counts.
    """
    counts = get_counts(analysis)

    def plot(axes: "Axes") -> None:
        _plot_limit(axes, analysis)
        finish(axes, shared.FIGURE_COUNT_AXIS.format(n=counts.trials))

    return draw(plot, height=3.3)


def draw_share(analysis: Analysis) -> bytes:
    """Draw the share that noticed, up to its one-sided limit, against the planned one.

    Raises
    ------
    ValueError
        If no answer counts.
    """
    get_counts(analysis)

    def plot(axes: "Axes") -> None:
        _plot_share(axes, analysis)
        finish(axes, shared.FIGURE_SHARE_AXIS[is_one_answer_each(analysis)])
        scale_shares(axes)

    return draw(plot, height=2.4)


def describe_limit(analysis: Analysis) -> str:
    """Say in words what `draw_limit` shows, for those who cannot see it."""
    counts, most = get_counts(analysis), _find_most(analysis)
    passes = labels.FIGURE_PASSES_ALT if most >= 0 else labels.FIGURE_NONE_PASSES
    return labels.FIGURE_ALT.format(
        answers=show_count(counts.trials, "answer"),
        limit=say_few("{limit}", analysis),
        k=counts.correct,
        passes=passes.format(most=most),
    )


def describe_share(analysis: Analysis) -> str:
    """Say in words what `draw_share` shows, for those who cannot see it."""
    counts = get_counts(analysis)
    return say_few(
        labels.FIGURE_SHARE_ALT,
        analysis,
        pd=NO_VALUE if counts.pd_upper is None else show_share(counts.pd),
    )


def _find_most(analysis: Analysis) -> int:
    few = analysis.few
    return -1 if few is None or few.most_correct is None else few.most_correct


def _plot_limit(axes: "Axes", analysis: Analysis) -> None:
    from server.stats.binomial import distribution

    counts, declared, most = (
        get_counts(analysis),
        find_declared(analysis.plan),
        _find_most(analysis),
    )
    chances = distribution(counts.trials, pc_from_share(declared.limit, declared.chance))
    shown = Counts(
        chances,
        range(most + 1),
        counts.correct,
        say_few(labels.FIGURE_AT_LIMIT, analysis),
        say_few(labels.FIGURE_PASSES, analysis),
        shared.FIGURE_REACHED.format(k=counts.correct),
    )
    ends = [*find_likely(chances), counts.correct]
    plot_counts(axes, shown, min(ends), max(ends))


def _plot_share(axes: "Axes", analysis: Analysis) -> None:
    counts, few, declared = get_counts(analysis), analysis.few, find_declared(analysis.plan)
    if few is not None and few.upper is not None:
        plot_range(axes, 0, 100 * few.upper, say_few(labels.FIGURE_UPPER, analysis))
        estimate = shared.FIGURE_ESTIMATE.format(pd=show_share(counts.pd))
        plot_estimate(axes, 100 * counts.pd, estimate)
    plot_size(axes, 100 * declared.limit, say_few(labels.FIGURE_LIMIT, analysis))
