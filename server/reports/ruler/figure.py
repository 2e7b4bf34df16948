"""A picture of the ruler as SVG, and the same in words: d′ against added water."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from server.reports.display import show_d_prime, show_share
from server.reports.picture import DEEP, INK, PAPER, SOFT, WHISKER, draw
from server.reports.ruler import words
from server.reports.ruler.reading import show_water
from server.stats.counts import CountsResult, analyse_counts
from server.stats.ruler import Line, Mark, draw_line
from server.stats.thurstone import LARGEST_D_PRIME

if TYPE_CHECKING:
    from matplotlib.axes import Axes

ROOM = 1.1  # of the largest dilution, and of the largest d′


def measure_mark(mark: Mark, level: float) -> CountsResult:
    """Return d′ of one mark with its limits, by its own answers alone."""
    counts = mark.counts
    return analyse_counts(counts.model, counts.correct, counts.trials, level=level)


def draw_ruler(marks: Sequence[Mark], level: float) -> bytes:
    """Draw every mark with its limits, and the straight line through 0 with those of its slope.

    Parameters
    ----------
    marks : sequence of Mark
        At least one.
    level : float
        Confidence level.

    Returns
    -------
    bytes
        SVG.
    """
    line = draw_line(marks, level)
    found = [(mark.percent, measure_mark(mark, level)) for mark in marks]
    most = max(mark.percent for mark in marks)

    def plot(axes: "Axes") -> None:
        top = _plot_marks(axes, found)
        _plot_line(axes, line, most)
        axes.set(xlim=(0, ROOM * most), ylim=(0, ROOM * top))
        axes.set_xlabel(words.AXIS)
        axes.set_ylabel(words.HEIGHT)
        axes.spines[["top", "right"]].set_visible(False)

    return draw(plot, height=3.6)


def describe_ruler(marks: Sequence[Mark], level: float) -> str:
    """Say in words what `draw_ruler` shows, for those who cannot see it."""
    line = draw_line(marks, level)
    said = "; ".join(
        words.ALT_MARK.format(
            percent=show_water(mark.percent), d=show_d_prime(measure_mark(mark, level).d_prime)
        )
        for mark in marks
    )
    high = line.limits.high
    return words.ALT.format(
        marks=said,
        d=show_d_prime(None if line.slope is None else 10 * line.slope),
        level=show_share(level),
        low=show_d_prime(10 * line.limits.low),
        high=show_d_prime(None if high is None else 10 * high),
    )


def _plot_marks(axes: "Axes", found: Sequence[tuple[float, CountsResult]]) -> float:
    """Plot the marks; return the largest d′ that has to be seen."""
    top, label = 1.0, words.MARKS.format(level=show_share(found[0][1].level))
    for percent, counts in found:
        limits = counts.d_prime_interval
        if limits is not None:
            high = LARGEST_D_PRIME if limits.high is None else limits.high
            axes.plot([percent] * 2, [limits.low, high], "_-", color=INK, label=label, **WHISKER)
            label = ""  # one line of the legend is enough
            top = max(top, limits.low + 1 if limits.high is None else limits.high)
        if counts.d_prime is not None:
            axes.plot(percent, counts.d_prime, "o", color=DEEP, markersize=9)
    return top


def _plot_line(axes: "Axes", line: Line, most: float) -> None:
    end = [0.0, most]
    high = LARGEST_D_PRIME / most if line.limits.high is None else line.limits.high
    label = words.BAND.format(level=show_share(line.level))
    axes.fill_between(
        end, [0, line.limits.low * most], [0, high * most], color=SOFT, label=label, zorder=0
    )
    if line.slope is not None:
        axes.plot(end, [0, line.slope * most], color=DEEP, linewidth=2, label=words.LINE)
    axes.set_facecolor(PAPER)
