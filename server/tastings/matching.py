"""How well the brews noted so far match, in strength and temperature."""

from decimal import Decimal

from server.blinding.plans import Purpose
from server.blinding.record import BrewNote, Record
from server.blinding.sealed import Layout, PlannedSlot
from server.blinding.series_rules import BASE
from server.brewing.match import MatchTable, SlotReadings, match_brews
from server.brewing.match_steps import match_steps


def match_noted(layout: Layout, record: Record) -> MatchTable:
    """Compare the noted brews of the test's own rounds by the limits of the plan.

    Of a series each step is compared with the base of its own round.
    """
    if layout.plan.series is not None:
        return _match_series(layout, record)
    test = next(one for one in layout.comparisons if one.purpose == Purpose.TEST)
    rounds = {serving.round for serving in layout.servings if serving.comparison == test.name}
    plan = layout.plan
    return match_brews(
        [
            _read(slot, record.brews[slot.name])
            for slot in layout.slots
            if slot.round in rounds and slot.name in record.brews
        ],
        plan.tds_limit,
        plan.temperature_limit,
        plan.fill_limit,
        test.samples,
    )


def _match_series(layout: Layout, record: Record) -> MatchTable:
    plan, noted = layout.plan, [one for one in layout.slots if one.name in record.brews]
    return match_steps(
        [_read(slot, record.brews[slot.name]) for slot in noted],
        plan.tds_limit,
        plan.temperature_limit,
        plan.fill_limit,
        BASE,
    )


def _read(slot: PlannedSlot, note: BrewNote) -> SlotReadings:
    return SlotReadings(
        slot.name,
        slot.sample,
        slot.round,
        tuple(Decimal(one) for one in note.tds),
        _decimal(note.temperature_c),
        _decimal(note.fill_g),
    )


def _decimal(value: str | None) -> Decimal | None:
    return None if value is None else Decimal(value)
