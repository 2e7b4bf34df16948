"""What a scored table says when all is locked, and what is decided when it is unsealed."""

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Form, Led
from server.pages.leader.table import act_at_table
from server.tastings import deciding, discussing

router = APIRouter()


@router.post("/tastings/{tasting_id}/discussion")
def discuss(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Record the table's words."""

    def act() -> None:
        text, who = form.get("discussion", ""), form.get("discussion_who", "")
        discussing.record_discussion(bench, led.tasting.id, text, who)

    return act_at_table(request, led, form, act)


@router.post("/tastings/{tasting_id}/decision")
def decide(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Record what is to be done with a batch."""
    return act_at_table(
        request, led, form, lambda: deciding.record_decision(bench, led.tasting.id, form)
    )
