"""Flags drawn as a grid: cups as columns; under every sample a row for each word that was said."""

from server.reports.table_figures import words
from server.reports.table_figures.axis import SMALL
from server.reports.table_figures.canvas import WIDTH, Canvas, draw_on
from server.reports.table_figures.flags import FlaggedSample, FlagMark, Flags
from server.reports.table_figures.lettering import LEADING, SIZE, measure, wrap
from server.reports.table_figures.rows import EDGE, draw_head, draw_key, find_label_width
from server.reports.table_figures.shown import show_short
from server.reports.table_figures.themes import ThemeName

ROW = 19.0
GAP = 7.0
INDENT = 8.0
TALLEST_HEAD = 70.0
LARGEST = 15.0  # of a circle across, in points
COLUMN = 46.0  # at most


class _Layout:
    """Where columns and rows stand."""

    def __init__(self, data: Flags) -> None:
        said = [word for one in data.samples for word in one.words] or [words.FLAGS_NONE]
        self.label = find_label_width(said, 104.0)
        self.left = EDGE + INDENT + self.label + 8
        room = WIDTH - EDGE - self.left
        self.column = min(COLUMN, room / len(data.cups))
        self.columns = {
            cup: self.left + (place + 0.5) * self.column for place, cup in enumerate(data.cups)
        }
        self.turned = any(measure(cup, SMALL) > self.column - 2 for cup in data.cups)
        widest = min(TALLEST_HEAD, max(measure(cup, SMALL) for cup in data.cups))
        self.head = widest + 6 if self.turned else 14.0
        self.circle = min(LARGEST, self.column - 2)

    def rows(self, word: str) -> float:
        """Return the height of a word's row."""
        return max(ROW, 4 + SIZE * LEADING * len(wrap(word, self.label)))


def draw(data: Flags, theme: ThemeName) -> bytes:
    """Draw the grid as SVG."""
    layout = _Layout(data)
    keys = [words.FLAGS_KEY.format(highest=show_short(data.highest))]

    def lay(canvas: Canvas | None) -> float:
        y = draw_head(canvas, draw_key(canvas, 6, keys), data.attribute) + layout.head
        if canvas is not None:
            _draw_columns(canvas, layout, y)
        for sample in data.samples:
            y = _draw_sample(canvas, layout, sample, y, data.highest)
        return y

    return draw_on(lay, lay(None), theme)


def _draw_columns(canvas: Canvas, layout: _Layout, y: float) -> None:
    for cup, x in layout.columns.items():
        label = wrap(cup, TALLEST_HEAD, SMALL, most=1)[0]
        if layout.turned:
            canvas.write(x, y - 3, label, size=SMALL, turned=True)
        else:
            canvas.write(x, y - 7, label, size=SMALL, align="center")


def _draw_sample(
    canvas: Canvas | None, layout: _Layout, sample: FlaggedSample, y: float, highest: float
) -> float:
    """Draw a sample below y and return where it ends; without a canvas only measure."""
    count = words.FLAGGED.format(flagged=sample.flagged, cups=len(sample.cups))
    title = wrap(sample.sample, WIDTH - 2 * EDGE - measure(count, SMALL) - 10, bold=True)
    height = 6 + SIZE * LEADING * len(title)
    if canvas is not None:
        canvas.line([EDGE, WIDTH - EDGE], [y, y], canvas.theme.line, 0.8)
        canvas.write_lines(EDGE, y + height / 2 + 1, title, bold=True)
        canvas.write(WIDTH - EDGE, y + 10, count, size=SMALL, align="right")
    y += height
    for word in sample.words or {words.FLAGS_NONE: ()}:
        tall = layout.rows(word)
        if canvas is not None:
            soft = "" if sample.words else canvas.theme.soft
            lines = wrap(word, layout.label)
            canvas.write_lines(EDGE + INDENT, y + tall / 2, lines, colour=soft)
            marks = {mark.cup: mark for mark in sample.words.get(word, ())}
            _draw_cups(canvas, layout, sample, marks, y + tall / 2, highest)
        y += tall
    return y + GAP


def _draw_cups(
    canvas: Canvas,
    layout: _Layout,
    sample: FlaggedSample,
    marks: dict[str, FlagMark],
    y: float,
    highest: float,
) -> None:
    for cup in sample.cups:
        x, mark = layout.columns[cup], marks.get(cup)
        if mark is None:
            canvas.mark([x], [y], "o", 2.5, canvas.theme.soft)
            continue
        share = 0.5 if mark.intensity is None else min(1.0, mark.intensity / highest)
        size = max(4.0, layout.circle * share**0.5)
        canvas.mark([x], [y], "o", size, canvas.theme.alarm, hollow=mark.intensity is None)
        if len(mark.finders) > 1:
            canvas.write(x + size / 2 + 2, y, str(len(mark.finders)), size=SMALL)
