"""A plane of the sheet with one scale both ways, as large as what it must hold asks for."""

from collections.abc import Sequence

from server.reports.table_figures.axis import Axis
from server.reports.table_figures.canvas import WIDTH
from server.reports.table_figures.labelling import Box
from server.reports.table_figures.rows import EDGE

NAN = float("nan")
LOWEST, HIGHEST = 190.0, 308.0  # heights of the plane
MARGIN = 1.25  # room around the outermost corners


class Plane:
    """Two axes of one scale and the frame around them."""

    def __init__(self, corners: Sequence[tuple[float, float]], top: float) -> None:
        xs, ys = [x for x, _ in corners], [y for _, y in corners]
        wide = (max(xs) - min(xs)) * MARGIN or 1.0
        high = (max(ys) - min(ys)) * MARGIN
        room = WIDTH - 2 * EDGE
        height = min(HIGHEST, max(LOWEST, room * high / wide))
        scale = min(room / wide, height / high) if high else room / wide
        half_wide, half_high = room / scale / 2, height / scale / 2
        mid_x, mid_y = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
        self.box = Box(EDGE, top, EDGE + room, top + height)
        self.across = Axis(mid_x - half_wide, mid_x + half_wide, EDGE, EDGE + room)
        self.up = Axis(mid_y - half_high, mid_y + half_high, top + height, top)

    def place(self, x: float, y: float) -> tuple[float, float]:
        """Return the place of a point on the sheet."""
        return self.across.place(x), self.up.place(y)

    def cut(self, corners: Sequence[tuple[float, float]]) -> tuple[list[float], list[float]]:
        """Return places of a line, NaN where it leaves the frame."""
        box, xs, ys = self.box, [], []
        for corner in corners:
            x, y = self.place(*corner)
            inside = box.left <= x <= box.right and box.top <= y <= box.bottom
            xs.append(x if inside else NAN)
            ys.append(y if inside else NAN)
        return xs, ys
