"""The leader's brews: one begun from a recipe, its sheet and its taps."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.blinding.events import State
from server.pages.brew_sheet import BrewSheet, answer_form, answer_tap
from server.pages.deps import AtBench, Form, Leader, Led
from server.pages.rendering import go_to, show
from server.tastings import brew_sheets
from server.tastings.bench import Bench
from server.tastings.brew_clock import note_tap
from server.tastings.brew_readings import note_readings
from server.tastings.brew_sheets import KeptBrew
from server.tastings.brew_typing import note_times
from server.tastings.journal import AT_THE_TABLE
from server.tastings.pieces_used import PartChoice, list_parts, list_slot_parts
from server.tastings.progress import LedTasting, find_led
from server.tastings.refusals import NotFound
from server.tastings.slot_brews import find_shown

router = APIRouter()


@router.post("/brews")
def begin_brew(request: Request, bench: AtBench, leader: Leader, form: Form) -> Response:
    """Begin a brew of a recipe, or a trial brew of a sample of a draft."""
    brew_id = brew_sheets.begin_brew(
        bench,
        leader.id,
        recipe_id=_read_id(form, "recipe_id"),
        tasting_id=_read_id(form, "tasting_id"),
        level=form.get("level") or None,
        specimen_id=_read_id(form, "specimen_id"),
    )
    return go_to(request, f"/brews/{brew_id}")


@router.post("/tastings/{tasting_id}/brews/sheet")
def begin_slot_brew(
    request: Request, bench: AtBench, leader: Leader, led: Led, form: Form
) -> Response:
    """Begin the brew for a sealed slot, or begin it anew."""
    brew_id = brew_sheets.begin_brew(
        bench, leader.id, tasting_id=led.tasting.id, slot=form.get("slot", "")
    )
    return go_to(request, f"/brews/{brew_id}")


@router.get("/brews/{brew_id}")
def brew(request: Request, bench: AtBench, leader: Leader, brew_id: UUID, ml: str = "") -> Response:
    """Show the sheet of a brew; ``ml`` is water that was typed by volume."""
    view = replace(_find(bench, leader.id, brew_id)(), ml=ml)
    return show(request, "brewing/sheet", view)


@router.post("/brews/{brew_id}/tap")
def tap(request: Request, bench: AtBench, leader: Leader, brew_id: UUID, form: Form) -> Response:
    """Note a tap."""
    find = _find(bench, leader.id, brew_id)
    return answer_tap(request, find, lambda: note_tap(bench, leader.id, brew_id, form))


@router.post("/brews/{brew_id}/times")
def times(request: Request, bench: AtBench, leader: Leader, brew_id: UUID, form: Form) -> Response:
    """Note typed times."""
    find = _find(bench, leader.id, brew_id)
    return answer_form(request, find, lambda: note_times(bench, leader.id, brew_id, form), form)


@router.post("/brews/{brew_id}/readings")
def readings(
    request: Request, bench: AtBench, leader: Leader, brew_id: UUID, form: Form
) -> Response:
    """Note readings, and keep the brew if that is asked for."""
    find = _find(bench, leader.id, brew_id)

    def act() -> None:
        note_readings(bench, leader.id, brew_id, form, find().pieces)

    return answer_form(request, find, act, form)


@router.post("/brews/{brew_id}/forget")
def forget(request: Request, bench: AtBench, leader: Leader, brew_id: UUID) -> Response:
    """Forget a brew that is not kept."""
    brew_sheets.delete_brew(bench, leader.id, brew_id)
    return go_to(request, "/bench")


def _find(bench: Bench, account_id: UUID, brew_id: UUID) -> Callable[[], BrewSheet]:
    """Return what finds the sheet as it is then."""

    def find() -> BrewSheet:
        brew = brew_sheets.get_brew(bench, account_id, brew_id)
        back, name = _find_back(brew)
        led = _find_led(bench, account_id, brew)
        pieces = _list_pieces(bench, account_id, brew, led)
        piece = next((one.label for one in pieces if one.specimen_id == brew.specimen_id), "")
        return BrewSheet(
            base=f"/brews/{brew.id}",
            back=back,
            back_name=name,
            heading=_name(brew),
            recipe=brew.recipe,
            brewed=find_shown(bench, brew),
            now=bench.clock(),
            open=not brew.kept and (led is None or led.state in AT_THE_TABLE),
            kept=brew.kept,
            owned=True,
            in_record=brew.slot is not None,
            over=led is not None and led.state in (State.UNSEALED, State.ABANDONED),
            pieces=pieces,
            piece=piece if brew.specimen_id else "",
        )

    return find


def _find_led(bench: Bench, account_id: UUID, brew: KeptBrew) -> LedTasting | None:
    """Return the sealed tasting that a brew is made for."""
    if brew.slot is None or brew.tasting_id is None:
        return None
    return find_led(bench, account_id, brew.tasting_id)


def _list_pieces(
    bench: Bench, account_id: UUID, brew: KeptBrew, led: LedTasting | None
) -> tuple[PartChoice, ...]:
    if led is None:
        return list_parts(bench, account_id, brew.id)
    plan, level = led.layout.plan, brew.level or ""
    return list_slot_parts(bench, led.tasting.id, plan, level, brew.slot or "")


def _find_back(brew: KeptBrew) -> tuple[str, str]:
    if brew.slot:
        return f"/tastings/{brew.tasting_id}/brews", "Brews and their match"
    if brew.tasting_id:
        return f"/tastings/{brew.tasting_id}/bench", "Trial brews"
    return "/bench", "Bench"


def _name(brew: KeptBrew) -> str:
    if brew.slot:
        return f"Brew {brew.slot}"
    return f"Trial brew of {brew.level}" if brew.level else brew.recipe.title


def _read_id(form: Mapping[str, str], name: str) -> UUID | None:
    typed = form.get(name, "")
    try:
        return UUID(typed) if typed else None
    except ValueError:
        raise NotFound("There is nothing of this kind.") from None
