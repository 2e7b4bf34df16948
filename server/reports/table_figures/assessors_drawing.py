"""Assessors as rows, three columns of dots and limits, every column on one axis for all."""

from server.reports.display import NO_VALUE, show_share
from server.reports.table_figures import words
from server.reports.table_figures.assessors import AssessorRow, Assessors
from server.reports.table_figures.axis import SMALL, Axis, draw_estimate, draw_ticks
from server.reports.table_figures.canvas import WIDTH, Canvas, draw_on
from server.reports.table_figures.lettering import measure, wrap
from server.reports.table_figures.rows import EDGE, draw_head, draw_key
from server.reports.table_figures.themes import ThemeName
from server.stats.assessor_limits import Estimate

ROW = 29.0
HEADS = 26.0
FOOT = 20.0
GAP = 18.0
PAD = 6.0  # from a column's edge to the ends of its axis
BEYOND = 2.5  # the axis of repeats ends so many times beyond the largest value, if limits go on


def draw(data: Assessors, theme: ThemeName) -> bytes:
    """Draw the rows as SVG."""
    axes = _lay_axes(data)
    keys = [words.ASSESSORS_KEY.format(level=show_share(data.level))]

    def lay(canvas: Canvas | None) -> float:
        y = draw_head(canvas, draw_key(canvas, 6, keys), data.attribute)
        top = y + HEADS
        bottom = top + ROW * len(data.rows)
        if canvas is not None:
            _draw_columns(canvas, axes, y, top, bottom)
            for place, row in enumerate(data.rows):
                _draw_row(canvas, axes, row, top + place * ROW)
        return bottom + FOOT

    return draw_on(lay, lay(None), theme)


def _lay_axes(data: Assessors) -> list[Axis]:
    width = (WIDTH - 2 * EDGE - 2 * GAP) / 3
    ends = [(0.0, 1.0), (0.0, _find_most(data)), (-1.0, 1.0)]
    axes = []
    for place, (low, high) in enumerate(ends):
        left = EDGE + place * (width + GAP) + PAD
        axes.append(Axis(low, high, left, left + width - 2 * PAD))
    return axes


def _find_most(data: Assessors) -> float:
    """Return where the axis of repeats ends: limits from a few repeats would go on for ever."""
    known = [row.repeats for row in data.rows if row.repeats]
    largest = max((one.value for one in known), default=0.0) or 1.0
    limits = [one.interval.high for one in known if one.interval]
    return min(max([*limits, largest * 1.2]), BEYOND * largest)


def _draw_columns(canvas: Canvas, axes: list[Axis], y: float, top: float, bottom: float) -> None:
    for axis, (head, unit) in zip(axes, words.COLUMNS, strict=True):
        middle = (axis.left + axis.right) / 2
        canvas.write(middle, y + 6, head, align="center", bold=True)
        canvas.write(middle, y + 19, unit, align="center", size=8.5, colour=canvas.theme.soft)
        draw_ticks(canvas, axis, top, bottom, most=2)
    zero = axes[2].place(0)
    canvas.line([zero, zero], [top, bottom], canvas.theme.soft, 0.9)


def _draw_row(canvas: Canvas, axes: list[Axis], row: AssessorRow, y: float) -> None:
    """Draw an assessor's name and, under it, dots and limits."""
    tag = words.AGAINST_TAG if row.against else ""
    room = WIDTH - 2 * EDGE - measure(tag, SMALL) - 10
    canvas.write(EDGE, y + 8, wrap(row.assessor, room, most=1)[0], bold=row.against)
    canvas.write(
        WIDTH - EDGE, y + 8, tag, size=SMALL, align="right", colour=canvas.theme.alarm, bold=True
    )
    colour = canvas.theme.alarm if row.against else canvas.theme.accent
    for axis, found in zip(axes, (row.tells_apart, row.repeats, row.agrees), strict=True):
        _draw_figure(canvas, axis, found, y + 21, colour)


def _draw_figure(canvas: Canvas, axis: Axis, found: Estimate | None, y: float, colour: str) -> None:
    if found is None:
        middle = (axis.left + axis.right) / 2
        canvas.write_over(middle, y, NO_VALUE)
        return
    draw_estimate(canvas, axis, y, found.value, found.interval, colour)
