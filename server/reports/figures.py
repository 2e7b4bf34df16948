"""Two pictures of a finding as SVG: what guessing gives, and what the answers allow.

Text is drawn as outlines, so the pictures look alike wherever they are shown; they
have a light ground of their own, and hatching and labels carry the meaning in print
without colour. The bytes depend on the numbers alone.
"""

import io
from collections.abc import Callable
from threading import Lock
from typing import TYPE_CHECKING, Any

from server.reports import labels
from server.reports.analysis import Analysis
from server.reports.display import show_count, show_share
from server.reports.facts import is_one_answer_each
from server.stats.counts import CountsResult

if TYPE_CHECKING:
    import numpy as np
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

PAPER, INK, SOFT, DEEP = "#fbf8f1", "#2d2824", "#d9cfbd", "#20616b"
WIDTH = 5.0  # inches; 360 points, so that a point is about a pixel on a small phone
BAR = {"": SOFT, "////": PAPER}
EDGE: dict[str, Any] = {"edgecolor": INK, "linewidth": 0.6, "width": 0.8}
WHISKER: dict[str, Any] = {"linewidth": 2.2, "markersize": 16, "markeredgewidth": 2.2}
SMALLEST_SHOWN = 0.002  # bars below this part of the highest one are left out

SETTINGS: Any = {  # its own type lists every setting there is
    "svg.fonttype": "path",
    "svg.hashsalt": "oddcup",
    "font.family": "DejaVu Sans",
    "font.size": 11.5,
    "hatch.linewidth": 1.2,
    "text.color": INK,
    "axes.labelcolor": INK,
    "axes.edgecolor": INK,
    "xtick.color": INK,
}

drawing = Lock()  # settings of the drawing library are global to the process


def draw_guessing(analysis: Analysis) -> bytes:
    """Draw what guessing alone gives, the count needed and the count reached.

    Parameters
    ----------
    analysis : Analysis
        Of at least one counted answer.

    Returns
    -------
    bytes
        SVG.

    Raises
    ------
    ValueError
        If no answer counts.
    """
    counts = get_counts(analysis)

    def plot(axes: "Axes") -> None:
        _plot_guessing(axes, counts)
        finish(axes, labels.FIGURE_COUNT_AXIS.format(n=counts.trials))
        axes.set_yticks([])

    return draw(plot, height=3.3)


def draw_share(analysis: Analysis) -> bytes:
    """Draw the share of noticing answers with its limits against the size that mattered.

    Parameters
    ----------
    analysis : Analysis
        Of at least one counted answer.

    Returns
    -------
    bytes
        SVG.

    Raises
    ------
    ValueError
        If no answer counts.
    """
    counts = get_counts(analysis)

    def plot(axes: "Axes") -> None:
        _plot_share(axes, counts)
        _plot_size(axes, analysis.reach.size_share)
        finish(axes, labels.FIGURE_SHARE_AXIS[is_one_answer_each(analysis)])
        axes.set(xlim=(-2, 102), ylim=(0, 1), yticks=[], xticks=range(0, 101, 20))

    return draw(plot, height=2.4)


def get_counts(analysis: Analysis) -> CountsResult:
    """Return the statistics that a figure shows.

    Raises
    ------
    ValueError
        If no answer counts.
    """
    if analysis.counts is None:
        raise ValueError(f"analysis must have counted answers, not {analysis.main.trials}")
    return analysis.counts


