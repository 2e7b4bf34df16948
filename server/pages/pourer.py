"""The pourer's screen: what goes where in a round, ticks, readings, calls."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Depends, Request, Response

from server.blinding.sealed import PlannedServing, PlannedSlot
from server.blinding.table_stands import list_stands
from server.pages.deps import AtBench, Form
from server.pages.rendering import go_to, is_fragment_wanted, show
from server.pages.single_cups import SingleCup, order_cups
from server.tastings import pouring
from server.tastings.calibrating import OpenBowl, find_bowl_before
from server.tastings.dosing import Dose, find_dose
from server.tastings.pouring import Bar
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.releasing import SlotGate, list_slot_gates, release_brew, suggest_reason
from server.tastings.standing_in import find_planned
from server.tastings.table_places import list_ring_codes, name_cup, name_place

router = APIRouter()


@dataclass(frozen=True)
class Pot:
    """A brew slot and the cups it fills now: code and where it goes.

    Those held back wait for a spare seat.
    """

    slot: PlannedSlot
    cups: tuple[tuple[str, str], ...]
    held_back: tuple[tuple[str, str], ...]
    poured: bool


@dataclass(frozen=True)
class Tray:
    """A serving on its way to a seat; ``void`` or standing in ``instead`` of a void one.

    Its ``cups`` are told where each of them is a brew of its own.
    """

    serving: PlannedServing
    seat: int
    served: bool
    calling: bool
    void: bool
    instead: bool
    cups: tuple[SingleCup, ...] = ()

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes in the order of tasting; bowls side by side have theirs once."""
        return tuple(one.code for one in list_stands(self.serving))


@dataclass(frozen=True)
class Round:
    """One round as the pourer sees it; ``around`` are the codes of a shared table, in a ring."""

    bar: Bar
    token: str
    number: int
    pots: tuple[Pot, ...]
    trays: tuple[Tray, ...]
    around: tuple[str, ...] = ()
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def slots(self) -> tuple[PlannedSlot, ...]:
        """The slots that can be read; of single cups those drawn in excess fill none."""
        single = self.bar.layout.plan.single_cups
        return tuple(pot.slot for pot in self.pots if pot.cups or pot.held_back or not single)

    @property
    def open_bowl(self) -> OpenBowl | None:
        """What everybody tastes openly right before this round."""
        return find_bowl_before(self.bar.layout, self.number)

    @cached_property
    def gates(self) -> tuple[SlotGate, ...]:
        """How each brew of the round that was read stands before its gate."""
        return list_slot_gates(self.bar.layout, self.bar.record, self.bar.slots(self.number))

    @cached_property
    def held(self) -> frozenset[str]:
        """Brews that wait for a release."""
        return frozenset(gate.slot.name for gate in self.gates if gate.held)

    def suggest(self, round_no: int) -> str:
        """Return the reason that was given last in a round."""
        return suggest_reason(self.gates, round_no)

    @property
    def dose(self) -> Dose | None:
        """What is added to a part of the round's batch, in a rising series."""
        return find_dose(self.bar.layout, self.number)


def get_bar(bench: AtBench, token: str) -> Bar:
    """Return what a pourer's link opens."""
    bar = pouring.find_bar(bench, token)
    if bar is None:
        raise NotFound("There is no such link. Ask the leader for a new one.")
    return bar


AtBar = Annotated[Bar, Depends(get_bar)]


@router.get("/pour/{token}")
def pour(request: Request, bar: AtBar, token: str, round: int = 0) -> Response:
    """Show a round."""
    return show(request, "pourer/round", lay_out(bar, token, round))


@router.post("/pour/{token}/poured")
def poured(request: Request, bench: AtBench, bar: AtBar, token: str, form: Form) -> Response:
    """Tick that a pot's cups are poured."""
    slot, done = form.get("slot", ""), form.get("done") == "1"
    return _do(
        request, bench, token, form, lambda: pouring.tick_poured(bench, bar, slot, done=done)
    )


@router.post("/pour/{token}/served")
def served(request: Request, bench: AtBench, bar: AtBar, token: str, form: Form) -> Response:
    """Tick that a tray stands before its seat."""
    serving, done = _read_serving(form), form.get("done") == "1"
    return _do(
        request, bench, token, form, lambda: pouring.tick_served(bench, bar, serving, done=done)
    )


