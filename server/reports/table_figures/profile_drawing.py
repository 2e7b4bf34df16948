"""The profile drawn: attributes one below the other, samples as rows."""

from server.reports.display import show_share
from server.reports.table_figures import words
from server.reports.table_figures.axis import SMALL, Axis, draw_estimate, draw_ticks
from server.reports.table_figures.canvas import WIDTH, Canvas, draw_on
from server.reports.table_figures.lettering import LEADING, SIZE, measure, wrap
from server.reports.table_figures.profile import Profile, ProfilePanel, SampleRow
from server.reports.table_figures.rows import EDGE, draw_head, draw_key, find_label_width
from server.reports.table_figures.shown import show_p_value
from server.reports.table_figures.themes import ThemeName

ROW = 17.0
ROW_OF_MANY = 22.0  # with more assessors than this has room for at two points each
FOOT = 24.0
NAN = float("nan")


class _Layout:
    """Where everything stands; found before anything is drawn."""

    def __init__(self, data: Profile) -> None:
        labels = [row.sample for panel in data.panels for row in panel.rows]
        self.label = find_label_width(labels)
        letters = [row.letters or "" for panel in data.panels for row in panel.rows]
        self.right = WIDTH - EDGE - 10 - max(measure(one, SMALL) for one in letters)
        lines = max(len(wrap(label, self.label)) for label in labels)
        plain = ROW if len(data.assessors) <= 8 else ROW_OF_MANY
        self.row = max(plain, 5 + lines * SIZE * LEADING)
        self.lanes = {who: place for place, who in enumerate(data.assessors)}
        self.keys = _list_keys(data, any(letters))

    def lane(self, who: str, y: float) -> tuple[float, float]:
        """Return top and bottom of an assessor's strokes in the row around y."""
        height = (self.row - 4) / len(self.lanes)
        top = y - (self.row - 4) / 2 + self.lanes[who] * height
        return top, top + max(1.4, min(height, 5.0))


def draw(data: Profile, theme: ThemeName) -> bytes:
    """Draw the profile as SVG."""
    layout = _Layout(data)

    def lay(canvas: Canvas | None) -> float:
        y = draw_key(canvas, 6, layout.keys)
        for panel in data.panels:
            y = _draw_panel(canvas, layout, panel, y)
        return y

    return draw_on(lay, lay(None), theme)


def _list_keys(data: Profile, lettered: bool) -> list[str]:
    rows = [row for panel in data.panels for row in panel.rows]
    keys = [words.PROFILE_KEY.format(level=show_share(data.level))]
    if any(panel.against for panel in data.panels):
        keys.append(words.CROSS_KEY)
    if any(row.mean is not None and row.interval is None for row in rows):
        keys.append(words.NO_LIMITS)
    return [*keys, words.LETTERS_KEY] if lettered else keys


def _draw_panel(canvas: Canvas | None, layout: _Layout, panel: ProfilePanel, y: float) -> float:
    """Draw a panel below y and return where it ends; without a canvas only measure."""
    verdict = words.STANDINGS[panel.standing].format(show_p_value(panel.p_value))
    top = draw_head(canvas, y, panel.attribute, verdict)
    bottom = top + len(panel.rows) * layout.row
    if canvas is not None:
        axis = Axis(*panel.ends, EDGE + layout.label + 10, layout.right)
        draw_ticks(canvas, axis, top, bottom)
        for place, row in enumerate(panel.rows):
            _draw_row(canvas, layout, axis, panel, row, top + (place + 0.5) * layout.row)
    return bottom + FOOT


def _draw_row(
    canvas: Canvas, layout: _Layout, axis: Axis, panel: ProfilePanel, row: SampleRow, y: float
) -> None:
    canvas.write_lines(EDGE, y, wrap(row.sample, layout.label))
    if row.mean is None:
        canvas.write_over((axis.left + axis.right) / 2, y, words.NO_SCORE)
        return
    _draw_scores(canvas, layout, axis, panel, row, y)
    draw_estimate(canvas, axis, y, row.mean, row.interval)
    canvas.write(canvas.width - EDGE, y, row.letters or "", align="right", size=SMALL)


def _draw_scores(
    canvas: Canvas, layout: _Layout, axis: Axis, panel: ProfilePanel, row: SampleRow, y: float
) -> None:
    """Draw all strokes as one line with gaps, crosses of those against the rest on top."""
    xs: list[float] = []
    ys: list[float] = []
    for who, value in row.scores:
        if who not in panel.against:
            xs += [axis.place(value)] * 2 + [NAN]
            ys += [*layout.lane(who, y), NAN]
    canvas.line(xs, ys, canvas.theme.soft, 1.5)
    crosses = [(who, value) for who, value in row.scores if who in panel.against]
    heights = [sum(layout.lane(who, y)) / 2 for who, _ in crosses]
    canvas.mark([axis.place(value) for _, value in crosses], heights, "x", 5, canvas.theme.alarm)
