"""Maps drawn: the samples in their plane, and what tells them apart in it or in a circle below."""

import math
from collections.abc import Sequence

from server.reports.display import show_share
from server.reports.table_figures import words
from server.reports.table_figures.axis import SMALL
from server.reports.table_figures.canvas import WIDTH, Canvas, draw_on
from server.reports.table_figures.labelling import Box, place_names
from server.reports.table_figures.lettering import LEADING, SIZE, measure, wrap
from server.reports.table_figures.maps import Map, Point, list_corners
from server.reports.table_figures.plane import Plane
from server.reports.table_figures.rows import EDGE, draw_head, draw_key
from server.reports.table_figures.themes import ThemeName

NAME = 84.0  # width at which names are broken
MOST_WORDS = 14
PARTS = [part / 16 for part in range(1, 17)]
LEAST_REACH = 0.5  # of an arrow worth a name, as a correlation
FARTHEST = 2.2  # ellipses may go on so many times beyond the outermost point


def draw(data: Map, theme: ThemeName) -> bytes:
    """Draw a map as SVG, or the reason why there is none."""
    lay = _lay_reason if data.reason else _lay_map
    return draw_on(lambda canvas: lay(canvas, data), lay(None, data), theme)


def _lay_reason(canvas: Canvas | None, data: Map) -> float:
    lines = wrap(data.reason, WIDTH - 2 * EDGE, most=5)
    height = 16 + SIZE * LEADING * len(lines)
    if canvas is not None:
        canvas.write_lines(EDGE, height / 2, lines)
    return height


def _lay_map(canvas: Canvas | None, data: Map) -> float:
    """Draw everything one below the other and return where it ends; or only measure."""
    y = draw_key(canvas, 6, [said for said in (data.key, data.check) if said])
    if data.caution:
        y = draw_head(canvas, y - 4, data.caution)
    top = draw_head(canvas, y, data.title)
    plane = Plane(_list_extremes(data), top)
    if canvas is not None:
        _draw_samples(canvas, plane, data)
        _write_shares(canvas, plane, data)
    y = plane.box.bottom + 18
    if data.others_title:
        top = draw_head(canvas, y, data.others_title)
        circle = Plane([(-1, -1), (1, 1)], top)
        if canvas is not None:
            _draw_circle(canvas, circle, data)
        left = len(data.others) - len(_pick_others(data))
        y = circle.box.bottom + 6
        y = draw_key(canvas, y, [words.OWN_LEFT.format(left=left)] if left else [])
    return y


def _list_extremes(data: Map) -> list[tuple[float, float]]:
    """Return what the plane must hold: points, and ellipses unless they are far larger."""
    points = [*data.samples, *(() if data.others_title else data.others)]
    places = [(one.x, one.y) for one in points]
    places += [place for one in data.samples for place in one.around]
    reach = FARTHEST * max(max(abs(x), abs(y)) for x, y in places)
    corners = [place for one in points if one.ellipse for place in list_corners(one.ellipse)]
    near = [(x, y) for x, y in corners if max(abs(x), abs(y)) <= reach]
    return [(0.0, 0.0), *places, *near]


def _draw_samples(canvas: Canvas, plane: Plane, data: Map) -> None:
    _draw_frame(canvas, plane)
    theme = canvas.theme
    for one in data.samples:
        if one.ellipse is not None:
            canvas.line(*plane.cut(list_corners(one.ellipse)), theme.soft, 0.9)
        at = plane.place(one.x, one.y)
        for other in one.around:
            x, y = plane.place(*other)
            canvas.line([at[0], x], [at[1], y], theme.line, 0.8)
            canvas.mark([x], [y], "o", 2.6, theme.soft)
    among = () if data.others_title else data.others
    named = [(one, bool(among)) for one in data.samples] + [(one, False) for one in among]
    _write_names(canvas, plane, named)
    _mark(canvas, plane, among, "+", 7, theme.alarm)
    _mark(canvas, plane, data.samples, "o", 7, theme.accent)


