"""The assessor's screen: one step at a time, until every answer is locked."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.brewing.cautions import HOT, LOCAL_CODES
from server.pages.deps import AtBench, Form
from server.pages.rendering import go_to, is_fragment_wanted, show
from server.tastings import answering, seating
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.seat_view import (
    CHOOSE_VERDICT,
    SeatView,
    find_seat_view,
    look_ahead,
    reopen_draft,
)

router = APIRouter(prefix="/seat/{token}")
LONGEST_KEY = 80
CAUTIONS = (HOT.text, LOCAL_CODES)


@dataclass(frozen=True)
class Step:
    """What a seat sees; ``form`` is what was typed, ``client_key`` marks the form that locks.

    ``notice`` names why a form was not taken: ``foreign`` (not this seat's serving) or
    ``early`` (not its turn, or not at this stage).
    """

    token: str
    seat: SeatView
    client_key: str
    form: Mapping[str, Any]
    errors: Mapping[str, str] = field(default_factory=dict)
    notice: str = ""
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def ahead(self) -> Iterator["Step"]:
        """The steps still to come, for a device that loses its network."""
        for seat in look_ahead(self.seat):
            form = self.form if seat.serving == self.seat.serving else {}
            yield replace(self, seat=seat, form=form, errors={}, notice="")


@dataclass(frozen=True)
class NoSeat:
    """A link that opens no seat."""


@router.get("")
def seat_step(request: Request, bench: AtBench, token: str) -> Response:
    """Show what the seat does next."""
    return _show_step(request, bench, token)


@router.post("/start")
def start(request: Request, bench: AtBench, token: str) -> Response:
    """Note that the instructions were read."""
    return _act(request, bench, token, {}, lambda: seating.read_instructions(bench, token))


@router.post("/codes")
def compare_codes(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Note whether the codes on the cups are those on the screen."""

    def act() -> None:
        differ = _get_verdict(form) == "differ"
        serving_id, key = _get_serving_id(form), _read_key(form)
        answering.confirm_codes(bench, token, serving_id, differ=differ, client_key=key)

    return _act(request, bench, token, form, act)


@router.post("/draft")
def keep_draft(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Keep an answer to look at once more before it is locked."""
    return _act(
        request,
        bench,
        token,
        form,
        lambda: answering.save_draft(bench, token, _get_serving_id(form), form),
    )


@router.post("/change")
def change_draft(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Go back to the ballot with what was typed."""
    return _act(
        request, bench, token, form, lambda: reopen_draft(bench, token, _get_serving_id(form))
    )


@router.post("/answer")
def lock_answer(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Lock an answer; it is stored before this response leaves."""

    def act() -> None:
        key, serving_id = _read_key(form) or bench.draw_token(), _get_serving_id(form)
        clocks = (_read_moment(form.get(name, "")) for name in ("device_at", "sent_at"))
        answering.record_answer(bench, token, serving_id, form, key, *clocks)

    return _act(request, bench, token, form, act)


def _act(
    request: Request, bench: Bench, token: str, form: Mapping[str, str], act: Callable[[], object]
) -> Response:
    """Do something at a seat, then show its next step, or what stood in the way."""
    try:
        act()
    except Invalid as error:
        return _show_step(request, bench, token, 422, form=form, errors=error.messages)
    except NotFound:
        return _show_step(request, bench, token, 404, notice="foreign")
    except Refusal as error:
        return _show_step(request, bench, token, error.status, notice="early")
    if is_fragment_wanted(request):
        return _show_step(request, bench, token)
    return go_to(request, f"/seat/{token}")


def _show_step(
    request: Request, bench: Bench, token: str, status: int = 200, **more: Any
) -> Response:
    seat = find_seat_view(bench, token)
    if seat is None:
        return show(request, "assessor/no_seat", NoSeat(), 404)
    more.setdefault("form", seat.draft)
    view = Step(token=token, seat=seat, client_key=bench.draw_token(), **more)
    return show(request, "assessor/step", view, status)


def _get_verdict(form: Mapping[str, str]) -> str:
    verdict = form.get("verdict", "")
    if verdict not in ("yes", "differ"):
        raise Invalid(verdict=CHOOSE_VERDICT)
    return verdict


def _get_serving_id(form: Mapping[str, str]) -> UUID:
    try:
        return UUID(form.get("serving", ""))
    except ValueError:
        raise NotFound("There is no such serving at this seat.") from None


def _read_key(form: Mapping[str, str]) -> str:
    return form.get("client_key", "").strip()[:LONGEST_KEY]


def _read_moment(text: str) -> str | None:
    """Return the device's own clock as it came, if it is a moment at all."""
    try:
        return datetime.fromisoformat(text.strip()).isoformat(timespec="milliseconds")
    except ValueError:
        return None
