"""The leader's ruler: which dilutions were tasted, and how noticeable they were."""

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Leader
from server.pages.rendering import show
from server.reports.analysis import LEVEL
from server.reports.ruler.figure import describe_ruler, draw_ruler
from server.reports.ruler.marks import pool
from server.reports.ruler.reading import is_straight, tell_fit
from server.stats.ruler import Mark, draw_line
from server.tastings.dilutions import Tasted, list_dilutions
from server.tastings.refusals import NotFound

router = APIRouter()


@dataclass(frozen=True)
class RulerPage:
    """The dilutions, and the line through those that make a mark.

    ``figure`` is the picture in words, ``fit`` whether the line is straight; empty both while
    there is no mark. ``usable`` tells whether findings can be read off it.
    """

    tasted: tuple[Tasted, ...]
    figure: str
    fit: str
    usable: bool


@router.get("/ruler")
def ruler(request: Request, bench: AtBench, leader: Leader) -> Response:
    """Show the ruler."""
    tasted = list_dilutions(bench, leader.id)
    marks = _find_marks(tasted)
    if not marks:
        return show(request, "leader/ruler", RulerPage(tasted, "", "", usable=False))
    line = draw_line(marks, LEVEL)
    usable = bool(line.slope) and is_straight(line.fit)
    figure = describe_ruler(marks, LEVEL)
    view = RulerPage(tasted, figure, tell_fit(line.fit) if line.slope else "", usable)
    return show(request, "leader/ruler", view)


@router.get("/ruler.svg")
def figure(bench: AtBench, leader: Leader) -> Response:
    """Return the picture of the ruler."""
    marks = _find_marks(list_dilutions(bench, leader.id))
    if not marks:
        raise NotFound("There is no ruler yet.")
    kept = {"Cache-Control": "private, no-cache"}
    return Response(draw_ruler(marks, LEVEL), media_type="image/svg+xml", headers=kept)


def _find_marks(tasted: Sequence[Tasted]) -> tuple[Mark, ...]:
    return pool(one.dilution for one in tasted if not one.dilution.fault)
