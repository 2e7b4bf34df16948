"""Which pieces of the part under test the samples of a draft are brewed with."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.blinding.events import State
from server.pages.deps import AtBench, Form, Leader, LedRow
from server.pages.rendering import go_to, show
from server.tastings.pieces_planned import PlannedPieces, choose_pieces, find_pieces

router = APIRouter()


@dataclass(frozen=True)
class Pieces:
    """A draft's pieces."""

    name: str
    pieces: PlannedPieces


@router.get("/tastings/{tasting_id}/bench/specimens")
def pieces(request: Request, bench: AtBench, leader: Leader, tasting: LedRow) -> Response:
    """Show a draft's pieces; those of a sealed tasting stand in its seal."""
    if tasting.state != State.DRAFT:
        return go_to(request, f"/tastings/{tasting.id}")
    view = Pieces(tasting.name, find_pieces(bench, leader.id, tasting))
    return show(request, "leader/pieces", view)


@router.post("/tastings/{tasting_id}/bench/specimens")
def choose(
    request: Request, bench: AtBench, leader: Leader, tasting: LedRow, form: Form
) -> Response:
    """Keep which pieces each sample is brewed with."""
    choose_pieces(bench, leader.id, tasting.id, form)
    return go_to(request, f"/tastings/{tasting.id}/bench/specimens")
