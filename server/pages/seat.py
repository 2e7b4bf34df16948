"""A seat's screen: what it shows, and how a tap leads to the next step."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any
from uuid import UUID

from fastapi import Request, Response

from server.brewing.cautions import HOT, LOCAL_CODES
from server.pages.rendering import go_to, is_fragment_wanted, show
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.scoring_passes import HELD
from server.tastings.seat_view import SeatView, find_seat_view, look_ahead

LONGEST_KEY = 80
CAUTIONS = (HOT.text, LOCAL_CODES)
Form = Mapping[str, str]


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

    def find_problem(self, name: str) -> str:
        """Return what is wrong with a value of a score sheet, by its first field's name."""
        found = (text for one, text in self.errors.items() if f"{one}.".startswith(f"{name}."))
        return next(found, "")

    @property
    def waiting(self) -> Mapping[str, str]:
        """What was typed on a score sheet before its sip is free: it is sent once more."""
        held = [name for name, text in self.errors.items() if text == HELD]
        return {
            name: text
            for name, text in self.form.items()
            if text and any(f"{name}.".startswith(f"{one}.") for one in held)
        }

    @property
    def ahead(self) -> Iterator["Step"]:
        """The steps still to come, for a device that loses its network."""
        for seat in look_ahead(self.seat):
            form = self.form if seat.serving == self.seat.serving else {}
            yield replace(self, seat=seat, form=form, errors={}, notice="")


@dataclass(frozen=True)
class NoSeat:
    """A link that opens no seat."""


def act_at_seat(
    request: Request, bench: Bench, token: str, form: Form, act: Callable[[], object]
) -> Response:
    """Do something at a seat, then show its next step, or what stood in the way."""
    try:
        act()
    except Refusal as error:
        return show_refusal(request, bench, token, form, error)
    return go_on(request, bench, token)


def go_on(request: Request, bench: Bench, token: str) -> Response:
    """Show the next step in place of this one."""
    if is_fragment_wanted(request):
        return show_step(request, bench, token)
    return go_to(request, f"/seat/{token}")


def show_refusal(
    request: Request, bench: Bench, token: str, form: Form, error: Refusal, **more: Any
) -> Response:
    """Show a step again, and why its form was not taken."""
    if isinstance(error, Invalid):
        return show_step(request, bench, token, 422, form=form, errors=error.messages, **more)
    notice = "foreign" if isinstance(error, NotFound) else "early"
    return show_step(request, bench, token, error.status, notice=notice)


def show_step(
    request: Request,
    bench: Bench,
    token: str,
    status: int = 200,
    seat: SeatView | None = None,
    **more: Any,
) -> Response:
    """Show where a seat stands, or the ``seat`` that was looked up already."""
    seat = seat or find_seat_view(bench, token)
    if seat is None:
        return show(request, "assessor/no_seat", NoSeat(), 404)
    more.setdefault("form", seat.draft)
    view = Step(token=token, seat=seat, client_key=bench.draw_token(), **more)
    return show(request, "assessor/step", view, status)


def read_serving_id(form: Form) -> UUID:
    """Return the serving a form is about, or raise `NotFound`."""
    try:
        return UUID(form.get("serving", ""))
    except ValueError:
        raise NotFound("There is no such serving at this seat.") from None


def read_key(form: Form) -> str:
    """Return the key that marks a form, empty if it has none."""
    return form.get("client_key", "").strip()[:LONGEST_KEY]


def read_moment(text: str) -> str | None:
    """Return the device's own clock as it came, if it is a moment at all."""
    try:
        return datetime.fromisoformat(text.strip()).isoformat(timespec="milliseconds")
    except ValueError:
        return None
