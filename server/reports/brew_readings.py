"""What a note in the record says of a slot's brew, as far as samples are matched by it."""

import re
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import NamedTuple

from pydantic import ValidationError

from server.blinding.plans import Plan
from server.blinding.record import Record
from server.blinding.sealed import PlannedSlot
from server.brewing.brewed import Brewed
from server.brewing.match import DAY_CLOCK, SlotReadings
from server.brewing.quick_readings import parse_fill, parse_tds, parse_temperature
from server.brewing.recipe import Recipe, read_recipe
from server.brewing.yields import BrewYield, find_yield
from server.reports.brewed_notes import read_note

OUR_CLOCK = "server"
"""Clock of times that were taken when a brew began, not typed afterwards."""

DIGITS = Decimal("0.001")
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
TIME = re.compile(r"([01]\d|2[0-3]):([0-5]\d)", re.ASCII)


class Yield(NamedTuple):
    """An extraction yield in percent, by which formula, and within what it is right."""

    percent: Decimal
    form: str
    plus_minus: Decimal


def find_readings(slot: PlannedSlot, record: Record, plan: Plan) -> SlotReadings:
    """Return what was read of a slot's brew; nothing of a slot without a record."""
    note = record.brews.get(slot.name)
    if note is None:
        return SlotReadings(slot.name, slot.sample, slot.round)
    brewed = read_note(note)
    extracted = find_yield_of(find_recipe(plan, slot.sample), brewed)
    ended, clock = find_end(brewed, note.time or "")
    return SlotReadings(
        slot.name,
        slot.sample,
        slot.round,
        parse_tds(" ".join(note.tds)),
        parse_temperature(note.temperature_c or ""),
        parse_fill(note.fill_g or ""),
        extracted.percent if extracted else None,
        extracted.form if extracted else "",
        ended,
        clock,
        extracted.plus_minus if extracted else None,
    )


def find_recipe(plan: Plan, level: str) -> Recipe | None:
    """Return the recipe that a plan holds for a sample; None if there is none to be read."""
    body = plan.bench.recipes.get(level) if plan.bench else None
    try:
        return read_recipe(body) if body else None
    except ValidationError:
        return None


def find_yield_of(recipe: Recipe | None, brewed: Brewed) -> Yield | None:
    """Return the yield of a brew from what was weighed and read of it, never from what was planned.

    None where no recipe says how it was brewed, or a number is missing or cannot be.
    """
    found = find_yield(recipe.device.how, brewed) if recipe else BrewYield()
    if found.percent is None or found.form is None:
        return None
    numbers = (Decimal(one).quantize(DIGITS) for one in (found.percent, found.plus_minus))
    percent, plus_minus = numbers
    return Yield(percent, found.form.value, plus_minus)


def find_end(brewed: Brewed, typed: str = "") -> tuple[Decimal | None, str]:
    """Return when a brew ended, in minutes, and by which clock; nothing if nobody noted it.

    Examples
    --------
    >>> find_end(Brewed(started="2026-03-31T09:00:30+00:00", ended_s=210))[0] % 60
    Decimal('4')
    >>> find_end(Brewed(), "09:05")
    (Decimal('545'), 'time of day')
    """
    if brewed.started is not None and brewed.ended_s is not None:
        began = (datetime.fromisoformat(brewed.started) - EPOCH) // timedelta(seconds=1)
        return Decimal(began + brewed.ended_s) / 60, OUR_CLOCK
    told = TIME.fullmatch(typed.strip())
    return (Decimal(60 * int(told[1]) + int(told[2])), DAY_CLOCK) if told else (None, "")
