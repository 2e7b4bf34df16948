"""Which pieces of the part under test the samples of a draft are brewed with.

They stand on the draft's bench, which `draft_bench` shows.
"""

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Form, Leader, LedRow
from server.pages.rendering import go_to
from server.tastings.pieces_planned import choose_pieces

router = APIRouter()


@router.post("/tastings/{tasting_id}/bench/specimens")
def choose(
    request: Request, bench: AtBench, leader: Leader, tasting: LedRow, form: Form
) -> Response:
    """Keep which pieces each sample is brewed with."""
    choose_pieces(bench, leader.id, tasting.id, form)
    return go_to(request, f"/tastings/{tasting.id}/bench#bench-pieces")
