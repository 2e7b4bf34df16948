"""The run card: clock times from kettle-on to the last sip, and who does what."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import time
from itertools import groupby
from math import ceil
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.blinding.plans import Pots, Pourer
from server.blinding.sealed import Layout
from server.brewing.cautions import HOT, HYGIENE, LOCAL_CODES
from server.brewing.schedule import Step, parse_start, plan_run
from server.methods.registry import get_method
from server.pages.deps import Led
from server.pages.leader.paper import Sheets
from server.pages.rendering import show
from server.tastings.dosing import Dose, list_doses
from server.tastings.pouring import order_slots
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound

router = APIRouter()

CAUTIONS = (HOT.text, HYGIENE.text, LOCAL_CODES)
POURER = {
    Pourer.TASTER: "brews and fills by the fill list, and tastes too: this run is not blind",
    Pourer.PRESENT: "brews and fills by the fill list, tastes nothing, stays out of sight and "
    "shows no feeling",
    Pourer.ABSENT: "brews and fills by the fill list, tastes nothing, and leaves the room before "
    "the first sniff",
    Pourer.RELAY: "brews and fills by the fill list, and stays out of the room",
}
SERVER = {
    Pourer.RELAY: "knows codes only: sets out by the tray list and never sees the fill list",
}


@dataclass(frozen=True)
class RunCard:
    """The run by rounds: ``duties`` says who does what, ``days`` where another day begins.

    ``doses`` says what is added in the rounds of a rising series.
    """

    id: UUID
    name: str
    rounds: tuple[tuple[int, tuple[Step, ...]], ...]
    duties: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...] = CAUTIONS
    days: Mapping[int, int] = field(default_factory=dict)
    doses: tuple[Dose, ...] = ()


@router.get("/tastings/{tasting_id}/paper/run")
def run_card(request: Request, led: Led, start: str = "") -> Response:
    """Show the run that begins at a clock time."""
    plan = led.layout.plan
    if plan.alone:
        raise NotFound("Whoever tastes alone has sheets of their own.")
    if plan.table is not None:
        raise NotFound("A scored table runs by its bowl clock.")
    try:
        begin = parse_start(start)
    except ValueError:
        errors = {"start": "Give a clock time such as 09:30."}
        return show(request, "paper/sheets", Sheets(led, {"start": start}, errors), 422)
    pots, a_day = list_pots(led.layout), ceil(plan.total_rounds / plan.days)
    days = {first: at for at, first in enumerate(range(1, len(pots) + 1, a_day), 1)}
    rounds = tuple(
        (first + number - 1, steps)
        for first in days
        for number, steps in _plan_day(begin, pots, slice(first - 1, first - 1 + a_day), led)
    )
    duties = _say_duties(plan.pourer, smell_only=plan.smell_only)
    shown = days if len(days) > 1 else {}
    doses = list_doses(led.layout)
    view = RunCard(led.tasting.id, led.tasting.name, rounds, duties, days=shown, doses=doses)
    return show(request, "paper/run_card", view)


def _plan_day(
    begin: time, pots: list[list[str]], day: slice, led: LedTasting
) -> Iterator[tuple[int, tuple[Step, ...]]]:
    """Plan the rounds of one day, each with its number on that day."""
    plan = led.layout.plan
    steps = plan_run(
        begin,
        pots[day],
        count_seats(led),
        cups_per_seat=get_method(plan.method).cups,
        blended=plan.pots == Pots.BLEND,
        single=plan.single_cups,
        opens=day.start == 0,
        closes=day.stop >= len(pots),
        pours=list_pours(led.layout)[day],
    )
    for number, group in groupby(steps, lambda step: step.round):
        yield number, tuple(group)


def count_seats(led: LedTasting) -> int:
    """Count the seats that are served at all: neither spare nor wholly struck off."""
    spare = {seat.number for seat in led.layout.seats if seat.spare}
    served = {one.seat for one in led.layout.servings if one.id not in led.record.struck}
    return max(len(served - spare), 1)


def list_pours(layout: Layout) -> list[list[str]]:
    """List what cups are filled from in every round, in the order of pouring."""
    every = range(1, layout.plan.total_rounds + 1)
    return [[slot.name for slot in order_slots(layout, number)] for number in every]


def list_pots(layout: Layout) -> list[list[str]]:
    """List the pots of every round in the order of brewing; it needs no key.

    Of a series only the base is brewed: what is added goes into a part of that batch.
    """
    every = (order_slots(layout, at) for at in range(1, layout.plan.total_rounds + 1))
    rounds = (slots[:1] if layout.plan.series else slots for slots in every)
    return [
        [
            slot.name if slot.brews == 1 else f"{slot.name}, brew {at} of {slot.brews}"
            for at in range(1, max(slot.brews for slot in slots) + 1)
            for slot in slots
            if at <= slot.brews
        ]
        for slots in rounds
    ]


def _say_duties(pourer: Pourer, *, smell_only: bool) -> tuple[tuple[str, str], ...]:
    tasters = "sniff" if smell_only else "sniff, taste"
    return (
        ("leader", "keeps the time, answers no question about the cups, closes at the end"),
        ("pourer", POURER[pourer]),
        ("server", SERVER.get(pourer, "sets out by the tray list, collects and washes up; may be "
                              "the pourer")),
        ("tasters", f"{tasters}, answer and lock; no talk until the tasting is closed"),
    )  # fmt: skip
