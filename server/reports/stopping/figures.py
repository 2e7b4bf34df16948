"""The picture of a sequential test: the count on its way between two lines."""

from typing import TYPE_CHECKING

from server.reports.analysis import Analysis
from server.reports.display import show_count
from server.reports.picture import DEEP, INK, draw, finish
from server.reports.stopping import labels
from server.reports.stopping.facts import get_path, list_looks, say_sequence
from server.reports.stopping.following import make_sequential

if TYPE_CHECKING:
    from matplotlib.axes import Axes

DASHES, DOTS = (0, (5, 2)), (0, (1, 1.4))


def draw_path(analysis: Analysis) -> bytes:
    """Draw the count of right answers, the lines it could meet, and where it was judged.

    Raises
    ------
    ValueError
        If no answer counts.
    """
    get_path(analysis)

    def plot(axes: "Axes") -> None:
        _plot_lines(axes, analysis)
        _plot_path(axes, analysis)
        finish(axes, labels.FIGURE_X)
        axes.set_ylabel(labels.FIGURE_Y)

    return draw(plot, height=4.2)


def describe_path(analysis: Analysis) -> str:
    """Say in words what `draw_path` shows, for those who cannot see it."""
    path = get_path(analysis)
    return labels.FIGURE_ALT.format(
        k=path.correct,
        n=path.trials,
        looks=show_count(len(list_looks(path)), "block"),
        ended=labels.ENDED[path.decision],
    )


def _plot_lines(axes: "Axes", analysis: Analysis) -> None:
    lines, last = get_path(analysis).lines, make_sequential(analysis.plan).cap or 0
    low = say_sequence(labels.FIGURE_LOW, analysis)
    for height, style, label in (
        (lines.high, DASHES, labels.FIGURE_HIGH),
        (lines.low, DOTS, low),
    ):
        ends = [height, height + lines.slope * last]
        axes.plot([0, last], ends, color=INK, linewidth=1.6, linestyle=style, label=label)
    axes.set(xlim=(0, last + 0.5), ylim=(-0.5, lines.high + lines.slope * last + 1))


def _plot_path(axes: "Axes", analysis: Analysis) -> None:
    path = get_path(analysis)
    counts = [0, *(step.correct for step in path.path)]
    axes.plot(range(len(counts)), counts, color=DEEP, linewidth=2.2, label=labels.FIGURE_PATH)
    looks = list_looks(path)
    if looks:
        at, right = [one.trials for one in looks], [one.correct for one in looks]
        axes.plot(at, right, "D", color=DEEP, markersize=8, label=labels.FIGURE_LOOK)
