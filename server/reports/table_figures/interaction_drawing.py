"""The assessors' lines drawn from sample to sample downwards, those against the rest named."""

import math
from collections.abc import Sequence

from server.reports.table_figures import words
from server.reports.table_figures.axis import Axis, draw_ticks
from server.reports.table_figures.canvas import DASH, WIDTH, Canvas, draw_on
from server.reports.table_figures.interaction import AssessorLine, Interaction, LinesPanel
from server.reports.table_figures.lettering import LEADING, SIZE, wrap
from server.reports.table_figures.rows import EDGE, draw_head, draw_key, find_label_width
from server.reports.table_figures.themes import ThemeName

ROW = 22.0
FOOT = 24.0
NAME_ROW = 14.0
NAN = float("nan")
SHAPES = "^sDvP"  # of those against the rest, in turn


def draw(data: Interaction, theme: ThemeName) -> bytes:
    """Draw the lines as SVG."""
    labels = [name for panel in data.panels for name in panel.samples]
    label = find_label_width(labels)
    row = max(ROW, 5 + SIZE * LEADING * max(len(wrap(one, label)) for one in labels))

    def lay(canvas: Canvas | None) -> float:
        y = draw_key(canvas, 6, [words.LINES_KEY])
        for panel in data.panels:
            y = _draw_panel(canvas, panel, y, row, label)
        return y

    return draw_on(lay, lay(None), theme)


def _draw_panel(
    canvas: Canvas | None, panel: LinesPanel, y: float, row: float, label: float
) -> float:
    """Draw a panel below y and return where it ends; without a canvas only measure."""
    named = [line for line in panel.lines if line.against]
    top = draw_head(canvas, y, panel.attribute) + NAME_ROW * len(named)
    bottom = top + len(panel.samples) * row
    if canvas is not None:
        axis = Axis(*panel.ends, EDGE + label + 14, WIDTH - EDGE - 10)
        draw_ticks(canvas, axis, top, bottom)
        heights = [top + (place + 0.5) * row for place in range(len(panel.samples))]
        for name, middle in zip(panel.samples, heights, strict=True):
            canvas.write_lines(EDGE, middle, wrap(name, label))
        _draw_plain(canvas, axis, panel, heights)
        for place, line in enumerate(named):
            shape = SHAPES[place % len(SHAPES)]
            _draw_line(canvas, axis, line.means, heights, shape)
            _write_name(canvas, line, top - NAME_ROW * (len(named) - place - 0.5), shape)
    return bottom + FOOT


def _draw_plain(canvas: Canvas, axis: Axis, panel: LinesPanel, heights: Sequence[float]) -> None:
    """Draw everybody with the rest as one thin line with gaps, and the panel over them."""
    xs: list[float] = []
    ys: list[float] = []
    for line in panel.lines:
        if not line.against:
            xs += [*_place(axis, line.means), NAN]
            ys += [*heights, NAN]
    canvas.line(xs, ys, canvas.theme.soft, 0.9)
    alone = [place for place in range(len(xs)) if _is_alone(xs, place)]
    canvas.mark([xs[at] for at in alone], [ys[at] for at in alone], "o", 4, canvas.theme.soft)
    means = _place(axis, panel.means)
    canvas.line(means, heights, canvas.theme.accent, 3)
    canvas.mark(means, heights, "o", 6.5, canvas.theme.accent)


def _draw_line(
    canvas: Canvas, axis: Axis, means: Sequence[float | None], heights: Sequence[float], shape: str
) -> None:
    xs = _place(axis, means)
    canvas.line(xs, heights, canvas.theme.alarm, 1.6, DASH)
    canvas.mark(xs, heights, shape, 6.5, canvas.theme.alarm)


def _write_name(canvas: Canvas, line: AssessorLine, y: float, shape: str) -> None:
    """Write who a dashed line is of, after a piece of it."""
    canvas.line([EDGE, EDGE + 26], [y, y], canvas.theme.alarm, 1.6, DASH)
    canvas.mark([EDGE + 13], [y], shape, 6.5, canvas.theme.alarm)
    said = words.LINES_NAMED.format(who=line.assessor)
    canvas.write(EDGE + 32, y, wrap(said, WIDTH - EDGE - 40, most=1)[0])


def _place(axis: Axis, means: Sequence[float | None]) -> list[float]:
    return [NAN if mean is None else axis.place(mean) for mean in means]


def _is_alone(xs: Sequence[float], place: int) -> bool:
    """Whether a mean has a gap on both sides, so that no line shows it."""
    around = [*xs[max(0, place - 1) : place], *xs[place + 1 : place + 2]]
    return not math.isnan(xs[place]) and all(math.isnan(x) for x in around)
