"""Taps on a brew's sheet: each notes a moment by the server's clock, once."""

import re
from collections.abc import Mapping
from datetime import timedelta
from uuid import UUID

from server.brewing import brew_times
from server.brewing.brewed import Brewed, read_brewed, write_brewed
from server.brewing.recipe import LONGEST_STEP_S, Recipe, read_recipe
from server.tastings.bench import Bench
from server.tastings.brew_sheets import changing
from server.tastings.refusals import NotFound, Refusal

NOT_BEGUN = "The brew has not begun: tap “Water on” first."
_AGO = re.compile(r"[0-9]{1,5}(?:\.[0-9]{1,3})?", re.ASCII)
_PLACE = re.compile(r"[0-9]{1,2}", re.ASCII)


def note_tap(bench: Bench, account_id: UUID, brew_id: UUID, form: Mapping[str, str]) -> None:
    """Note what was tapped; the same tap again changes nothing.

    Parameters
    ----------
    form
        ``tap``: ``start``, the place of a step, ``end``, ``shot`` or ``undo``. ``ago``:
        seconds since the tap, by the device that kept it while there was no network: the
        difference is right even if its clock is wrong. ``shots``: how many make up the brew.
        ``last``: what is to be taken back.

    Raises
    ------
    NotFound
        There is no such brew, or no such step.
    Refusal
        The brew has not begun, or is kept.
    """
    moment = bench.clock() - timedelta(seconds=_read_ago(form.get("ago", "")))
    with changing(bench, account_id, brew_id) as (_, row):
        recipe, brewed = read_recipe(row.recipe), read_brewed(row.body)
        tap = form.get("tap") or (brew_times.SHOT if "shots" in form else "")
        if tap == brew_times.START:
            noted = brew_times.note_start(recipe, brewed, moment)
        elif tap == brew_times.SHOT:
            noted = brew_times.count_shots(brewed, _read_place(form.get("shots", "")))
        elif tap == "undo":
            noted = brew_times.undo_last(brewed, form.get("last", ""))
        elif brewed.started is None:
            raise Refusal(NOT_BEGUN)
        else:
            noted = _note(recipe, brewed, tap, brew_times.measure_since(brewed, moment))
        row.body = write_brewed(noted)


def _note(recipe: Recipe, brewed: Brewed, tap: str, at_s: int) -> Brewed:
    if tap == brew_times.END:
        return brew_times.note_end(brewed, at_s)
    place = _read_place(tap)
    if place >= len(recipe.steps):
        raise NotFound("There is no such step.")
    return brew_times.note_step(recipe, brewed, place, at_s)


def _read_place(text: str) -> int:
    if not _PLACE.fullmatch(text):
        raise NotFound("There is no such step.")
    return int(text)


def _read_ago(text: str) -> float:
    seconds = float(text) if _AGO.fullmatch(text) else 0.0
    return min(seconds, LONGEST_STEP_S)
