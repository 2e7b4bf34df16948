"""Two pictures of answers for one of two samples: what chance gives, and where the share lies."""

from typing import TYPE_CHECKING

from server.reports.analysis import Analysis
from server.reports.display import show_count, show_share
from server.reports.facts import find_lead
from server.reports.figures import get_counts
from server.reports.picture import (
    INK,
    Counts,
    draw,
    finish,
    plot_counts,
    plot_estimate,
    plot_range,
    plot_size,
    scale_shares,
)
from server.reports.sides import labels
from server.reports.sides.numbers import (
    find_share_limits,
    find_size,
    show_critical,
    show_size,
)
from server.stats.results import Interval

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_even_split(analysis: Analysis) -> bytes:
    """Draw what an even split gives, the counts needed at both ends, and the count reached.

    Raises
    ------
    ValueError
        If no answer counts.
    """
    counts = get_counts(analysis)

    def plot(axes: "Axes") -> None:
        _plot_even_split(axes, counts.trials, counts.critical, find_lead(analysis).count)
        finish(axes, labels.FIGURE_COUNT_AXIS.format(n=counts.trials))

    return draw(plot, height=3.3)


def draw_share(analysis: Analysis) -> bytes:
    """Draw the share of answers for the sample ahead, with its limits, against an even split.

    Raises
    ------
    ValueError
        If no answer counts.
    """
    counts, limits = get_counts(analysis), find_share_limits(analysis)
    share = find_lead(analysis).count / counts.trials

    def plot(axes: "Axes") -> None:
        if limits is not None:
            _plot_share(axes, share, limits, show_share(counts.level))
        _plot_marks(axes, analysis)
        finish(axes, labels.FIGURE_SHARE_AXIS)
        scale_shares(axes)

    return draw(plot, height=2.6)


def _plot_even_split(axes: "Axes", trials: int, critical: int | None, reached: int) -> None:
    from server.stats.binomial import distribution

    chances = distribution(trials, 0.5)
    needed = trials + 1 if critical is None else critical
    needed_words = labels.FIGURE_NEVER
    if critical is not None:
        needed_words = labels.FIGURE_NEEDED.format(needed=labels.say_needed(critical, trials))
    shown = Counts(
        chances,
        [k for k in range(trials + 1) if k >= needed or k <= trials - needed],
        reached,
        labels.FIGURE_EVEN,
        needed_words,
        labels.FIGURE_REACHED.format(k=reached),
    )
    plot_counts(axes, shown, 0, trials)


def _plot_share(axes: "Axes", share: float, limits: Interval, level: str) -> None:
    low, high = limits
    words = labels.FIGURE_LIMITS.format(level=level, low=show_share(low), high=show_share(high))
    plot_range(axes, 100 * low, 100 * high, words)
    plot_estimate(axes, 100 * share, labels.FIGURE_ESTIMATE.format(share=show_share(share)))


def _plot_marks(axes: "Axes", analysis: Analysis) -> None:
    axes.axvline(50, color=INK, linewidth=1.2, linestyle=":", label=labels.FIGURE_HALF)
    size = find_size(analysis)
    label = labels.FIGURE_SIZE.format(size=show_size(analysis))
    plot_size(axes, 100 * size, label)
    plot_size(axes, 100 * (1 - size), None)


def describe_even_split(analysis: Analysis) -> str:
    """Say in words what `draw_even_split` shows, for those who cannot see it."""
    counts, lead = get_counts(analysis), find_lead(analysis)
    return labels.EVEN_ALT.format(
        answers=show_count(counts.trials, "answer"),
        k=lead.count,
        lead=lead.ahead,
        critical=show_critical(counts),
    )


def describe_share(analysis: Analysis) -> str:
    """Say in words what `draw_share` shows, for those who cannot see it."""
    counts, lead = get_counts(analysis), find_lead(analysis)
    limits = find_share_limits(analysis)
    low, high = (show_share(one) for one in limits) if limits else ("", "")
    return labels.SHARE_ALT.format(
        lead=lead.ahead,
        share=show_share(lead.count / counts.trials),
        low=low,
        high=high,
        size=show_size(analysis),
    )
