"""Two pictures of a similarity test: what the limit would give, and what the answers allow."""

from typing import TYPE_CHECKING

from server.reports import labels as shared
from server.reports.analysis import Analysis
from server.reports.display import NO_VALUE, show_count, show_share
from server.reports.facts import is_one_answer_each
from server.reports.few import labels
from server.reports.few.facts import find_declared, say_few
from server.reports.figures import (
    BAR,
    DEEP,
    EDGE,
    INK,
    SMALLEST_SHOWN,
    WHISKER,
    draw,
    finish,
    get_counts,
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
        axes.set_yticks([])

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
        axes.set(xlim=(-2, 102), ylim=(0, 1), yticks=[], xticks=range(0, 101, 20))

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
    likely = [k for k, p in enumerate(chances) if p >= SMALLEST_SHOWN * max(chances)]
    first, last = min(likely[0], counts.correct), max(likely[-1], counts.correct)
    shown = range(first, last + 1)
    at_limit = say_few(labels.FIGURE_AT_LIMIT, analysis)
    passes = say_few(labels.FIGURE_PASSES, analysis)
    for label, hatch, bars in (
        (at_limit, "", [k for k in shown if k > most]),
        (passes, "////", [k for k in shown if k <= most]),
    ):
        if bars:
            axes.bar(bars, chances[bars], color=BAR[hatch], hatch=hatch, label=label, **EDGE)
    top = float(max(chances))
    axes.plot([counts.correct] * 2, [0, top * 1.1], color=DEEP, linewidth=2.2)
    reached = shared.FIGURE_REACHED.format(k=counts.correct)
    axes.plot(counts.correct, top * 1.14, "v", color=DEEP, markersize=9, label=reached)
    axes.set(xlim=(first - 0.8, last + 0.8), ylim=(0, top * 1.22))


def _plot_share(axes: "Axes", analysis: Analysis) -> None:
    counts, few, declared = get_counts(analysis), analysis.few, find_declared(analysis.plan)
    limit = say_few(labels.FIGURE_LIMIT, analysis)
    if few is not None and few.upper is not None:
        upper = say_few(labels.FIGURE_UPPER, analysis)
        axes.plot([0, 100 * few.upper], [0.45, 0.45], "|-", color=INK, label=upper, **WHISKER)
        estimate = shared.FIGURE_ESTIMATE.format(pd=show_share(counts.pd))
        axes.plot(100 * counts.pd, 0.45, "o", color=DEEP, markersize=10, label=estimate)
    dashes = (0, (4, 2))
    axes.axvline(100 * declared.limit, color=DEEP, linewidth=2, linestyle=dashes, label=limit)
