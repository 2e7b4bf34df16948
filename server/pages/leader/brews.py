"""The brew register: readings of each slot's brew, how samples match, and what goes out."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from fastapi import APIRouter, Request, Response

from server.brewing.match import MatchTable
from server.pages.deps import AtBench, Form, Led
from server.pages.rendering import go_to, show
from server.tastings.matching import match_noted
from server.tastings.pouring import note_brew
from server.tastings.progress import LedTasting
from server.tastings.refusals import Invalid
from server.tastings.releasing import SlotGate, list_slot_gates, release_brew, suggest_reason

router = APIRouter()


@dataclass(frozen=True)
class Brews:
    """The register."""

    led: LedTasting
    match: MatchTable
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def gates(self) -> tuple[SlotGate, ...]:
        """How each brew that was read stands before its gate."""
        return list_slot_gates(self.led.layout, self.led.record, self.led.layout.slots)

    def suggest(self, round_no: int) -> str:
        """Return the reason that was given last in a round."""
        return suggest_reason(self.gates, round_no)


@router.get("/tastings/{tasting_id}/brews")
def brews(request: Request, led: Led) -> Response:
    """Show the register."""
    return show(request, "leader/brews", Brews(led, match_noted(led.layout, led.record)))


@router.post("/tastings/{tasting_id}/brews")
def add_brew(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Note the readings of one brew."""
    return _act(request, led, form, lambda: note_brew(bench, led.tasting.id, _rounds(led), form))


@router.post("/tastings/{tasting_id}/brews/release")
def release(request: Request, bench: AtBench, led: Led, form: Form) -> Response:
    """Let a brew's cups go out."""
    return _act(request, led, form, lambda: release_brew(bench, led.tasting.id, _rounds(led), form))


def _rounds(led: LedTasting) -> range:
    return range(1, led.layout.plan.total_rounds + 1)


def _act(
    request: Request, led: LedTasting, form: Mapping[str, str], act: Callable[[], None]
) -> Response:
    try:
        act()
    except Invalid as error:
        view = Brews(led, match_noted(led.layout, led.record), form, error.messages)
        return show(request, "leader/brews", view, 422)
    return go_to(request, f"/tastings/{led.tasting.id}/brews")
