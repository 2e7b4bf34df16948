"""Values laid along a line of the sheet, and what lies on it: ticks, intervals, dots."""

from dataclasses import dataclass

from server.reports.table_figures.canvas import Canvas
from server.stats.results import Interval

SMALL = 9.0
ARROW = 4.0


@dataclass(frozen=True)
class Axis:
    """Values from `low` to `high` between two places of the sheet.

    Examples
    --------
    >>> Axis(0, 10, 100, 200).place(2.5)
    125.0
    """

    low: float
    high: float
    left: float
    right: float

    def place(self, value: float) -> float:
        """Return the place of a value, beyond the ends too."""
        share = (value - self.low) / (self.high - self.low)
        return self.left + share * (self.right - self.left)

    def list_ticks(self, most: int = 4) -> list[float]:
        """Return round values within the ends.

        Examples
        --------
        >>> Axis(0, 100, 0, 200).list_ticks()
        [0.0, 25.0, 50.0, 75.0, 100.0]
        """
        from matplotlib.ticker import MaxNLocator

        found = [float(one) for one in MaxNLocator(most).tick_values(self.low, self.high)]
        dust = 1e-9 * (self.high - self.low)
        return [tick for tick in found if self.low - dust <= tick <= self.high + dust]


def span(values: list[float], ends: tuple[float, float] | None = None) -> tuple[float, float]:
    """Return the ends of an axis that holds all values, and the scale's ends where known.

    Examples
    --------
    >>> span([2.0, 4.0], (0.0, 10.0)), span([3.0]), span([2.0, 12.0])
    ((0.0, 10.0), (2.5, 3.5), (1.5, 12.5))
    """
    held = [*values, *(ends or ())]
    low, high = min(held), max(held)
    if ends and (low, high) == ends:
        return ends
    margin = 0.05 * (high - low) or 0.5
    return low - margin, high + margin


def draw_ticks(canvas: Canvas, axis: Axis, top: float, bottom: float, most: int = 4) -> None:
    """Draw guide lines from top to bottom, their numbers under them."""
    for tick in axis.list_ticks(most):
        x = axis.place(tick)
        canvas.line([x, x], [top, bottom], canvas.theme.line, 0.7)
        said = f"{tick:g}".replace("-", "−")
        canvas.write(x, bottom + 7, said, size=SMALL, align="center", colour=canvas.theme.soft)


def draw_estimate(
    canvas: Canvas,
    axis: Axis,
    y: float,
    value: float,
    interval: Interval | None,
    colour: str = "",
) -> None:
    """Draw a dot with its interval; hollow without one; an arrow where it leaves the axis."""
    colour = colour or canvas.theme.ink
    if interval is not None:
        ends = [max(axis.low, interval.low), min(axis.high, interval.high)]
        canvas.line([axis.place(end) for end in ends], [y, y], colour, 1.8)
        if interval.low < axis.low:
            _draw_arrow(canvas, axis.left, y, -1, colour)
        if interval.high > axis.high:
            _draw_arrow(canvas, axis.right, y, 1, colour)
    within = min(max(value, axis.low), axis.high)
    canvas.mark([axis.place(within)], [y], "o", 7, colour, hollow=interval is None)


def _draw_arrow(canvas: Canvas, x: float, y: float, way: int, colour: str) -> None:
    xs = [x - way * ARROW, x, x - way * ARROW]
    canvas.line(xs, [y - ARROW * 0.8, y, y + ARROW * 0.8], colour, 1.6)
