"""How well the brews noted so far match, in strength and temperature."""

from decimal import Decimal

from server.blinding.record import Record
from server.blinding.sealed import Layout
from server.brewing.match import MatchTable, SlotReadings, match_brews


def match_noted(layout: Layout, record: Record) -> MatchTable:
    """Compare the noted brews of a tasting by the limits of its plan."""
    noted = [
        SlotReadings(
            slot.name,
            slot.sample,
            slot.round,
            tuple(Decimal(one) for one in record.brews[slot.name].tds),
            _decimal(record.brews[slot.name].temperature_c),
        )
        for slot in layout.slots
        if slot.name in record.brews
    ]
    return match_brews(noted, layout.plan.tds_limit, layout.plan.temperature_limit)


def _decimal(value: str | None) -> Decimal | None:
    return None if value is None else Decimal(value)
