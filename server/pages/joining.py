"""Take a seat: type the short code, choose a free seat, go on to its own link."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Form
from server.pages.rendering import go_to, show
from server.tastings.bench import Bench
from server.tastings.refusals import NotFound, WrongState
from server.tastings.seating import JoinView, SeatTaken, find_join_view, take_seat, tidy_code

router = APIRouter(prefix="/join")
CODE = re.compile("[A-Z0-9]{1,12}")
KEY = re.compile("[0-9a-f]{1,64}")
LONGEST_NAME = 40


@dataclass(frozen=True)
class Join:
    """The form for the short code; ``problem`` is ``""``, ``"empty"`` or ``"unknown"``."""

    code: str = ""
    problem: str = ""


@dataclass(frozen=True)
class Seats:
    """The seats of a tasting; ``problem`` names the field at fault and why.

    It is ``""``, ``"choose"`` (no seat chosen), ``"taken"`` (somebody was faster),
    ``"no_seat"`` (no such number) or ``"name"`` (too long).
    """

    join: JoinView
    claim_key: str
    form: Mapping[str, str] = field(default_factory=dict)
    problem: str = ""
    longest_name: int = LONGEST_NAME


@router.get("")
def code_form(request: Request) -> Response:
    """Ask for the short code."""
    return show(request, "joining/code", Join())


@router.post("")
def find_tasting(request: Request, bench: AtBench, form: Form) -> Response:
    """Go to the tasting with this short code."""
    typed = form.get("code", "").strip()
    if not typed:
        return show(request, "joining/code", Join(problem="empty"), 422)
    if _find(bench, typed) is None:
        return show(request, "joining/code", Join(typed[:40], "unknown"), 404)
    return go_to(request, f"/join/{tidy_code(typed)}")


@router.get("/{code}")
def choose_seat(request: Request, bench: AtBench, code: str) -> Response:
    """Show the seats of a tasting."""
    return _show_seats(request, bench, code, {})


@router.post("/{code}")
def claim_seat(request: Request, bench: AtBench, code: str, form: Form) -> Response:
    """Take a seat; the same form sent twice takes one."""
    number, name = form.get("seat", ""), _tidy_name(form.get("name", ""))
    if not re.fullmatch("[0-9]{1,3}", number):
        return _show_seats(request, bench, code, form, "choose", 422)
    if len(name) > LONGEST_NAME:
        return _show_seats(request, bench, code, form, "name", 422)
    key = _find_key(form) or bench.draw_token()  # without one, a form is a form of its own
    try:
        token = take_seat(bench, tidy_code(code), int(number), key, name)
    except SeatTaken:
        return _show_seats(request, bench, code, form, "taken", 409)
    except (NotFound, WrongState) as error:
        return _show_seats(request, bench, code, form, "no_seat", error.status)
    return go_to(request, f"/seat/{token}")


def _show_seats(
    request: Request,
    bench: Bench,
    code: str,
    form: Mapping[str, str],
    problem: str = "",
    status: int = 200,
) -> Response:
    join = _find(bench, code)
    if join is None:
        return show(request, "joining/code", Join(code[:40], "unknown"), 404)
    if not join.open:
        return show(request, "joining/closed", join, 410 if status == 200 else status)
    view = Seats(join, _find_key(form) or join.claim_key, form, problem)
    return show(request, "joining/seats", view, status)


def _find(bench: Bench, code: str) -> JoinView | None:
    return find_join_view(bench, code) if CODE.fullmatch(tidy_code(code)) else None


def _find_key(form: Mapping[str, str]) -> str | None:
    """Return what marks the form, so that sending it twice takes one seat."""
    key = form.get("claim_key", "")
    return key if KEY.fullmatch(key) else None


def _tidy_name(text: str) -> str:
    return " ".join("".join(one if one.isprintable() else " " for one in text).split())
