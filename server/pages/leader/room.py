"""What a leader does while people taste: checklist, open bowl, seats, contests, names."""

from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Form, Led
from server.pages.leader.table import act_at_table
from server.pages.rendering import go_to
from server.tastings import closing, seating
from server.tastings.calibrating import record_calibration
from server.tastings.checking import tick_check
from server.tastings.striking import strike_off
from server.tastings.voiding import void_place

router = APIRouter()


@router.post("/tastings/{tasting_id}/contests/{serving_id}")
def settle(request: Request, bench: AtBench, led: Led, serving_id: UUID, form: Form) -> Response:
    """Say which of several answers counts."""
    choice = form.get("choice", "")
    return act_at_table(
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
    return act_at_table(
        request,
        led,
        form,
        lambda: void_place(bench, led.tasting.id, seat, round_no, reason),
    )


@router.post("/tastings/{tasting_id}/strike")
def strike(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Strike a seat off before the first serving."""
    seat, reason = form.get("strike_seat", ""), form.get("strike_reason", "")
    return act_at_table(request, led, form, lambda: strike_off(bench, led.tasting.id, seat, reason))


@router.post("/tastings/{tasting_id}/checks")
def check(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Tick an item of the checklist."""
    item, done = form.get("item", ""), form.get("done") == "1"
    return act_at_table(
        request, led, form, lambda: tick_check(bench, led.tasting.id, item, done=done)
    )


@router.post("/tastings/{tasting_id}/calibration")
def calibrate(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Note that the open bowl of a sitting was tasted."""
    return act_at_table(request, led, form, lambda: record_calibration(bench, led.tasting.id, form))


@router.post("/tastings/{tasting_id}/seats/{number}/forget")
def forget(request: Request, bench: AtBench, led: Led, number: int) -> Response:
    """Forget what the person at a seat called themselves."""
    seating.erase_person(bench, led.tasting.id, number)
    return go_to(request, f"/tastings/{led.tasting.id}")