def _plot_guessing(axes: "Axes", counts: CountsResult) -> None:
    from server.stats.binomial import distribution

    chances = distribution(counts.trials, counts.chance)
    needed = counts.trials + 1 if counts.critical is None else counts.critical
    first, last = _choose_span(chances, counts.correct, needed)
    shown = range(first, last + 1)
    for label, hatch, bars in (
        (labels.FIGURE_GUESSING, "", [k for k in shown if k < needed]),
        (labels.FIGURE_NEEDED.format(critical=needed), "////", [k for k in shown if k >= needed]),
    ):
        if bars:
            axes.bar(bars, chances[bars], color=BAR[hatch], hatch=hatch, label=label, **EDGE)
    top = float(max(chances))
    axes.plot([counts.correct] * 2, [0, top * 1.1], color=DEEP, linewidth=2.2)
    reached = labels.FIGURE_REACHED.format(k=counts.correct)
    axes.plot(counts.correct, top * 1.14, "v", color=DEEP, markersize=9, label=reached)
    axes.set(xlim=(first - 0.8, last + 0.8), ylim=(0, top * 1.22))


def _choose_span(chances: "NDArray[np.float64]", correct: int, needed: int) -> tuple[int, int]:
    shown = [k for k, chance in enumerate(chances) if chance >= SMALLEST_SHOWN * max(chances)]
    ends = [shown[0], shown[-1], correct, *([needed] if needed < len(chances) else [])]
    return min(ends), max(ends)


def _plot_share(axes: "Axes", counts: CountsResult) -> None:
    if counts.pd_interval is None:
        box = {"facecolor": PAPER, "edgecolor": "none"}
        axes.text(50, 0.45, labels.FIGURE_BELOW, ha="center", va="center", bbox=box)
        return
    low, high = (100 * limit for limit in counts.pd_interval)
    label = labels.FIGURE_LIMITS.format(
        level=show_share(counts.level), low=show_share(low / 100), high=show_share(high / 100)
    )
    estimate = labels.FIGURE_ESTIMATE.format(pd=show_share(counts.pd))
    axes.plot([low, high], [0.45, 0.45], "|-", color=INK, label=label, **WHISKER)
    axes.plot(100 * counts.pd, 0.45, "o", color=DEEP, markersize=10, label=estimate)


def _plot_size(axes: "Axes", size: float) -> None:
    label = labels.FIGURE_SIZE.format(size=show_share(size))
    axes.axvline(100 * size, color=DEEP, linewidth=2, linestyle=(0, (4, 2)), label=label)


def draw(plot: "Callable[[Axes], None]", height: float) -> bytes:
    """Draw on light paper, as SVG whose bytes depend on what is plotted alone."""
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    written = io.BytesIO()
    with drawing, rc_context(SETTINGS):
        figure = Figure(figsize=(WIDTH, height), facecolor=PAPER, layout="constrained")
        plot(figure.add_subplot(facecolor=PAPER))
        figure.legend(loc="outside upper left", frameon=False, handlelength=1.4, labelspacing=0.3)
        figure.savefig(written, format="svg", metadata={"Date": None, "Creator": None})
    return written.getvalue()


def finish(axes: "Axes", label: str) -> None:
    """Name the axis, and take away what says nothing.

    It has whole numbers alone, and no frame.
    """
    from matplotlib.ticker import MaxNLocator

    axes.set_xlabel(label)
    axes.xaxis.set_major_locator(MaxNLocator(integer=True, nbins=8))
    axes.spines[["top", "left", "right"]].set_visible(False)


def describe_guessing(analysis: Analysis) -> str:
    """Say in words what `draw_guessing` shows, for those who cannot see it."""
    counts = get_counts(analysis)
    needed = labels.NONE_NEEDED if counts.critical is None else str(counts.critical)
    return labels.FIGURE_GUESSING_ALT.format(
        answers=show_count(counts.trials, "answer"), k=counts.correct, critical=needed
    )


def describe_share(analysis: Analysis) -> str:
    """Say in words what `draw_share` shows, for those who cannot see it."""
    counts, size = get_counts(analysis), show_share(analysis.reach.size_share)
    if counts.pd_interval is None:
        return labels.FIGURE_BELOW_ALT.format(size=size)
    low, high = (show_share(limit) for limit in counts.pd_interval)
    return labels.FIGURE_SHARE_ALT.format(pd=show_share(counts.pd), low=low, high=high, size=size)