def _draw_circle(canvas: Canvas, plane: Plane, data: Map) -> None:
    theme = canvas.theme
    around = [(math.cos(math.radians(at)), math.sin(math.radians(at))) for at in range(0, 361, 5)]
    canvas.line(*plane.cut(around), theme.line, 0.8)
    _draw_frame(canvas, plane)
    centre, picked = plane.place(0, 0), _pick_others(data)
    rays = []
    for one in picked:
        x, y = plane.place(one.x, one.y)
        canvas.line([centre[0], x], [centre[1], y], theme.alarm, 1.3)
        rays += [
            _dot((centre[0] + part * (x - centre[0]), centre[1] + part * (y - centre[1])))
            for part in PARTS
        ]
    _write_names(canvas, plane, [(one, False) for one in picked], rays)
    _mark(canvas, plane, picked, "o", 4.5, theme.alarm)


def _dot(place: tuple[float, float]) -> Box:
    """Return the little a place of a ray takes up."""
    return Box(place[0] - 2, place[1] - 2, place[0] + 2, place[1] + 2)


def _mark(
    canvas: Canvas, plane: Plane, points: Sequence[Point], shape: str, size: float, colour: str
) -> None:
    places = [plane.place(one.x, one.y) for one in points]
    canvas.mark([x for x, _ in places], [y for _, y in places], shape, size, colour)


def _pick_others(data: Map) -> list[Point]:
    """Return those with arrows worth a name, the longest first."""
    order = sorted(data.others, key=lambda one: -math.hypot(one.x, one.y))
    return [one for one in order if math.hypot(one.x, one.y) >= LEAST_REACH][:MOST_WORDS]


def _draw_frame(canvas: Canvas, plane: Plane) -> None:
    x, y = plane.place(0, 0)
    box = plane.box
    canvas.line([box.left, box.right], [y, y], canvas.theme.line, 0.8)
    canvas.line([x, x], [box.top, box.bottom], canvas.theme.line, 0.8)


def _write_shares(canvas: Canvas, plane: Plane, data: Map) -> None:
    said = [
        words.MAP_AXIS.format(axis=axis, share=show_share(share))
        for axis, share in zip(words.AXES, data.shares, strict=True)
    ]
    y = plane.box.bottom + 8
    canvas.write(EDGE, y, "; ".join(said), size=SMALL, colour=canvas.theme.soft)


def _write_names(
    canvas: Canvas,
    plane: Plane,
    points: Sequence[tuple[Point, bool]],
    taken: Sequence[Box] = (),
) -> None:
    """Write names where they fit, a line to each that stands off its point."""
    places = [plane.place(one.x, one.y) for one, _ in points]
    lines = [wrap(one.name, NAME, SMALL, bold) for one, bold in points]
    sizes = [
        (max(measure(line, SMALL, bold) for line in name) + 2, SMALL * LEADING * len(name))
        for name, (_, bold) in zip(lines, points, strict=True)
    ]
    placed = place_names(places, sizes, plane.box, taken)
    for one in placed:
        wide, high = one.box.right - one.box.left, one.box.bottom - one.box.top
        ground = canvas.theme.paper
        canvas.box(one.box.left, one.box.top, wide, high, facecolor=ground, alpha=0.8, lw=0)
    for place, one in zip(places, placed, strict=True):
        if one.needs_line:
            _lead(canvas, place, one.box)
    for one, name, (_, bold) in zip(placed, lines, points, strict=True):
        middle = (one.box.left + one.box.right) / 2, (one.box.top + one.box.bottom) / 2
        canvas.write_lines(*middle, name, size=SMALL, bold=bold, align="center")


def _lead(canvas: Canvas, place: tuple[float, float], box: Box) -> None:
    """Draw a line from a point to the nearest edge of its name."""
    x, y = place
    near_x, near_y = min(max(x, box.left), box.right), min(max(y, box.top), box.bottom)
    canvas.line([x, near_x], [y, near_y], canvas.theme.soft, 0.7)
