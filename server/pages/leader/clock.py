"""The bowl clock, for the leader and for whoever pours: the same page behind two doors."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Depends, Request, Response

from server.blinding.sealed import Layout
from server.blinding.table_stands import list_scored
from server.pages.deps import AtBench, Form, Led
from server.pages.pourer import AtBar
from server.pages.rendering import go_to, is_fragment_wanted, show
from server.tastings import clocking
from server.tastings.bench import Bench
from server.tastings.clocking import ClockFace
from server.tastings.journal import AT_THE_TABLE
from server.tastings.refusals import Invalid, NotFound

router = APIRouter()


@dataclass(frozen=True)
class Clock:
    """A clock behind a door: ``base`` is its address, ``back`` where it was opened from."""

    base: str
    back: str
    name: str
    open: bool
    face: ClockFace
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def address(self) -> str:
        """The sitting at its pace."""
        pace = self.face.pace
        return f"{self.base}?sitting={self.face.sitting}&gap={pace.gap}&wait={pace.wait}"


@dataclass(frozen=True)
class Door:
    """Where a clock is opened from, and whose bowls it tells of."""

    tasting_id: UUID
    base: str
    back: str
    name: str
    state: str
    layout: Layout
    rounds: tuple[int, ...]


def find_leaders_door(led: Led) -> Door:
    """Return the leader's way to the clock."""
    home = f"/tastings/{led.tasting.id}"
    rounds = tuple(range(1, led.layout.plan.total_rounds + 1))
    return Door(
        led.tasting.id, f"{home}/clock", home, led.tasting.name, led.state, led.layout, rounds
    )


def find_pourers_door(bar: AtBar, token: str) -> Door:
    """Return the way to the clock of whoever pours."""
    home = f"/pour/{token}"
    return Door(bar.tasting_id, f"{home}/clock", home, bar.name, bar.state, bar.layout, bar.rounds)


LeadersDoor = Annotated[Door, Depends(find_leaders_door)]
PourersDoor = Annotated[Door, Depends(find_pourers_door)]


@router.get("/tastings/{tasting_id}/clock")
def leader_clock(request: Request, bench: AtBench, door: LeadersDoor) -> Response:
    """Show the clock to the leader."""
    return _show(request, bench, door, request.query_params)


@router.post("/tastings/{tasting_id}/clock")
def leader_step(request: Request, bench: AtBench, door: LeadersDoor, form: Form) -> Response:
    """Record a step or a reading from the leader's clock."""
    return _act(request, bench, door, form)


@router.get("/pour/{token}/clock")
def pourer_clock(request: Request, bench: AtBench, door: PourersDoor) -> Response:
    """Show the clock to whoever pours."""
    return _show(request, bench, door, request.query_params)


@router.post("/pour/{token}/clock")
def pourer_step(request: Request, bench: AtBench, door: PourersDoor, form: Form) -> Response:
    """Record a step or a reading from the pourer's clock."""
    return _act(request, bench, door, form)


def _act(request: Request, bench: Bench, door: Door, form: Mapping[str, str]) -> Response:
    sitting = _read_sitting(door, form)
    try:
        if "celsius" in form:
            clocking.record_reading(bench, door.tasting_id, sitting, form["celsius"])
        else:
            clocking.record_step(bench, door.tasting_id, sitting, form)
    except Invalid as error:
        return _show(request, bench, door, form, error.messages)
    if is_fragment_wanted(request):
        return _show(request, bench, door, form)
    return go_to(request, _lay_out(bench, door, form).address)


def _show(
    request: Request,
    bench: Bench,
    door: Door,
    form: Mapping[str, str],
    errors: Mapping[str, str] | None = None,
) -> Response:
    view = _lay_out(bench, door, form, errors)
    if not errors and form.get("v") == str(view.face.count):
        return Response(status_code=204)
    return show(request, "clock/clock", view, 422 if errors else 200)


def _lay_out(
    bench: Bench, door: Door, form: Mapping[str, str], errors: Mapping[str, str] | None = None
) -> Clock:
    sitting, pace = _read_sitting(door, form), clocking.read_pace(form)
    face = clocking.read_clock(bench, door.tasting_id, door.layout, sitting, pace)
    is_open = door.state in AT_THE_TABLE
    return Clock(
        door.base, door.back, door.name, is_open, face, form if errors else {}, errors or {}
    )


def _read_sitting(door: Door, form: Mapping[str, str]) -> int:
    typed = form.get("sitting", "") or "1"
    if door.layout.plan.table is None:
        raise NotFound("Only a scored table has a bowl clock.")
    mine = {one.sitting for one in list_scored(door.layout) if one.round in door.rounds}
    if not re.fullmatch("[0-9]{1,2}", typed) or int(typed) not in mine:
        raise NotFound("There is no such sitting.")
    return int(typed)
