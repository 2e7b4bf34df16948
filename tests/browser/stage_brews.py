"""Brews at every stage, put into the data of a running server."""

from dataclasses import dataclass
from uuid import UUID

from server.tastings import brew_sheets
from server.tastings.bench import Bench
from server.tastings.brew_clock import note_tap
from server.tastings.brew_keeping import keep_brew
from server.tastings.importing import get_leader_id
from server.tastings.planning import read_plan
from tests.brewing_bench import begin, make_recipe, seal_with_recipe
from tests.browser.stage import PLAN


@dataclass(frozen=True)
class Brews:
    """A brew not begun, one going on, one kept; a pourer's link to slots A1 and B1."""

    fresh: UUID
    running: UUID
    kept: UUID
    pourer: str


def brew_some(bench: Bench) -> Brews:
    """Begin some brews."""
    leader = get_leader_id(bench)
    shot = make_recipe(title="Barley, strong", single=True, shots=2)
    fresh, running = begin(bench, leader, recipe=shot), begin(bench, leader)
    tap(bench, running, "start", "1")
    kept = begin(bench, leader, recipe=make_recipe(title="Barley, coarser"))
    tap(bench, kept, "start", "1", "2", "3")
    keep_brew(bench, leader, kept)
    tasting_id, pourer = seal_with_recipe(bench, leader, read_plan(PLAN))
    slot = brew_sheets.begin_brew(bench, leader, tasting_id=tasting_id, slot="B1")
    tap(bench, slot, "start")
    return Brews(fresh, running, kept, pourer)


def tap(bench: Bench, brew_id: UUID, *taps: str) -> None:
    """Tap one after the other."""
    for one in taps:
        note_tap(bench, get_leader_id(bench), brew_id, {"tap": one})
