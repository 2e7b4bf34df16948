"""The leader's tastings, newest first."""

from dataclasses import dataclass
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Leader
from server.pages.rendering import show
from server.tastings.tasting_list import list_led

router = APIRouter()


@dataclass(frozen=True)
class TastingLine:
    """A tasting in the list."""

    id: UUID
    name: str
    question: str
    state: str
    day: str


@dataclass(frozen=True)
class Home:
    """The list."""

    tastings: tuple[TastingLine, ...]


@router.get("/")
def home(request: Request, bench: AtBench, leader: Leader) -> Response:
    """Show the leader's tastings."""
    lines = tuple(
        TastingLine(one.id, one.name, one.plan["question"], one.state, f"{one.created_at:%d %b %Y}")
        for one in list_led(bench, leader.id)
    )
    return show(request, "leader/home", Home(lines))
