"""The assessor's screen: one step at a time, until every answer is locked."""

from collections.abc import Mapping

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Form
from server.pages.seat import act_at_seat, read_key, read_moment, read_serving_id, show_step
from server.tastings import answering, scoring_lock, seating
from server.tastings.refusals import Invalid
from server.tastings.seat_view import CHOOSE_VERDICT, find_seat_view
from server.tastings.steps import reopen_draft

router = APIRouter(prefix="/seat/{token}")


@router.get("")
def seat_step(request: Request, bench: AtBench, token: str, sitting: str = "") -> Response:
    """Show what the seat does next; somebody alone may ask to begin a sitting."""
    begin = int(sitting) if sitting.isascii() and sitting.isdecimal() else 0
    return show_step(request, bench, token, seat=find_seat_view(bench, token, begin))


@router.post("/start")
def start(request: Request, bench: AtBench, token: str) -> Response:
    """Note that the instructions were read."""
    return act_at_seat(request, bench, token, {}, lambda: seating.read_instructions(bench, token))


@router.post("/codes")
def compare_codes(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Note whether the codes on the cups are those on the screen."""

    def act() -> None:
        differ = _get_verdict(form) == "differ"
        serving_id, key = read_serving_id(form), read_key(form)
        answering.confirm_codes(bench, token, serving_id, differ=differ, client_key=key)

    return act_at_seat(request, bench, token, form, act)


@router.post("/draft")
def keep_draft(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Keep an answer to look at once more before it is locked."""

    def act() -> None:
        answering.save_draft(bench, token, read_serving_id(form), form)

    return act_at_seat(request, bench, token, form, act)


@router.post("/change")
def change_draft(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Go back to the ballot with what was typed."""

    def act() -> None:
        reopen_draft(bench, token, read_serving_id(form))

    return act_at_seat(request, bench, token, form, act)


@router.post("/answer")
def lock_answer(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Lock an answer; it is stored before this response leaves."""

    def act() -> None:
        key, serving_id = read_key(form) or bench.draw_token(), read_serving_id(form)
        clocks = (read_moment(form.get(name, "")) for name in ("device_at", "sent_at"))
        scoring_lock.lock_answer(bench, token, serving_id, form, key, *clocks)

    return act_at_seat(request, bench, token, form, act)


def _get_verdict(form: Mapping[str, str]) -> str:
    verdict = form.get("verdict", "")
    if verdict not in ("yes", "differ"):
        raise Invalid(verdict=CHOOSE_VERDICT)
    return verdict
