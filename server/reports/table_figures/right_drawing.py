"""Just-about-right answers drawn as bars around one middle line."""

from server.reports.table_figures import words
from server.reports.table_figures.axis import SMALL, Axis
from server.reports.table_figures.canvas import WIDTH, Canvas, draw_on
from server.reports.table_figures.lettering import LEADING, SIZE, measure, wrap
from server.reports.table_figures.right import RightBars, RightPanel, Sides
from server.reports.table_figures.rows import EDGE, draw_head, draw_key, find_label_width
from server.reports.table_figures.themes import ThemeName

ROW = 21.0
BAR = 13.0
HEADS = 16.0
FOOT = 12.0
HATCHES = ("\\\\\\\\", "", "////")
NAMES = (words.BELOW, words.RIGHT, words.ABOVE)


def draw(data: RightBars, theme: ThemeName) -> bytes:
    """Draw the bars as SVG."""
    labels = [sample for panel in data.panels for sample, _ in panel.rows]
    label = find_label_width(labels, 92.0)
    row = max(ROW, 5 + SIZE * LEADING * max(len(wrap(one, label)) for one in labels))
    reach = max((_find_reach(sides) for p in data.panels for _, sides in p.rows)) or 0.5
    axis = Axis(-reach, reach, EDGE + label + 10, WIDTH - EDGE)

    def lay(canvas: Canvas | None) -> float:
        y = draw_key(canvas, 6, [words.RIGHT_KEY])
        for panel in data.panels:
            y = _draw_panel(canvas, axis, panel, y, row, label)
        return y

    return draw_on(lay, lay(None), theme)


def _find_reach(sides: Sides) -> float:
    """Return how far from the middle line a bar goes, 1 being all answers."""
    return (max(sides.below, sides.above) + sides.right / 2) / max(1, sides.total)


def _draw_panel(
    canvas: Canvas | None, axis: Axis, panel: RightPanel, y: float, row: float, label: float
) -> float:
    """Draw a panel below y and return where it ends; without a canvas only measure."""
    top = draw_head(canvas, y, panel.attribute) + HEADS
    bottom = top + row * len(panel.rows)
    if canvas is not None:
        _write_heads(canvas, axis, top - HEADS / 2)
        zero = axis.place(0)
        canvas.line([zero, zero], [top - 2, bottom + 2], canvas.theme.ink, 0.8, (0, (1, 2)))
        for place, (sample, sides) in enumerate(panel.rows):
            middle = top + (place + 0.5) * row
            canvas.write_lines(EDGE, middle, wrap(sample, label))
            _draw_bar(canvas, axis, sides, middle)
    return bottom + FOOT


def _write_heads(canvas: Canvas, axis: Axis, y: float) -> None:
    places = ((axis.left, "left"), (axis.place(0), "center"), (axis.right, "right"))
    for name, (x, align) in zip(NAMES, places, strict=True):
        canvas.write(x, y, name, size=SMALL, align=align, colour=canvas.theme.soft)


def _draw_bar(canvas: Canvas, axis: Axis, sides: Sides, y: float) -> None:
    if not sides.total:
        canvas.write_over(axis.place(0), y, words.NO_ANSWER)
        return
    shares = [count / sides.total for count in (sides.below, sides.right, sides.above)]
    start = -shares[1] / 2 - shares[0]
    for share, hatch in zip(shares, HATCHES, strict=True):
        if share:
            _draw_part(canvas, axis.place(start), axis.place(start + share), y, hatch, share)
        start += share


def _draw_part(
    canvas: Canvas, left: float, right: float, y: float, hatch: str, share: float
) -> None:
    theme = canvas.theme
    canvas.box(
        left,
        y - BAR / 2,
        right - left,
        BAR,
        facecolor=theme.paper if hatch else theme.wash,
        edgecolor=theme.alarm if hatch else theme.accent,
        hatch=hatch or None,
        linewidth=1.1,
    )
    said = f"{100 * share:.0f}"
    width = measure(said, SMALL) + 4
    if right - left < width:
        return
    middle = (left + right) / 2
    ground = theme.paper if hatch else theme.wash
    canvas.box(middle - width / 2, y - 5, width, 10, facecolor=ground, lw=0)
    canvas.write(middle, y, said, size=SMALL, align="center")
