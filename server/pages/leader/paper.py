"""What a leader prints: tray mats, seat cards, the seal card. Nothing of the key."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.blinding.sealed import PlannedServing
from server.methods.registry import get_method
from server.pages.addresses import public_url
from server.pages.deps import Led
from server.pages.rendering import show
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound

router = APIRouter(prefix="/tastings/{tasting_id}/paper")


@dataclass(frozen=True)
class Sheets:
    """What there is to print, in order; ``form`` and ``errors`` are those of the run card."""

    led: LedTasting
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def rounds(self) -> range:
        """Numbers of the rounds."""
        return range(1, self.led.layout.plan.total_rounds + 1)

    @property
    def mats(self) -> int:
        """How many tray mats there are."""
        return len(_list_laid(self.led))


@dataclass(frozen=True)
class Mat:
    """What lies under one serving: its seat, its round, its codes left to right."""

    seat: int
    spare: bool
    round: int
    codes: tuple[str, ...]


@dataclass(frozen=True)
class Mats:
    """One sheet a seat and round."""

    id: UUID
    name: str
    seal: str
    rounds: int
    reference: bool
    mats: tuple[Mat, ...]


@dataclass(frozen=True)
class SeatCard:
    """A place at the table; ``code_url`` is the picture of its link."""

    number: int
    spare: bool
    code_url: str


@dataclass(frozen=True)
class Seats:
    """The place cards, and the short code for those whose camera fails."""

    id: UUID
    name: str
    join_url: str
    join_code: str
    cards: tuple[SeatCard, ...]


@dataclass(frozen=True)
class SealCard:
    """The seal to be witnessed before the first sip; it says nothing of what is asked."""

    id: UUID
    name: str
    seal: str
    alone: bool

    @property
    def grouped(self) -> str:
        """The whole hash in groups of four, to compare by eye."""
        return " ".join(self.seal[at : at + 4] for at in range(0, len(self.seal), 4))


@router.get("")
def sheets(request: Request, led: Led) -> Response:
    """Show what to print, in which order."""
    return show(request, "paper/sheets", Sheets(led))


@router.get("/mats")
def mats(request: Request, led: Led, round: int | None = None) -> Response:
    """Show the tray mats of a round, or of all rounds."""
    _refuse_alone(led)
    if led.layout.plan.table is not None:
        raise NotFound("A scored table has score sheets instead of mats.")
    plan, spare = led.layout.plan, {seat.number for seat in led.layout.seats if seat.spare}
    if round is not None and not 1 <= round <= plan.total_rounds:
        raise NotFound("There is no such round.")
    laid = tuple(
        Mat(one.seat, one.seat in spare, one.round, one.codes)
        for one in _list_laid(led)
        if round in (None, one.round)
    )
    reference = get_method(plan.method).reference
    view = Mats(led.tasting.id, led.tasting.name, led.seal, plan.total_rounds, reference, laid)
    return show(request, "paper/mats", view)


@router.get("/seats")
def seats(request: Request, led: Led) -> Response:
    """Show a card for every seat."""
    _refuse_alone(led)
    home = f"/tastings/{led.tasting.id}/links/seat"
    view = Seats(
        led.tasting.id,
        led.tasting.name,
        public_url(request, "/join"),
        led.tasting.join_code,
        tuple(
            SeatCard(one.number, one.spare, f"{home}/{one.number}.svg") for one in led.layout.seats
        ),
    )
    return show(request, "paper/seats", view)


@router.get("/seal")
def seal_card(request: Request, led: Led) -> Response:
    """Show the card that a witness signs."""
    view = SealCard(led.tasting.id, led.tasting.name, led.seal, led.layout.plan.alone)
    return show(request, "paper/seal_card", view)


def _refuse_alone(led: LedTasting) -> None:
    if led.layout.plan.alone:
        raise NotFound("Whoever tastes alone has sheets of their own.")


def _list_laid(led: LedTasting) -> list[PlannedServing]:
    """List the servings that need a mat, round by round: all that are not struck off."""
    laid = (one for one in led.layout.servings if one.id not in led.record.struck)
    return sorted(laid, key=lambda one: (one.round, one.seat))
