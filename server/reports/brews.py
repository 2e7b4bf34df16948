"""The brews behind the counted cups of the test: how many, what was read, how they match."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol
from uuid import UUID

from server.blinding.plans import Plan, Purpose
from server.blinding.record import Record
from server.blinding.sealed import PlannedSample, PlannedServing, PlannedSlot, SealedTasting
from server.brewing.match import MatchTable, Verdict, match_brews
from server.reports.brew_readings import find_readings


class Counted(Protocol):
    """An answer that counts, of one serving."""

    @property
    def serving(self) -> UUID:
        """Its id."""
        ...


@dataclass(frozen=True)
class SampleBrews:
    """The brews of one sample.

    Attributes
    ----------
    level, label
        Of the sample.
    slots_planned, slots_served
        Pours drawn for the test, and those behind its counted answers.
    brews_served
        Brews in those pours; more than the pours if they were blends.
    recorded, with_strength, with_temperature, with_fill
        Served pours with any record, with a strength reading, with a temperature,
        with the fill of a check cup.
    """

    level: str
    label: str
    slots_planned: int
    slots_served: int
    brews_served: int
    recorded: int
    with_strength: int
    with_temperature: int
    with_fill: int


@dataclass(frozen=True)
class PropertyState:
    """How far one property of the samples matched; difference and limit in `unit`.

    `pair` are the levels of the two samples that differ most, None if none can be compared.
    A missing reading of a `needed` property leaves it a rival cause. Strength and heat
    are needed; fill, mainly a cue and a difference in cooling, is not, nor are extraction and
    the time since brewing (common practice, no source). `mixed`: it was read in two ways that
    do not compare.
    """

    name: str
    unit: str
    needed: bool
    state: Verdict
    worst: Decimal | None
    limit: Decimal
    pair: tuple[str, str] | None
    mixed: bool = False

    @property
    def is_rival(self) -> bool:
        """Whether the property may be why the samples were told apart."""
        if self.state == Verdict.NOT_MEASURED:
            return self.needed
        return self.state != Verdict.MATCHED


def find_compared(sealed: SealedTasting) -> tuple[PlannedSample, ...]:
    """List the samples that the test itself compares."""
    test = next(one for one in sealed.comparisons if one.purpose == Purpose.TEST)
    return tuple(sample for sample in sealed.samples if sample.level in test.samples)


def find_served_slots(
    sealed: SealedTasting, judgements: Sequence[Counted]
) -> tuple[PlannedSlot, ...]:
    """List the slots that filled a cup of a counted serving, in sealed order."""
    names = {
        name
        for serving in _find_servings(sealed, judgements)
        for name in sealed.list_brews(serving)
    }
    return tuple(slot for slot in sealed.slots if slot.name in names)


def count_brews(
    sealed: SealedTasting, record: Record, judgements: Sequence[Counted]
) -> tuple[SampleBrews, ...]:
    """Count planned, served and recorded brews of every sample of the test."""
    rounds = {one.round for one in sealed.servings if sealed.purpose(one) == Purpose.TEST}
    drawn = [slot for slot in sealed.slots if slot.round in rounds]
    served = find_served_slots(sealed, judgements)
    return tuple(
        _count_sample(
            sample.level,
            sample.label,
            sum(slot.sample == sample.level for slot in drawn),
            [slot for slot in served if slot.sample == sample.level],
            record,
        )
        for sample in find_compared(sealed)
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
        with_fill=sum(note.fill_g is not None for note in notes),
    )


def match_served(
    sealed: SealedTasting, record: Record, judgements: Sequence[Counted]
) -> MatchTable:
    """Match the brews behind counted answers; a slot without a record has no readings."""
    plan = sealed.plan
    return match_brews(
        [find_readings(slot, record, plan) for slot in find_served_slots(sealed, judgements)],
        plan.tds_limit,
        plan.temperature_limit,
        plan.fill_limit,
        [sample.level for sample in find_compared(sealed)],
        extraction_limit=plan.extraction_limit,
        age_limit=plan.round_age_limit,
        sampled=plan.single_cups,
    )


def find_properties(match: MatchTable) -> tuple[PropertyState, ...]:
    """Sum up the match, one property after the other; what has no limit is left out."""
    found = (
        ("strength", "%TDS", True, match.tds),
        ("temperature", "°C", True, match.temperature),
        ("fill", "g", False, match.fill),
        ("extraction", "points", False, match.extraction),
        ("time since brewing", "min", False, match.age),
    )
    return tuple(
        PropertyState(
            name, unit, needed, one.verdict, one.worst, one.limit, one.pair, mixed=one.mixed
        )
        for name, unit, needed, one in found
        if one is not None
    )


def find_judged(plan: Plan, match: MatchTable) -> tuple[PropertyState, ...]:
    """Sum up the match in what the samples of a plan can differ by: plain water has no strength."""
    water = plan.contrast == "soak"
    found = find_properties(match)
    return tuple(one for one in found if not water or one.name not in ("strength", "extraction"))


def find_shared_pots(sealed: SealedTasting, judgements: Sequence[Counted]) -> int:
    """Count servings whose like cups came from one pot that was no blend of brews."""
    single = {slot.name for slot in sealed.slots if slot.brews < 2}
    return sum(
        any(slots.count(name) > 1 and name in single for name in slots)
        for slots in (sealed.list_brews(one) for one in _find_servings(sealed, judgements))
    )


def _find_servings(sealed: SealedTasting, judgements: Sequence[Counted]) -> list[PlannedServing]:
    counted = {judgement.serving for judgement in judgements}
    return [serving for serving in sealed.servings if serving.id in counted]
