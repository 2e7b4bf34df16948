"""Close, unseal, abandon; settle what is contested, void what went wrong."""

from collections.abc import Callable, Mapping
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.blinding.events import State
from server.pages.deps import AtBench, Form, Led
from server.pages.leader.table import show_table
from server.pages.rendering import go_to
from server.tastings import closing, seating
from server.tastings.progress import LedTasting
from server.tastings.refusals import Invalid, WrongState

router = APIRouter()


@router.post("/tastings/{tasting_id}/close")
def close(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Close the tasting: no further answer counts."""

    def act() -> None:
        reason, pourer = form.get("reason", ""), form.get("pourer", "")
        closing.close_tasting(bench, led.tasting.id, reason, pourer)

    return _do(request, led, form, act, State.CLOSED)


@router.post("/tastings/{tasting_id}/abandon")
def abandon(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Give the tasting up."""
    reason = form.get("abandon_reason", "")

    def act() -> None:
        closing.abandon_tasting(bench, led.tasting.id, reason)

    return _do(request, led, form, act, State.ABANDONED)


@router.post("/tastings/{tasting_id}/unseal")
def unseal(request: Request, bench: AtBench, led: Led) -> Response:
    """Recompute the hash and open the key."""
    closing.unseal_tasting(bench, led.tasting.id)
    return go_to(request, f"/tastings/{led.tasting.id}")


@router.post("/tastings/{tasting_id}/contests/{serving_id}")
def settle(request: Request, bench: AtBench, led: Led, serving_id: UUID, form: Form) -> Response:
    """Say which of several answers counts."""
    choice = form.get("choice", "")
    return _do(
        request,
        led,
        form,
        lambda: closing.settle_contest(bench, led.tasting.id, serving_id, choice),
    )


@router.post("/tastings/{tasting_id}/void")
def void(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Void a serving that went wrong, answered or not."""
    seat, round_no = form.get("void_seat", ""), form.get("void_round", "")
    reason = form.get("void_reason", "")
    return _do(
        request,
        led,
        form,
        lambda: closing.void_place(bench, led.tasting.id, seat, round_no, reason),
    )


@router.post("/tastings/{tasting_id}/seats/{number}/forget")
def forget(request: Request, bench: AtBench, led: Led, number: int) -> Response:
    """Forget what the person at a seat called themselves."""
    seating.erase_person(bench, led.tasting.id, number)
    return go_to(request, f"/tastings/{led.tasting.id}")


def _do(
    request: Request,
    led: LedTasting,
    form: Mapping[str, str],
    act: Callable[[], None],
    wanted: State | None = None,
) -> Response:
    """Act, and show the table; a second tap that finds the wanted state changes nothing."""
    try:
        act()
    except WrongState as error:
        if error.state != wanted:
            raise
    except Invalid as error:
        return show_table(request, led, form, error.messages)
    return go_to(request, f"/tastings/{led.tasting.id}")
