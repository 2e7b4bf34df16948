"""A picture of what a number of answers finds, method by method, as SVG and in words.

Lines differ by dashes and marks, so that they are told apart in print without colour.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import cycle
from typing import TYPE_CHECKING, Any

from server.reports import proposal_words as words
from server.reports.display import show_count
from server.reports.picture import DEEP, INK, PAPER, draw

if TYPE_CHECKING:
    from matplotlib.axes import Axes

DASHES: tuple[Any, ...] = ("solid", (0, (5, 2)), (0, (1, 1.6)), (0, (6, 2, 1, 2)), (0, (3, 3)))
MARKS = ("o", "s", "^", "D", "v", "P", "X")
EVERY = 6  # points of a curve from mark to mark
GOOD = 80


@dataclass(frozen=True)
class PowerCurve:
    """The chance to find a difference, for one method, at every d′ of a picture."""

    title: str
    distances: tuple[float, ...]
    powers: tuple[float, ...]


def draw_power(curves: Sequence[PowerCurve], size: float, answers: int) -> bytes:
    """Draw the curves, the d′ that matters, and four chances in five.

    Parameters
    ----------
    curves : sequence of PowerCurve
        One a method, all at the same d′.
    size : float
        The d′ that matters.
    answers : int
        Answers of every curve.

    Returns
    -------
    bytes
        SVG.
    """

    def plot(axes: "Axes") -> None:
        looks = zip(cycle(DASHES), cycle(MARKS), curves, strict=False)
        for number, (dash, mark, curve) in enumerate(looks):
            axes.plot(
                curve.distances,
                [100 * one for one in curve.powers],
                color=INK,
                linestyle=dash,
                marker=mark,
                markevery=(number % EVERY, EVERY),
                markersize=5.5,
                markerfacecolor=PAPER,
                linewidth=1.5,
                label=curve.title,
            )
        axes.axhline(GOOD, color=DEEP, linewidth=1)
        axes.axvline(size, color=DEEP, linewidth=1.4, linestyle=(0, (4, 2)))
        axes.annotate(words.POWER_SIZE, (size, 4), (4, 0), textcoords="offset points", color=DEEP)
        axes.set(ylim=(0, 102), yticks=range(0, 101, 20), xlim=(0, curves[0].distances[-1]))
        axes.set_xlabel(words.POWER_AXIS.format(answers=show_count(answers, "answer")))
        axes.set_ylabel(words.POWER_CHANCE)
        axes.spines[["top", "right"]].set_visible(False)

    return draw(plot, height=3.2 + 0.22 * len(curves))


def describe_power(curves: Sequence[PowerCurve], size: float, answers: int) -> str:
    """Say in words what `draw_power` shows, for those who cannot see it."""
    at_size = sorted(((_read(curve, size), curve.title) for curve in curves), reverse=True)
    said = "; ".join(f"{title} {100 * power:.0f} of 100" for power, title in at_size)
    return words.POWER_ALT.format(answers=show_count(answers, "answer"), d=f"{size:.2f}", said=said)


def _read(curve: PowerCurve, size: float) -> float:
    """Return a curve's height, between two of its points by a straight line."""
    import numpy as np

    return float(np.interp(size, curve.distances, curve.powers))