@router.post("/pour/{token}/settled")
def settled(request: Request, bench: AtBench, bar: AtBar, token: str, form: Form) -> Response:
    """Note that the cups of a calling seat are put right."""
    serving = _read_serving(form)
    return _do(request, bench, token, form, lambda: pouring.settle_call(bench, bar, serving))


@router.post("/pour/{token}/void")
def void(request: Request, bench: AtBench, bar: AtBar, token: str, form: Form) -> Response:
    """Void a serving that went wrong; its spare is poured instead."""
    serving, reason = _read_serving(form), form.get("reason", "").strip()

    def act() -> None:
        pouring.void_serving(bench, bar, serving, reason)

    return _do(request, bench, token, form, act)


@router.post("/pour/{token}/brews")
def brews(request: Request, bench: AtBench, bar: AtBar, token: str, form: Form) -> Response:
    """Note the readings of a pot."""

    def act() -> None:
        pouring.note_brew(bench, bar.tasting_id, bar.rounds, form)

    return _do(request, bench, token, form, act)


@router.post("/pour/{token}/release")
def release(request: Request, bench: AtBench, bar: AtBar, token: str, form: Form) -> Response:
    """Let a brew's cups go out."""

    def act() -> None:
        release_brew(bench, bar.tasting_id, bar.rounds, form)

    return _do(request, bench, token, form, act)


def lay_out(
    bar: Bar,
    token: str,
    number: int,
    form: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
) -> Round:
    """Return a round as the pourer sees it; the first one of theirs if it is not theirs."""
    number = number if number in bar.rounds else bar.rounds[0]
    pots = tuple(_fill(bar, slot) for slot in bar.slots(number))
    around, trays = list_ring_codes(bar.layout, number), _carry(bar, number)
    return Round(bar, token, number, pots, trays, around, form or {}, errors or {})


def _fill(bar: Bar, slot: PlannedSlot) -> Pot:
    cups = [
        (name_cup(cup), name_place(bar.layout, serving, cup), _is_needed(bar, serving))
        for serving in bar.servings(slot.round)
        for cup in serving.cups
        if bar.key[cup.id] == slot.name
    ]
    now = tuple(dict.fromkeys((code, where) for code, where, needed in cups if needed))
    later = dict.fromkeys((code, where) for code, where, needed in cups if not needed)
    held_back = tuple(one for one in later if one not in now)
    return Pot(slot, now, held_back, slot.name in bar.record.poured)


def _carry(bar: Bar, number: int) -> tuple[Tray, ...]:
    record = bar.record
    by_id = {one.id: one for one in bar.layout.servings}
    lent = set(record.replacements.values())
    trays = [
        Tray(
            one,
            by_id[find_planned(record, one.id)].seat,
            one.id in record.served,
            one.id in record.calls,
            one.id in record.voids,
            one.id in lent,
        )
        for one in bar.servings(number)
        if _is_needed(bar, one)
    ]
    trays.sort(key=lambda tray: (tray.seat, tray.instead))
    if not bar.layout.plan.single_cups:
        return tuple(trays)
    return tuple(
        replace(tray, cups=order_cups(bar.layout, bar.key, tray.serving, number + turn))
        for turn, tray in enumerate(trays)
    )


def _is_needed(bar: Bar, serving: PlannedServing) -> bool:
    spare = {seat.number for seat in bar.layout.seats if seat.spare} - bar.record.seats_taken
    return serving.seat not in spare or serving.id in bar.record.replacements.values()


def _read_serving(form: Mapping[str, str]) -> UUID:
    try:
        return UUID(form.get("serving", ""))
    except ValueError:
        raise NotFound("There is no such serving.") from None


def _read_round(form: Mapping[str, str]) -> int:
    typed = form.get("round", "")
    return int(typed) if re.fullmatch("[0-9]{1,3}", typed) else 0


def _do(
    request: Request,
    bench: AtBench,
    token: str,
    form: Mapping[str, str],
    act: Callable[[], None],
) -> Response:
    number, status = _read_round(form), 200
    errors: Mapping[str, str] = {}
    try:
        act()
    except NotFound:
        raise
    except Refusal as error:
        errors = error.messages if isinstance(error, Invalid) else {"refused": str(error)}
        status = error.status
    if errors or is_fragment_wanted(request):
        view = lay_out(get_bar(bench, token), token, number, form if errors else {}, errors)
        return show(request, "pourer/round", view, status)
    return go_to(request, f"/pour/{token}?round={number}")
