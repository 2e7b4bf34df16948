"""How a picture of a finding is drawn, and what several of them share, as SVG.

Text is drawn as outlines, so the pictures look alike wherever they are shown; they
have a light ground of their own, and hatching and labels carry the meaning in print
without colour. The bytes depend on the numbers alone.
"""

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from threading import Lock
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

PAPER, INK, SOFT, DEEP = "#fbf8f1", "#2d2824", "#d9cfbd", "#20616b"
WIDTH = 5.0  # inches; 360 points, so that a point is about a pixel on a small phone
EDGE: dict[str, Any] = {"edgecolor": INK, "linewidth": 0.6, "width": 0.8}
WHISKER: dict[str, Any] = {"linewidth": 2.2, "markersize": 16, "markeredgewidth": 2.2}
SMALLEST_SHOWN = 0.002  # bars below this part of the highest one are left out
HEIGHT = 0.45  # of a range in its picture

SETTINGS: Any = {  # its own type lists every setting there is
    "svg.fonttype": "path",
    "svg.hashsalt": "oddcup",
    "font.family": "DejaVu Sans",
    "font.size": 11.5,
    "text.parse_math": False,  # names are drawn as they were typed, also with two dollar signs
    "hatch.linewidth": 1.2,
    "text.color": INK,
    "axes.labelcolor": INK,
    "axes.edgecolor": INK,
    "xtick.color": INK,
}

drawing = Lock()  # settings of the drawing library are global to the process


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


@dataclass(frozen=True)
class Counts:
    """Counts and their chances; ``hatched`` ones are those that show what the test is to show.

    ``plain_label`` and ``hatched_label`` name the bars, ``reached_label`` the count reached.
    """

    chances: "NDArray[np.float64]"
    hatched: Sequence[int]
    reached: int
    plain_label: str
    hatched_label: str
    reached_label: str


def find_likely(chances: "NDArray[np.float64]") -> list[int]:
    """List the counts whose chance is worth a bar."""
    return [k for k, chance in enumerate(chances) if chance >= SMALLEST_SHOWN * max(chances)]


def plot_counts(axes: "Axes", counts: Counts, first: int, last: int) -> None:
    """Plot bars from the first to the last count, and point at the one that was reached."""
    plain = [k for k in range(first, last + 1) if k not in counts.hatched]
    hatched = [k for k in range(first, last + 1) if k in counts.hatched]
    if plain:
        axes.bar(plain, counts.chances[plain], color=SOFT, hatch="", label=counts.plain_label,
                 **EDGE)  # fmt: skip
    if hatched:
        axes.bar(hatched, counts.chances[hatched], color=PAPER, hatch="////",
                 label=counts.hatched_label, **EDGE)  # fmt: skip
    top = float(max(counts.chances))
    axes.plot([counts.reached] * 2, [0, top * 1.1], color=DEEP, linewidth=2.2)
    axes.plot(counts.reached, top * 1.14, "v", color=DEEP, markersize=9, label=counts.reached_label)
    axes.set(xlim=(first - 0.8, last + 0.8), ylim=(0, top * 1.22), yticks=[])


def plot_range(axes: "Axes", low: float, high: float, label: str) -> None:
    """Plot limits of a share, in percent."""
    axes.plot([low, high], [HEIGHT] * 2, "|-", color=INK, label=label, **WHISKER)


def plot_estimate(axes: "Axes", percent: float, label: str) -> None:
    """Plot an estimate of a share, in percent, within its range."""
    axes.plot(percent, HEIGHT, "o", color=DEEP, markersize=10, label=label)


def plot_size(axes: "Axes", percent: float, label: str | None) -> None:
    """Plot the share that matters, in percent; without a label it is named elsewhere."""
    axes.axvline(percent, color=DEEP, linewidth=2, linestyle=(0, (4, 2)), label=label)


def scale_shares(axes: "Axes") -> None:
    """Let the axis of shares go from 0 to 100 percent."""
    axes.set(xlim=(-2, 102), ylim=(0, 1), yticks=[], xticks=range(0, 101, 20))
