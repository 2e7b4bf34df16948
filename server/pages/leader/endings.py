"""How a leader ends a tasting: close, unseal, abandon."""

from fastapi import APIRouter, Request, Response

from server.blinding.events import State
from server.pages.deps import AtBench, Form, Led
from server.pages.leader.table import act_at_table
from server.tastings import closing

router = APIRouter()


@router.post("/tastings/{tasting_id}/close")
def close(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Close the tasting: no further answer counts."""

    def act() -> None:
        reason, pourer = form.get("reason", ""), form.get("pourer", "")
        closing.close_tasting(bench, led.tasting.id, reason, pourer)

    return act_at_table(request, led, form, act, State.CLOSED)


@router.post("/tastings/{tasting_id}/abandon")
def abandon(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Give the tasting up."""
    reason = form.get("abandon_reason", "")

    def act() -> None:
        closing.abandon_tasting(bench, led.tasting.id, reason)

    return act_at_table(request, led, form, act, State.ABANDONED)


@router.post("/tastings/{tasting_id}/unseal")
def unseal(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Recompute the hash and open the key; alone say whether marks not entered are gone."""

    def act() -> None:
        closing.unseal_tasting(bench, led.tasting.id, marks_gone=form.get("marks_gone") == "on")

    return act_at_table(request, led, form, act)
