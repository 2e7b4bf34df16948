"""The sheet of a brew for a sealed slot, by the link of whoever pours."""

from collections.abc import Callable
from dataclasses import replace

from fastapi import APIRouter, Request, Response

from server.blinding.events import State
from server.pages import pourer
from server.pages.brew_sheet import BrewSheet, answer_form, answer_tap
from server.pages.deps import AtBench, Form
from server.pages.pourer import AtBar, get_bar
from server.pages.rendering import go_to, show
from server.tastings.bench import Bench
from server.tastings.brew_clock import note_tap
from server.tastings.brew_readings import note_readings
from server.tastings.brew_typing import note_times
from server.tastings.journal import AT_THE_TABLE
from server.tastings.pieces_used import list_slot_parts
from server.tastings.pouring import Bar
from server.tastings.refusals import Refusal
from server.tastings.slot_brews import SlotBrew, brew_again, find_slot_brew, open_slot_brew

router = APIRouter()


@router.get("/pour/{token}/brew/{slot}")
def slot_brew(
    request: Request, bench: AtBench, bar: AtBar, token: str, slot: str, ml: str = ""
) -> Response:
    """Show the sheet of the brew for a slot; ``ml`` is water that was typed by volume."""
    view = replace(lay_out(bench, bar, token, _find(bench, bar, slot)), ml=ml)
    return show(request, "brewing/sheet", view)


@router.post("/pour/{token}/brew/{slot}/tap")
def slot_tap(
    request: Request, bench: AtBench, bar: AtBar, token: str, slot: str, form: Form
) -> Response:
    """Note a tap; the first one begins the brew."""
    brew = _find(bench, bar, slot)

    def act() -> None:
        note_tap(bench, *open_slot_brew(bench, bar.tasting_id, brew), form)

    return answer_tap(request, _find_again(bench, token, slot), act)


@router.post("/pour/{token}/brew/{slot}/times")
def slot_times(
    request: Request, bench: AtBench, bar: AtBar, token: str, slot: str, form: Form
) -> Response:
    """Note typed times."""
    brew = _find(bench, bar, slot)

    def act() -> None:
        note_times(bench, *open_slot_brew(bench, bar.tasting_id, brew), form)

    return answer_form(request, _find_again(bench, token, slot), act, form)


@router.post("/pour/{token}/brew/{slot}/readings")
def slot_readings(
    request: Request, bench: AtBench, bar: AtBar, token: str, slot: str, form: Form
) -> Response:
    """Note readings, and keep the brew if that is asked for."""
    brew, find = _find(bench, bar, slot), _find_again(bench, token, slot)
    pieces = find().pieces

    def act() -> None:
        note_readings(bench, *open_slot_brew(bench, bar.tasting_id, brew), form, pieces)

    return answer_form(request, find, act, form)


@router.post("/pour/{token}/brew/{slot}/again")
def slot_again(request: Request, bench: AtBench, bar: AtBar, token: str, slot: str) -> Response:
    """Begin a slot's brew anew, while that is offered; a second tap finds what the first began."""
    brew = _find(bench, bar, slot)
    if lay_out(bench, bar, token, brew).again:
        brew_again(bench, bar.tasting_id, brew)
    return go_to(request, f"/pour/{token}/brew/{slot}")


def lay_out(bench: Bench, bar: Bar, token: str, brew: SlotBrew) -> BrewSheet:
    """Return the sheet as whoever pours sees it.

    Raises
    ------
    Refusal
        There is no recipe: readings go into the short form.
    """
    if brew.recipe is None:
        raise Refusal("This sample has no recipe. Note its readings below the pots of the round.")
    name, number = brew.slot.name, brew.slot.round
    pots = pourer.lay_out(bar, token, number).pots
    return BrewSheet(
        base=f"/pour/{token}/brew/{name}",
        back=f"/pour/{token}?round={number}",
        back_name=f"Pour round {number}",
        heading=f"Brew {name}: {brew.slot.sample}, {brew.label}",
        recipe=brew.recipe,
        brewed=brew.brewed,
        now=bench.clock(),
        open=brew.open and bar.state in AT_THE_TABLE,
        kept=not brew.open,
        in_record=True,
        over=bar.state in (State.UNSEALED, State.ABANDONED),
        pieces=list_slot_parts(bench, bar.tasting_id, bar.layout.plan, brew.slot.sample, name),
        serves=next(pot.cups for pot in pots if pot.slot.name == name),
    )


def _find(bench: Bench, bar: Bar, slot: str) -> SlotBrew:
    return find_slot_brew(bench, bar.layout, bar.record, slot, bar.rounds)


def _find_again(bench: Bench, token: str, slot: str) -> Callable[[], BrewSheet]:
    """Return what finds the sheet as it is then."""

    def find() -> BrewSheet:
        bar = get_bar(bench, token)
        return lay_out(bench, bar, token, _find(bench, bar, slot))

    return find
