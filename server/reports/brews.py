"""The brews behind the counted cups: how many, what was read, and how well they match."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from server.blinding.record import Record
from server.blinding.sealed import PlannedServing, PlannedSlot, SealedTasting
from server.brewing.match import (
    MatchTable,
    SlotReadings,
    Verdict,
    match_brews,
    parse_tds,
    parse_temperature,
)
from server.reports.counting import Judgement


@dataclass(frozen=True)
class SampleBrews:
    """The brews of one sample.

    Attributes
    ----------
    level, label
        Of the sample.
    slots_planned, slots_served
        Pours drawn, and those behind counted answers.
    brews_served
        Brews in those pours; more than the pours if they were blends.
    recorded, with_strength, with_temperature
        Served pours with any record, with a strength reading, with a temperature.
    """

    level: str
    label: str
    slots_planned: int
    slots_served: int
    brews_served: int
    recorded: int
    with_strength: int
    with_temperature: int


@dataclass(frozen=True)
class PropertyState:
    """How far one property of the samples matched; difference and limit in `unit`."""

    name: str
    unit: str
    state: Verdict
    worst: Decimal | None
    limit: Decimal


def find_served_slots(
    sealed: SealedTasting, judgements: Sequence[Judgement]
) -> tuple[PlannedSlot, ...]:
    """List the slots that filled a cup of a counted serving, in sealed order."""
    names = {
        name for serving in _find_servings(sealed, judgements) for name in _slots(sealed, serving)
    }
    return tuple(slot for slot in sealed.slots if slot.name in names)


def count_brews(
    sealed: SealedTasting, record: Record, judgements: Sequence[Judgement]
) -> tuple[SampleBrews, ...]:
    """Count planned, served and recorded brews of every sample."""
    served = find_served_slots(sealed, judgements)
    return tuple(
        _count_sample(
            sample.level,
            sample.label,
            sum(slot.sample == sample.level for slot in sealed.slots),
            [slot for slot in served if slot.sample == sample.level],
            record,
        )
        for sample in sealed.samples
    )


def _count_sample(
    level: str, label: str, planned: int, served: Sequence[PlannedSlot], record: Record
) -> SampleBrews:
    notes = [record.brews[slot.name] for slot in served if slot.name in record.brews]
    return SampleBrews(
        level=level,
        label=label,
        slots_planned=planned,
        slots_served=len(served),
        brews_served=sum(slot.brews for slot in served),
        recorded=len(notes),
        with_strength=sum(bool(note.tds) for note in notes),
        with_temperature=sum(note.temperature_c is not None for note in notes),
    )


def match_served(
    sealed: SealedTasting, record: Record, judgements: Sequence[Judgement]
) -> MatchTable:
    """Match the brews behind counted answers; a slot without a record has no readings."""
    plan, levels = sealed.plan, [sample.level for sample in sealed.samples]
    return match_brews(
        [_find_readings(slot, record) for slot in find_served_slots(sealed, judgements)],
        plan.tds_limit,
        plan.temperature_limit,
        (levels[0], levels[-1]),
    )


def _find_readings(slot: PlannedSlot, record: Record) -> SlotReadings:
    note = record.brews.get(slot.name)
    if note is None:
        return SlotReadings(slot.name, slot.sample, slot.round)
    return SlotReadings(
        slot.name,
        slot.sample,
        slot.round,
        parse_tds(" ".join(note.tds)),
        parse_temperature(note.temperature_c or ""),
    )


def find_properties(match: MatchTable) -> tuple[PropertyState, ...]:
    """Sum up the match, one property after the other."""
    return tuple(
        PropertyState(name, unit, one.verdict, one.worst, one.limit)
        for name, unit, one in (
            ("strength", "%TDS", match.tds),
            ("temperature", "°C", match.temperature),
        )
    )


def find_shared_pots(sealed: SealedTasting, judgements: Sequence[Judgement]) -> int:
    """Count servings whose like cups came from one pot that was no blend of brews."""
    single = {slot.name for slot in sealed.slots if slot.brews < 2}
    return sum(
        any(slots.count(name) > 1 and name in single for name in slots)
        for slots in (_slots(sealed, one) for one in _find_servings(sealed, judgements))
    )


def _find_servings(sealed: SealedTasting, judgements: Sequence[Judgement]) -> list[PlannedServing]:
    counted = {judgement.serving for judgement in judgements}
    return [serving for serving in sealed.servings if serving.id in counted]


def _slots(sealed: SealedTasting, serving: PlannedServing) -> list[str]:
    return [sealed.key[cup.id] for cup in serving.cups]
