"""The links that leave the leader's hands: joining code, seats, pourers."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from fastapi import APIRouter, Request, Response

from server.pages.addresses import public_url, qr_code
from server.pages.deps import AtBench, Form, Led
from server.pages.rendering import go_to, show
from server.tastings import handing_out
from server.tastings.bench import Bench
from server.tastings.progress import LedTasting
from server.tastings.refusals import Invalid, NotFound

router = APIRouter()


@dataclass(frozen=True)
class LinkLine:
    """A link to hand out; ``number`` finds its QR code."""

    number: int
    label: str
    url: str


@dataclass(frozen=True)
class Links:
    """Everything to hand out; ``form`` and ``errors`` are those of the pourer's form."""

    led: LedTasting
    join_url: str
    seats: tuple[LinkLine, ...]
    pourers: tuple[LinkLine, ...]
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)


@router.get("/tastings/{tasting_id}/links")
def links(request: Request, bench: AtBench, led: Led) -> Response:
    """Show what to hand out."""
    return show(request, "leader/links", _lay_out(request, bench, led))


def _lay_out(request: Request, bench: Bench, led: LedTasting, **form: Mapping[str, str]) -> Links:
    handed = handing_out.find_links(bench, led.tasting.id)
    return Links(
        led,
        public_url(request, f"/join/{led.tasting.join_code}"),
        tuple(
            LinkLine(one.number, f"Seat {one.number}{' (spare)' if one.spare else ''}",
                     public_url(request, f"/seat/{one.token}"))
            for one in handed.seats
        ),
        tuple(
            LinkLine(at, _say_rounds(one.rounds), public_url(request, f"/pour/{one.token}"))
            for at, one in enumerate(handed.pourers, 1)
        ),
        **form,
    )  # fmt: skip


@router.get("/tastings/{tasting_id}/seat")
def own_seat(request: Request, bench: AtBench, led: Led) -> Response:
    """Lead whoever tastes alone to their seat, on this device."""
    if not led.layout.plan.alone:
        raise NotFound("At this tasting somebody sits at every seat.")
    return go_to(request, f"/seat/{handing_out.find_links(bench, led.tasting.id).seats[0].token}")


@router.post("/tastings/{tasting_id}/pourers")
def add_pourer(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Make a pourer's link for some rounds; alone there is nobody to give it to."""
    if led.layout.plan.alone:
        raise NotFound("Whoever tastes here also pours.")
    try:
        handing_out.add_pourer(bench, led, form.get("rounds", ""), form.get("seat", ""))
    except Invalid as error:
        view = _lay_out(request, bench, led, form=form, errors=error.messages)
        return show(request, "leader/links", view, 422)
    return go_to(request, f"/tastings/{led.tasting.id}/links")


@router.get("/tastings/{tasting_id}/links/join.svg")
def join_code(request: Request, led: Led) -> Response:
    """Return the QR code of the joining page."""
    return qr_code(public_url(request, f"/join/{led.tasting.join_code}"))


@router.get("/tastings/{tasting_id}/links/{kind}/{number}.svg")
def link_code(request: Request, bench: AtBench, led: Led, kind: str, number: int) -> Response:
    """Return the QR code of a seat's or a pourer's link."""
    handed = handing_out.find_links(bench, led.tasting.id)
    paths = {("seat", one.number): f"/seat/{one.token}" for one in handed.seats}
    paths |= {("pour", at): f"/pour/{one.token}" for at, one in enumerate(handed.pourers, 1)}
    if (kind, number) not in paths:
        raise NotFound("There is no such link.")
    return qr_code(public_url(request, paths[kind, number]))


def _say_rounds(rounds: list[int] | None) -> str:
    if rounds is None:
        return "Pours all rounds"
    return f"Pours round {', '.join(map(str, rounds))}"
