"""What becomes of a draft: sealed, or forgotten; and one made of a tasting that is over."""

from contextlib import suppress

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Form, Leader, Led, LedRow
from server.pages.leader.table import show_draft
from server.pages.rendering import go_to
from server.tastings import drafts
from server.tastings.refusals import Invalid, WrongState
from server.tastings.retasting import draft_more
from server.tastings.sealing import seal_tasting

router = APIRouter()


@router.post("/tastings/{tasting_id}/seal")
def seal(request: Request, bench: AtBench, tasting: LedRow, form: Form) -> Response:
    """Seal a draft; a second tap finds it sealed and changes nothing."""
    try:
        with suppress(WrongState):
            seal_tasting(bench, tasting.id, form.get("reason", ""))
    except Invalid as error:
        return show_draft(request, bench, tasting, form, error.messages)
    return go_to(request, f"/tastings/{tasting.id}")


@router.post("/tastings/{tasting_id}/delete")
def delete(request: Request, bench: AtBench, tasting: LedRow) -> Response:
    """Forget a draft."""
    drafts.delete_draft(bench, tasting.id)
    return go_to(request, "/")


@router.post("/tastings/{tasting_id}/more")
def taste_more(request: Request, bench: AtBench, leader: Leader, led: Led) -> Response:
    """Draft further servings of an unsealed tasting alone, to be kept apart from it."""
    return go_to(request, f"/tastings/{draft_more(bench, leader.id, led)}")
