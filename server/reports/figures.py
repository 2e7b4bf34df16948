"""Two pictures of a finding as SVG: what guessing gives, and what the answers allow."""

from typing import TYPE_CHECKING

from server.reports import labels
from server.reports.analysis import Analysis
from server.reports.display import show_count, show_share
from server.reports.facts import is_one_answer_each
from server.reports.picture import (
    PAPER,
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
from server.stats.counts import CountsResult

if TYPE_CHECKING:
    from matplotlib.axes import Axes


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
        size = analysis.reach.size_share
        plot_size(axes, 100 * size, labels.FIGURE_SIZE.format(size=show_share(size)))
        finish(axes, labels.FIGURE_SHARE_AXIS[is_one_answer_each(analysis)])
        scale_shares(axes)

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
    shown = Counts(
        chances,
        range(needed, counts.trials + 1),
        counts.correct,
        labels.FIGURE_GUESSING,
        labels.FIGURE_NEEDED.format(critical=needed),
        labels.FIGURE_REACHED.format(k=counts.correct),
    )
    ends = [*find_likely(chances), counts.correct, *shown.hatched[:1]]
    plot_counts(axes, shown, min(ends), max(ends))


def _plot_share(axes: "Axes", counts: CountsResult) -> None:
    if counts.pd_interval is None:
        box = {"facecolor": PAPER, "edgecolor": "none"}
        axes.text(50, 0.45, labels.FIGURE_BELOW, ha="center", va="center", bbox=box)
        return
    low, high = counts.pd_interval
    label = labels.FIGURE_LIMITS.format(
        level=show_share(counts.level), low=show_share(low), high=show_share(high)
    )
    plot_range(axes, 100 * low, 100 * high, label)
    plot_estimate(axes, 100 * counts.pd, labels.FIGURE_ESTIMATE.format(pd=show_share(counts.pd)))


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
