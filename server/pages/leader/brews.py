"""The brew register: readings of each slot's brew, and how well the samples match."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from fastapi import APIRouter, Request, Response

from server.brewing.match import MatchTable
from server.pages.deps import AtBench, Form, Led
from server.pages.rendering import go_to, show
from server.tastings.matching import match_noted
from server.tastings.pouring import note_brew
from server.tastings.progress import LedTasting
from server.tastings.refusals import Invalid

router = APIRouter()


@dataclass(frozen=True)
class Brews:
    """The register."""

    led: LedTasting
    match: MatchTable
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)


@router.get("/tastings/{tasting_id}/brews")
def brews(request: Request, led: Led) -> Response:
    """Show the register."""
    return show(request, "leader/brews", Brews(led, match_noted(led.layout, led.record)))


@router.post("/tastings/{tasting_id}/brews")
def add_brew(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Note the readings of one brew."""
    try:
        note_brew(bench, led.tasting.id, range(1, led.layout.plan.total_rounds + 1), form)
    except Invalid as error:
        view = Brews(led, match_noted(led.layout, led.record), form, error.messages)
        return show(request, "leader/brews", view, 422)
    return go_to(request, f"/tastings/{led.tasting.id}/brews")
