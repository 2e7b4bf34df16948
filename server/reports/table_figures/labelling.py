"""Names beside the points of a map, none over another, a thin line to those that stand off."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

DISTANCES = (5.0, 9.0, 15.0, 23.0, 33.0, 45.0, 60.0, 80.0)
WAYS = (0, 180, 90, 270, 45, 135, 225, 315, 22, 158, 202, 338)  # degrees
MARK = 4.0  # half of what a point takes up
OVER_MARK, OVER_LINE = 8.0, 3.0  # how bad it is to cover a point, and a piece of a line
NEAR = 10.0  # beyond this a name needs its line


@dataclass(frozen=True)
class Box:
    """A rectangle of the sheet.

    Attributes
    ----------
    left, top, right, bottom : float
    """

    left: float
    top: float
    right: float
    bottom: float

    def overlap(self, other: "Box") -> float:
        """Return the area that both cover.

        Examples
        --------
        >>> Box(0, 0, 4, 2).overlap(Box(3, 1, 9, 9)), Box(0, 0, 4, 2).overlap(Box(5, 0, 6, 2))
        (1, 0)
        """
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return wide * high if wide > 0 and high > 0 else 0


@dataclass(frozen=True)
class Placed:
    """Where a name stands.

    Attributes
    ----------
    box : Box
    distance : float
        From its point, in points.
    """

    box: Box
    distance: float

    @property
    def needs_line(self) -> bool:
        """Whether it stands so far off that its point must be shown."""
        return self.distance > NEAR


def place_names(
    points: Sequence[tuple[float, float]],
    sizes: Sequence[tuple[float, float]],
    within: Box,
    obstacles: Sequence[Box] = (),
) -> list[Placed]:
    """Place names one after the other, each where it covers least of what is there already.

    Parameters
    ----------
    points : sequence of tuple of float
        In places of the sheet.
    sizes : sequence of tuple of float
        Widths and heights of the names.
    within : Box
    obstacles : sequence of Box
        Pieces of lines, rather not covered either.

    Examples
    --------
    >>> one, other = place_names([(50, 50), (52, 50)], [(30, 10)] * 2, Box(0, 0, 100, 100))
    >>> one.box.overlap(other.box)
    0
    """
    marks = [Box(x - MARK, y - MARK, x + MARK, y + MARK) for x, y in points]
    seen = [*((box, OVER_MARK) for box in marks), *((box, OVER_LINE) for box in obstacles)]
    placed: list[Placed] = []
    for point, size in zip(points, sizes, strict=True):
        proposed = _propose(point, size)
        placed.append(min(proposed, key=lambda one: _weigh(one, seen, placed, within)))
    return placed


def _propose(point: tuple[float, float], size: tuple[float, float]) -> Iterator[Placed]:
    x, y = point
    for distance in DISTANCES:
        for way in WAYS:
            across, down = math.cos(math.radians(way)), -math.sin(math.radians(way))
            middle_x = x + across * (distance + size[0] / 2)
            middle_y = y + down * (distance + size[1] / 2)
            box = Box(
                middle_x - size[0] / 2,
                middle_y - size[1] / 2,
                middle_x + size[0] / 2,
                middle_y + size[1] / 2,
            )
            yield Placed(box, distance)


def _weigh(
    one: Placed, seen: Sequence[tuple[Box, float]], placed: Sequence[Placed], within: Box
) -> float:
    """Return how bad a place is: worst over another name, then off the sheet, then over marks."""
    box = one.box
    area = (box.right - box.left) * (box.bottom - box.top)
    outside = area - box.overlap(within)
    covered = sum(weight * box.overlap(other) for other, weight in seen)
    names = sum(box.overlap(other.box) for other in placed)
    return 200 * (names > 0) + 40 * names + 10 * outside + covered + 0.5 * one.distance
