"""A sheet to draw on, a unit a point, y downwards; and its SVG, the same for the same drawing."""

import io
import re
import warnings
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from server.reports.picture import drawing
from server.reports.table_figures.lettering import LEADING, SIZE, clean, measure
from server.reports.table_figures.themes import THEMES, Theme, ThemeName

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.patches import Patch

WIDTH = 320.0
DASH = (0, (4, 2))
SETTINGS: Any = {  # its own type lists every setting there is
    "svg.fonttype": "none",
    "svg.hashsalt": "oddcup",
    "font.family": "DejaVu Sans",
    "path.simplify": False,
    "hatch.linewidth": 1.1,
}
FAMILY = "font-family=\"system-ui, 'Noto Sans', 'DejaVu Sans', sans-serif\""

Places = Sequence[float]


class Canvas:
    """What figures are drawn with.

    Attributes
    ----------
    theme : Theme
    width, height : float
        In points.
    """

    def __init__(self, axes: "Axes", theme: Theme, width: float, height: float) -> None:
        self._axes = axes
        self._layers = 0
        self.theme = theme
        self.width = width
        self.height = height

    def write(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float = SIZE,
        align: str = "left",
        bold: bool = False,
        colour: str = "",
        turned: bool = False,
    ) -> None:
        """Write one line, its middle at y; turned, upwards from y."""
        from matplotlib.text import Text

        written = Text(
            x,
            y,
            clean(words),
            fontsize=size,
            ha="center" if turned else align,
            va="bottom" if turned else "center_baseline",
            weight="bold" if bold else "normal",
            color=colour or self.theme.ink,
            rotation=90 if turned else 0,
            parse_math=False,
        )
        self._add(written)

    def write_lines(self, x: float, y: float, lines: Sequence[str], **more: Any) -> None:
        """Write several lines, the middle of all at y."""
        step = more.get("size", SIZE) * LEADING
        top = y - step * (len(lines) - 1) / 2
        for number, line in enumerate(lines):
            self.write(x, top + number * step, line, **more)

    def write_over(self, x: float, y: float, words: str, size: float = 9.0) -> None:
        """Write one soft line around x on a patch of ground, so that nothing runs through it."""
        width = measure(words, size) + 4
        self.box(
            x - width / 2, y - size * 0.65, width, size * 1.3, facecolor=self.theme.paper, lw=0
        )
        self.write(x, y, words, size=size, align="center", colour=self.theme.soft)

    def line(
        self, xs: Places, ys: Places, colour: str = "", width: float = 1.0, dash: Any = "solid"
    ) -> None:
        """Draw a line through places; NaN interrupts it."""
        from matplotlib.lines import Line2D

        self._add(Line2D(xs, ys, color=colour or self.theme.ink, lw=width, ls=dash))

    def mark(
        self,
        xs: Places,
        ys: Places,
        shape: str = "o",
        size: float = 6.0,
        colour: str = "",
        hollow: bool = False,
    ) -> None:
        """Draw marks of one shape, a halo of the ground around those that are filled."""
        from matplotlib.lines import Line2D

        if not len(xs):
            return
        colour = colour or self.theme.ink
        open_shape = hollow or shape in "x+"
        made = Line2D(
            xs,
            ys,
            ls="none",
            marker=shape,
            ms=size,
            mfc=self.theme.paper if hollow else colour,
            mec=colour if open_shape else self.theme.paper,
            mew=1.3 if open_shape else 0.7,
        )
        self._add(made)

    def box(self, x: float, y: float, width: float, height: float, **more: Any) -> None:
        """Draw a rectangle from its upper left corner."""
        from matplotlib.patches import Rectangle

        self.add(Rectangle((x, y), width, height, **more))

    def add(self, patch: "Patch") -> None:
        """Add any other shape."""
        self._add(patch)

    def _add(self, artist: "Artist") -> None:
        """Add it over everything before, free to leave the axes."""
        self._layers += 1
        artist.set_zorder(self._layers)
        self._axes.add_artist(artist)
        artist.set_clip_on(False)


def draw_on(
    plot: Callable[[Canvas], object], height: float, theme: ThemeName, width: float = WIDTH
) -> bytes:
    """Return what `plot` draws as SVG."""
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    written, colours = io.BytesIO(), THEMES[theme]
    nothing = {"Date": None, "Creator": None, "Format": None, "Type": None}
    with drawing, warnings.catch_warnings(), rc_context(SETTINGS):
        warnings.filterwarnings("ignore", r"Glyph \d+")  # readers' fonts have more letters
        figure = Figure(figsize=(width / 72, height / 72), facecolor=colours.paper)
        axes = figure.add_axes((0, 0, 1, 1), xlim=(0, width), ylim=(height, 0))
        axes.set_axis_off()
        plot(Canvas(axes, colours, width, height))
        figure.savefig(written, format="svg", metadata=nothing)
    return _tidy(written.getvalue().decode()).encode()


def _tidy(svg: str) -> str:
    """Return the same picture in fewer bytes: what every mark repeats, and digits beyond seeing."""
    svg = re.sub(r"<!--.*?-->|<metadata>.*?</metadata>|<!DOCTYPE.*?>", "", svg, flags=re.DOTALL)
    svg = re.sub(r"<[^>]*>", _tidy_tag, svg)
    svg = re.sub(r">\s+<", "><", svg)
    svg = re.sub(r"<g>(<text[^>]*>[^<]*</text>|<path[^>]*/>)</g>", r"\1", svg)
    return svg.replace("<svg ", f"<svg {FAMILY} ", 1)


def _tidy_tag(found: "re.Match[str]") -> str:
    tag = re.sub(
        r"\d+\.\d{2,}", lambda number: f"{float(number[0]):.1f}".removesuffix(".0"), found[0]
    )
    tag = re.sub(r" font-family: [^;\"]*;?| text-anchor: start;?", "", tag)
    tag = re.sub(r' id="[a-z\d]+_\d+"| transform="rotate\(-?0 [^)]*\)"', "", tag)
    tag = re.sub(r"\s+", " ", tag)
    return re.sub(r"M (\S+) (\S+) L \1 (\S+) ?", r"M\1 \2V\3", tag)
