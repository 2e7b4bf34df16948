"""An early look at the key: recorded for ever, then shown."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Form, Led
from server.pages.leader.photos import TurnedCups, list_turned_cups
from server.pages.rendering import go_to, show
from server.tastings import closing
from server.tastings.concluding import open_key
from server.tastings.progress import LedTasting
from server.tastings.refusals import Invalid

router = APIRouter()


@dataclass(frozen=True)
class KeyLine:
    """One serving with what its cups are; None where a mark is lost, or was never entered.

    ``where`` is its seat, alone its sitting.
    """

    round: int
    where: int
    cups: tuple[tuple[str, str | None], ...]


@dataclass(frozen=True)
class KeyPage:
    """The form that records a look; the key once it is recorded; alone pictures of the cups."""

    led: LedTasting
    lines: tuple[KeyLine, ...]
    photos: tuple[TurnedCups, ...] = ()
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)


@router.get("/tastings/{tasting_id}/key")
def key_page(request: Request, bench: AtBench, led: Led) -> Response:
    """Show the form, or the key if a look is on record or the tasting is unsealed."""
    allowed = led.record.key_looked or led.record.seal_matches is not None
    lines = _lines(bench, led) if allowed else ()
    return show(request, "leader/key", KeyPage(led, lines, list_turned_cups(bench, led)))


@router.post("/tastings/{tasting_id}/key")
def look(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Record an early look; a second tap finds it recorded."""
    who, reason = form.get("who", ""), form.get("reason", "")
    try:
        if not led.record.key_looked:
            closing.look_at_key(bench, led.tasting.id, who, reason)
    except Invalid as error:
        return show(request, "leader/key", KeyPage(led, (), (), form, error.messages), 422)
    return go_to(request, f"/tastings/{led.tasting.id}/key")


def _lines(bench: AtBench, led: LedTasting) -> tuple[KeyLine, ...]:
    sealed = open_key(bench, led)
    return tuple(
        KeyLine(
            one.round,
            one.sitting if sealed.plan.alone else one.seat,
            tuple((cup.code, sealed.key.get(cup.id)) for cup in one.cups),
        )
        for one in sealed.servings
    )
