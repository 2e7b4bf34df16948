"""The picture of a series as SVG: right answers by step, the curve, and what guessing gives."""

from typing import TYPE_CHECKING, Any

from server.reports.display import show_share
from server.reports.picture import DEEP, INK, SOFT, WHISKER, draw, finish
from server.reports.series import labels
from server.reports.series.analysis import SeriesAnalysis
from server.reports.series.showing import show_concentration, show_ends
from server.stats.dose import DoseFit

if TYPE_CHECKING:
    from matplotlib.axes import Axes

POINTS = 121


def draw_series(analysis: SeriesAnalysis) -> bytes:
    """Draw the share of right answers by step, with the curve through all of them.

    Raises
    ------
    ValueError
        If no answer counts.
    """
    curve = _get_curve(analysis)

    def plot(axes: "Axes") -> None:
        _plot_levels(axes, analysis.chance)
        _plot_shares(axes, curve)
        if curve.threshold is not None:
            _plot_curve(axes, curve, curve.threshold, analysis.series.unit)
        series = analysis.series
        finish(axes, labels.FIGURE_AXIS.format(substance=series.substance, unit=series.unit))
        _scale(axes, analysis)

    return draw(plot, height=3.9)


def describe_series(analysis: SeriesAnalysis) -> str:
    """Say in words what `draw_series` shows, for those who cannot see it.

    Raises
    ------
    ValueError
        If no answer counts.
    """
    curve, unit = _get_curve(analysis), analysis.series.unit
    shares = ", ".join(
        f"{show_concentration(one.concentration, unit)} {show_share(one.correct / one.trials)}"
        for one in curve.steps
    )
    return labels.FIGURE_ALT.format(
        shares=shares,
        chance=show_share(analysis.chance),
        threshold=show_concentration(curve.threshold, unit),
    )


def _get_curve(analysis: SeriesAnalysis) -> DoseFit:
    if analysis.main.curve is None:
        raise ValueError("analysis must have counted answers")
    return analysis.main.curve


def _plot_levels(axes: "Axes", chance: float) -> None:
    half = (1 + chance) / 2
    guessed = labels.FIGURE_GUESSING.format(chance=show_share(chance))
    axes.axhline(100 * chance, color=INK, linewidth=1.2, linestyle=(0, (1, 2)), label=guessed)
    words = labels.FIGURE_HALF.format(pc=show_share(half))
    axes.axhline(100 * half, color=INK, linewidth=1.2, linestyle=(0, (6, 3)), label=words)


def _plot_shares(axes: "Axes", curve: DoseFit) -> None:
    places = [one.concentration for one in curve.steps]
    shares = [100 * one.correct / one.trials for one in curve.steps]
    mark: dict[str, Any] = {"markeredgecolor": INK, "markerfacecolor": SOFT, "markersize": 9}
    axes.plot(places, shares, "o", label=labels.FIGURE_SHARES, zorder=3, **mark)


def _plot_curve(axes: "Axes", curve: DoseFit, threshold: float, unit: str) -> None:
    import numpy as np
    from scipy import special

    steps = curve.steps
    ends = min(steps[0].concentration, threshold), max(steps[-1].concentration, threshold)
    x = np.geomspace(*ends, POINTS)
    rise = (curve.slope or 0.0) * (np.log10(x) - (curve.log_threshold or 0.0))
    y = curve.chance + (1 - curve.chance) * special.expit(rise)
    axes.plot(x, 100 * y, color=DEEP, linewidth=2, label=labels.FIGURE_CURVE)
    limits = curve.threshold_interval or (None, None)
    low, high = show_ends(limits, unit)
    shown = show_concentration(threshold, unit)
    words = labels.FIGURE_THRESHOLD.format(
        threshold=shown, level=show_share(curve.level), low=low, high=high
    )
    drawn = [
        ends[0] if limits[0] is None else limits[0],
        ends[1] if limits[1] is None else limits[1],
    ]
    axes.plot(drawn, [8, 8], "|-" if None not in limits else "-", color=INK, **WHISKER)
    axes.plot(threshold, 8, "D", color=DEEP, markersize=9, label=words)


def _scale(axes: "Axes", analysis: SeriesAnalysis) -> None:
    """Put the steps as typed under a logarithmic axis that shows a little more than them."""
    from matplotlib.ticker import FixedFormatter, FixedLocator, NullLocator

    steps = [float(one) for one in analysis.series.steps]
    curve = _get_curve(analysis)
    shown = [*steps, *((curve.threshold,) if curve.threshold else ())]
    axes.set_xscale("log")
    axes.set(xlim=(min(shown) / 1.5, max(shown) * 1.5), ylim=(0, 104))
    axes.xaxis.set_major_locator(FixedLocator(steps))
    axes.xaxis.set_major_formatter(FixedFormatter([f"{one:f}" for one in analysis.series.steps]))
    axes.xaxis.set_minor_locator(NullLocator())
    axes.set_yticks(range(0, 101, 20))
    axes.spines["left"].set_visible(True)
