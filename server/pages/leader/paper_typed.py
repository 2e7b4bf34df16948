"""Which paper score sheets to type in: a link each, good for whoever helps."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Led
from server.pages.rendering import show
from server.tastings.journal import AT_THE_TABLE
from server.tastings.paper_list import PaperLine, list_paper
from server.tastings.progress import LedTasting

router = APIRouter()


@dataclass(frozen=True)
class TypedSheets:
    """All sheets of a table, and how far each of them is."""

    led: LedTasting
    lines: tuple[PaperLine, ...]

    @property
    def open(self) -> bool:
        """Whether anything may be typed in yet."""
        return self.led.state in AT_THE_TABLE


@router.get("/tastings/{tasting_id}/paper/typed")
def typed_sheets(request: Request, bench: AtBench, led: Led) -> Response:
    """Show the sheets there are to type in."""
    return show(request, "leader/typed_sheets", TypedSheets(led, list_paper(bench, led)))
