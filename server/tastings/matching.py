"""How well the brews noted so far match, in strength and temperature."""

from decimal import Decimal

from server.blinding.record import BrewNote, Record
from server.blinding.sealed import Layout, PlannedSlot, Purpose
from server.brewing.match import MatchTable, SlotReadings, match_brews


def match_noted(layout: Layout, record: Record) -> MatchTable:
    """Compare the noted brews of the test's own rounds by the limits of the plan."""
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
