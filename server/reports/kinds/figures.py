"""Two pictures of servings of two kinds: what guessing gives, and the two rates."""

from typing import TYPE_CHECKING

from server.reports import labels as shared
from server.reports.analysis import Analysis
from server.reports.display import show_share
from server.reports.kinds import labels
from server.reports.picture import (
    DEEP,
    INK,
    WHISKER,
    Counts,
    draw,
    finish,
    plot_counts,
    scale_shares,
)
from server.stats.two_rates import score_limits
from server.stats.yes_no import YesNoResult

if TYPE_CHECKING:
    import numpy as np
    from matplotlib.axes import Axes
    from numpy.typing import NDArray


def draw_guessing(analysis: Analysis) -> bytes:
    """Draw what guessing gives within tasters, the hits needed and those reached.

    Raises
    ------
    ValueError
        If nothing can be concluded.
    """
    found = _get(analysis)
    chances, needed = _find_needed(found, analysis.alpha)

    def plot(axes: "Axes") -> None:
        _plot_guessing(axes, chances, needed, found.rates.first_yes)
        finish(axes, labels.FIGURE_COUNT_AXIS.format(n=found.rates.first))

    return draw(plot, height=3.3)


def draw_rates(analysis: Analysis) -> bytes:
    """Draw hits and false alarms with their limits.

    Raises
    ------
    ValueError
        If nothing can be concluded.
    """
    found = _get(analysis)
    rates = found.rates

    def plot(axes: "Axes") -> None:
        _plot_rate(axes, rates.first_yes, rates.first, 0.65, labels.FIGURE_HITS, found.level)
        _plot_rate(axes, rates.second_yes, rates.second, 0.3, labels.FIGURE_ALARMS, found.level)
        finish(axes, labels.FIGURE_RATE_AXIS)
        scale_shares(axes)

    return draw(plot, height=2.6)


def describe_guessing(analysis: Analysis) -> str:
    """Say in words what `draw_guessing` shows, for those who cannot see it."""
    found = _get(analysis)
    needed = _find_needed(found, analysis.alpha)[1]
    shown = shared.NONE_NEEDED if needed is None else str(needed)
    return labels.GUESSING_ALT.format(k=found.rates.first_yes, needed=shown)


def describe_rates(analysis: Analysis) -> str:
    """Say in words what `draw_rates` shows, for those who cannot see it."""
    rates = _get(analysis).rates
    return labels.RATES_ALT.format(
        hits=show_share(rates.first_rate), alarms=show_share(rates.second_rate)
    )


def _get(analysis: Analysis) -> YesNoResult:
    if analysis.kinds is None:
        raise ValueError("analysis must have answers to both kinds of servings")
    return analysis.kinds


def _find_needed(found: YesNoResult, alpha: float) -> "tuple[NDArray[np.float64], int | None]":
    """Return the chance of every number of hits, and the fewest that reach the level."""
    from server.stats.binomial import reaches
    from server.stats.fixed_margins import permutation_chances

    chances = permutation_chances(found.layouts)
    tails = chances[::-1].cumsum()[::-1]
    enough = (k for k, tail in enumerate(tails) if chances[k] > 0 and reaches(float(tail), alpha))
    return chances, next(enough, None)


def _plot_guessing(
    axes: "Axes", chances: "NDArray[np.float64]", needed: int | None, reached: int
) -> None:
    shown = [k for k, chance in enumerate(chances) if chance > 0.001 * max(chances)]
    first, last = min(*shown, reached), max(*shown, reached, needed or 0)
    counts = Counts(
        chances,
        range(last + 1 if needed is None else needed, last + 1),
        reached,
        labels.FIGURE_GUESSING,
        labels.FIGURE_NEEDED.format(needed=needed),
        labels.FIGURE_REACHED.format(k=reached),
    )
    plot_counts(axes, counts, first, last)


def _plot_rate(axes: "Axes", yes: int, served: int, at: float, words: str, level: float) -> None:
    low, high = score_limits(yes, served, level)
    label = words.format(
        share=show_share(yes / served),
        level=show_share(level),
        low=show_share(low),
        high=show_share(high),
    )
    axes.plot([100 * low, 100 * high], [at, at], "|-", color=INK, **WHISKER)
    mark = "o" if at > 0.5 else "s"
    axes.plot(100 * yes / served, at, mark, color=DEEP, markersize=10, label=label)
