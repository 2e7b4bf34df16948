"""What maps have in common: points in a plane, when there is none, and how it is told."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from server.reports.display import show_share
from server.reports.table_figures import words
from server.reports.table_figures.shown import Numbers, show_value
from server.stats.ellipse import Ellipse

LEAST_SAMPLES = 4
LEAST_ASSESSORS = 6
EDGES = 72  # corners of an ellipse


@dataclass(frozen=True)
class Point:
    """A point of a map.

    Attributes
    ----------
    name : str
    x, y : float
    ellipse : Ellipse or None
    around : tuple of tuple of float
        Where single assessors see it, if that is known.
    """

    name: str
    x: float
    y: float
    ellipse: Ellipse | None = None
    around: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Map:
    """A map of samples, with what tells them apart.

    Attributes
    ----------
    samples : tuple of Point
    others : tuple of Point
        Attributes or words.
    kind : str
        What the others are.
    title, others_title : str
        Of the samples, and of the others; without a title of their own these
        are drawn among the samples.
    shares : tuple of float
        Of the differences, across and upwards.
    key : str
        What marks mean.
    check : str
        What a test of chance says of the whole; empty if there is none.
    caution : str
        Why it should not be read, if so.
    reason : str
        Why there is no map; empty if there is one.
    told : str
        What the text alternative says.
    """

    samples: tuple[Point, ...] = ()
    others: tuple[Point, ...] = ()
    kind: str = words.KIND_ATTRIBUTE
    title: str = ""
    others_title: str = ""
    shares: tuple[float, ...] = ()
    key: str = ""
    check: str = ""
    caution: str = ""
    reason: str = ""
    told: str = ""


def find_reason(
    samples: int, assessors: int, axes: int, too_few: str, samples_few: str = words.MAP_SAMPLES
) -> str:
    """Return why there is no map, nothing if there is one.

    Examples
    --------
    >>> find_reason(3, 12, 2, ""), find_reason(6, 12, 2, "")
    ('No map: it takes 4 samples or more, not 3.', '')
    """
    if samples < LEAST_SAMPLES:
        return samples_few.format(least=LEAST_SAMPLES, found=samples)
    if assessors < LEAST_ASSESSORS:
        return too_few.format(least=LEAST_ASSESSORS, found=assessors)
    return words.MAP_FLAT if axes < 2 else ""


def find_farthest(points: Sequence[Point]) -> tuple[str, str]:
    """Return the names of the two points farthest apart.

    Examples
    --------
    >>> find_farthest([Point("X", 0, 0), Point("Y", 1, 0), Point("Z", 0, 3)])
    ('Y', 'Z')
    """
    pairs = [(one, other) for at, one in enumerate(points) for other in points[at + 1 :]]
    one, other = max(pairs, key=lambda pair: math.dist(_at(pair[0]), _at(pair[1])))
    return one.name, other.name


def _at(point: Point) -> tuple[float, float]:
    return point.x, point.y


def list_corners(ellipse: Ellipse) -> list[tuple[float, float]]:
    """Return places along an ellipse, the last one the first again.

    Examples
    --------
    >>> corners = list_corners(Ellipse((1.0, 2.0), (3.0, 1.0), 90.0, 0.0, 0.95))
    >>> [round(value, 6) + 0.0 for value in corners[0]], corners[0] == corners[-1]
    ([1.0, 5.0], True)
    """
    angle = math.radians(ellipse.angle or 0.0)
    turn, slant = math.cos(angle), math.sin(angle)
    corners = []
    for step in range(EDGES):
        around = 2 * math.pi * step / EDGES
        long, short = (
            ellipse.semi_axes[0] * math.cos(around),
            ellipse.semi_axes[1] * math.sin(around),
        )
        x, y = ellipse.centre
        corners.append((x + long * turn - short * slant, y + long * slant + short * turn))
    return [*corners, corners[0]]


def count_overlaps(points: Sequence[Point]) -> tuple[int, int]:
    """Return how many pairs of ellipses overlap, and how many pairs there are.

    Examples
    --------
    >>> circle = lambda x: Point("", x, 0, Ellipse((x, 0.0), (1.0, 1.0), None, 0.0, 0.95))
    >>> count_overlaps([circle(0.0), circle(1.5), circle(9.0)])
    (1, 3)
    """
    known = [one.ellipse for one in points if one.ellipse is not None]
    pairs = [(one, other) for at, one in enumerate(known) for other in known[at + 1 :]]
    return sum(_overlap(one, other) or _overlap(other, one) for one, other in pairs), len(pairs)


def _overlap(one: Ellipse, other: Ellipse) -> bool:
    return any(_holds(other, place) for place in [one.centre, *list_corners(one)])


def _holds(ellipse: Ellipse, place: tuple[float, float]) -> bool:
    angle = math.radians(ellipse.angle or 0.0)
    x, y = place[0] - ellipse.centre[0], place[1] - ellipse.centre[1]
    along = x * math.cos(angle) + y * math.sin(angle)
    aside = y * math.cos(angle) - x * math.sin(angle)
    if not all(ellipse.semi_axes):
        return False
    return (along / ellipse.semi_axes[0]) ** 2 + (aside / ellipse.semi_axes[1]) ** 2 <= 1


def describe(data: Map) -> str:
    """Say what the map shows, or why there is none."""
    if data.reason:
        return data.reason
    one, other = find_farthest(data.samples)
    parts = [data.told, words.MAP_APART.format(one=one, other=other)]
    overlaps, pairs = count_overlaps(data.samples)
    if pairs:
        parts.append(words.MAP_OVERLAP.format(overlaps=overlaps, pairs=pairs))
    return " ".join(part for part in (*parts, data.check, data.caution) if part)


def tabulate(data: Map) -> Numbers:
    """Return the places of the map; without one, no rows."""
    shares = tuple(show_share(share) for share in data.shares[:2])
    what, name, across, up, *sizes = words.MAP_HEAD
    places = [f"{axis} ({share})" for axis, share in zip((across, up), shares, strict=False)]
    head = (what, name, *(places or (across, up)), *sizes)
    return Numbers(head, tuple(_list_rows(data)))


def _list_rows(data: Map) -> Iterator[tuple[str, ...]]:
    for kind, points in ((words.KIND_SAMPLE, data.samples), (data.kind, data.others)):
        for one in points:
            axes = one.ellipse.semi_axes if one.ellipse else None
            sizes = [show_value(axis) for axis in axes] if axes else [words.NOT_TASTED] * 2
            yield kind, one.name, show_value(one.x), show_value(one.y), *sizes
