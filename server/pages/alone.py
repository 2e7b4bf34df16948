"""What somebody taps who pours and tastes alone: before, between and after the cups."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from starlette.datastructures import UploadFile

from server.pages.deps import AtBench, Form
from server.pages.seat import act_at_seat, go_on, read_serving_id, show_refusal, show_step
from server.tastings import alone, marking
from server.tastings.bench import Bench
from server.tastings.photos import LARGEST_PHOTO
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.seat_view import SeatView, find_marks_view
from server.tastings.steps import StepKind

router = APIRouter(prefix="/seat/{token}")
LONGEST_SHUFFLE_S = 24 * 60 * 60


@dataclass(frozen=True)
class Sent:
    """A form that may bring one picture; ``photo`` is empty if none was chosen."""

    fields: Mapping[str, str]
    photo: bytes


async def read_marks_form(request: Request) -> Sent:
    """Return the posted fields, and of a picture no more than one byte too many."""
    async with request.form(max_files=1, max_fields=200) as form:
        fields = {k: v.replace("\0", "") for k, v in form.items() if isinstance(v, str)}
        photo = form.get("photo")
        sent = await photo.read(LARGEST_PHOTO + 1) if isinstance(photo, UploadFile) else b""
        return Sent(fields, sent)


MarksForm = Annotated[Sent, Depends(read_marks_form)]


@router.post("/prepared")
def prepared(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Note that the cups of a sitting are marked and covered."""

    def act() -> None:
        alone.prepare_sitting(bench, token, _read_number(form.get("sitting", "")))

    return act_at_seat(request, bench, token, form, act)


@router.post("/shuffled")
def shuffled(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Note that cups were shuffled and placed; without a script nobody knows how long."""

    def act() -> None:
        seconds = _read_seconds(form.get("seconds", ""))
        alone.record_shuffle(bench, token, read_serving_id(form), seconds)

    return act_at_seat(request, bench, token, form, act)


@router.post("/give-up")
def give_up(request: Request, bench: AtBench, token: str, form: Form) -> Response:
    """Take a serving out that went wrong before its answer was locked."""

    def act() -> None:
        alone.give_up_serving(bench, token, read_serving_id(form), form)

    return act_at_seat(request, bench, token, form, act)


@router.post("/seen")
def seen(request: Request, bench: AtBench, token: str) -> Response:
    """Note that a mark of cups already answered was seen."""
    return act_at_seat(request, bench, token, {}, lambda: alone.note_seen_mark(bench, token))


@router.get("/marks/{sitting}")
def marks(request: Request, bench: AtBench, token: str, sitting: int) -> Response:
    """Show the form for the marks of a sitting, with those on record if there are some."""
    seat = find_marks_view(bench, token, sitting)
    if seat is None:
        return show_step(request, bench, token, 404, notice="early")
    return show_step(request, bench, token, seat=seat)


@router.post("/marks/{sitting}")
def enter_marks(
    request: Request, bench: AtBench, token: str, sitting: int, form: MarksForm
) -> Response:
    """Show marks once more, or change them, or enter them for good."""
    fields = form.fields
    try:
        if "sure" in fields:
            marking.enter_marks(bench, token, sitting, fields, form.photo)
            return go_on(request, bench, token)
        if "change" not in fields:
            marking.check_sitting_marks(bench, token, sitting, fields)
    except Refusal as error:
        is_photo = isinstance(error, Invalid) and "photo" in error.messages
        seat = _look(bench, token, sitting, review=is_photo)
        return show_refusal(request, bench, token, fields, error, seat=seat)
    seat = _look(bench, token, sitting, review="change" not in fields)
    return show_step(request, bench, token, 200 if seat else 404, seat=seat, form=fields)


def _look(bench: Bench, token: str, sitting: int, *, review: bool) -> SeatView | None:
    seat = find_marks_view(bench, token, sitting)
    return replace(seat, kind=StepKind.MARKS_REVIEW) if seat and review else seat


def _read_number(text: str) -> int:
    if not (text.isascii() and text.isdecimal()) or len(text) > 3:
        raise NotFound("There is no such sitting.")
    return int(text)


def _read_seconds(text: str) -> int | None:
    """Return seconds as a script measured them; None if it did not, or not believably."""
    if not (text.isascii() and text.isdecimal()) or len(text) > 6:
        return None
    return int(text) if int(text) <= LONGEST_SHUFFLE_S else None
