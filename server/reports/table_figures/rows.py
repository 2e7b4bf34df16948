"""What figures made of rows have in common: a key above, a head a panel, labels at the left."""

from collections.abc import Sequence

from server.reports.table_figures.axis import SMALL
from server.reports.table_figures.canvas import WIDTH, Canvas
from server.reports.table_figures.lettering import LEADING, measure, wrap

EDGE = 6.0
WIDEST_LABEL = 108.0
HEAD_SIZE = 11.5


def find_label_width(labels: Sequence[str], widest: float = WIDEST_LABEL) -> float:
    """Return the width that labels need, or the most there is; longer ones are broken.

    Examples
    --------
    >>> find_label_width(["x" * 60]), find_label_width(["x"]) < 10
    (108.0, True)
    """
    return min(widest, max(measure(label) for label in labels) + 1)


def draw_key(canvas: Canvas | None, y: float, keys: Sequence[str]) -> float:
    """Write what marks mean below y and return where it ends; without a canvas only measure."""
    for key in keys:
        for line in wrap(key, WIDTH - 2 * EDGE, SMALL, most=4):
            if canvas is not None:
                canvas.write(EDGE, y + SMALL * 0.6, line, size=SMALL, colour=canvas.theme.soft)
            y += SMALL * LEADING + 1
    return y + 4


def draw_head(canvas: Canvas | None, y: float, title: str, verdict: str = "") -> float:
    """Write a panel's title below y, its verdict at the right; return where the head ends.

    Without a canvas only measure.
    """
    room = WIDTH - 2 * EDGE - (measure(verdict, SMALL) + 10 if verdict else 0)
    lines = wrap(title, room, HEAD_SIZE, bold=True)
    height = HEAD_SIZE * LEADING * len(lines)
    if canvas is not None:
        canvas.write_lines(EDGE, y + 3 + height / 2, lines, size=HEAD_SIZE, bold=True)
        first = y + 3 + HEAD_SIZE * LEADING / 2
        canvas.write(canvas.width - EDGE, first, verdict, align="right", size=SMALL)
    return y + height + 6
