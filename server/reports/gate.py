"""The match gate: how a brew compares with the others of its round, and whether it may go out."""

from collections.abc import Collection, Mapping, Sequence

from server.blinding.plans import Plan, Purpose
from server.blinding.record import Record
from server.blinding.sealed import Layout, PlannedSlot
from server.brewing.match import MatchTable, SlotReadings, Verdict, match_brews
from server.reports.brew_readings import find_readings
from server.reports.brews import PropertyState, find_judged

Properties = tuple[PropertyState, ...]

GRAVITY = (Verdict.NOT_MATCHED, Verdict.BORDERLINE, Verdict.NOT_MEASURED, Verdict.MATCHED)
"""From the gravest to the mildest."""


def find_gravest(properties: Properties) -> Verdict:
    """Return the verdict that decides; what is not needed may be unread.

    Examples
    --------
    >>> find_gravest(())
    <Verdict.MATCHED: 'matched'>
    """
    weighty = {one.state for one in properties if one.needed or one.state != Verdict.NOT_MEASURED}
    return next((one for one in GRAVITY if one in weighty), Verdict.MATCHED)


def judge_strength(plan: Plan) -> bool:
    """Tell whether the samples should be of one strength; water has none, nor what is added to."""
    return not (plan.series or plan.dilution_percent is not None or plan.contrast == "soak")


def match_all(plan: Plan, brews: Sequence[SlotReadings], samples: Sequence[str]) -> MatchTable:
    """Match brews by the limits of a plan."""
    return match_brews(
        brews,
        plan.tds_limit,
        plan.temperature_limit,
        plan.fill_limit,
        samples,
        extraction_limit=None if plan.series else plan.extraction_limit,
        age_limit=plan.round_age_limit,
    )


def list_judged(plan: Plan, match: MatchTable) -> Properties:
    """List the properties in which the samples of a plan should match."""
    strength = judge_strength(plan)
    return tuple(one for one in find_judged(plan, match) if strength or one.name != "strength")


def read_noted(layout: Layout, record: Record, rounds: Collection[int]) -> dict[str, SlotReadings]:
    """Return what was read of every noted brew of some rounds, by slot."""
    noted = (one for one in layout.slots if one.round in rounds and one.name in record.brews)
    return {one.name: find_readings(one, record, layout.plan) for one in noted}


def match_slot(
    layout: Layout,
    record: Record,
    slot: PlannedSlot,
    noted: Mapping[str, SlotReadings] | None = None,
) -> Properties | None:
    """Match a slot's brew with the noted brews of the other samples of its round.

    Parameters
    ----------
    layout : Layout
    record : Record
    slot : PlannedSlot
    noted : mapping of str to SlotReadings, optional
        From `read_noted`, of its round at least, where many slots are matched at once.

    Returns
    -------
    tuple of PropertyState or None
        Each property as it matched worst with any of the other samples; ``not measured`` while
        nothing else of the round is read. None if the slot is not read, or belongs to a
        control: what its brews differ in is what a control is for.
    """
    if slot.name not in record.brews or not is_of_test(layout, slot):
        return None
    noted = read_noted(layout, record, {slot.round}) if noted is None else noted
    mine = noted[slot.name]
    beside = [
        list_judged(layout.plan, match_all(layout.plan, [mine, *theirs], (slot.sample, level)))
        for level, theirs in _group_beside(layout, noted, slot).items()
    ]
    return tuple(min(found, key=_weigh) for found in zip(*beside, strict=True))


def is_of_test(layout: Layout, slot: PlannedSlot) -> bool:
    """Tell whether a slot is brewed for the test itself, not for a control."""
    tests = {one.name for one in layout.comparisons if one.purpose == Purpose.TEST}
    return slot.round in {one.round for one in layout.servings if one.comparison in tests}


def list_beside(layout: Layout, slot: PlannedSlot) -> tuple[PlannedSlot, ...]:
    """List the slots of the other samples in a slot's round."""
    together = (one for one in layout.slots if one.round == slot.round)
    return tuple(one for one in together if one.sample != slot.sample)


def _group_beside(
    layout: Layout, noted: Mapping[str, SlotReadings], slot: PlannedSlot
) -> dict[str, list[SlotReadings]]:
    """Group what was read of the other samples of a round by level; no list is of no brew."""
    beside = list_beside(layout, slot)
    read: dict[str, list[SlotReadings]] = {one.sample: [] for one in beside}
    for one in beside:
        if one.name in noted:
            read[one.sample].append(noted[one.name])
    return {level: theirs for level, theirs in read.items() if theirs} or read


def _weigh(one: PropertyState) -> tuple[int, float]:
    return GRAVITY.index(one.state), -float(one.worst or 0)


def is_held(layout: Layout, record: Record, slot: PlannedSlot, found: Properties | None) -> bool:
    """Tell whether a brew waits: it is not matched, and nobody released it since that was read.

    ``found`` is from `match_slot`. A brew that is not read may go out; it counts as not read.
    """
    if found is None or find_gravest(found) != Verdict.NOT_MATCHED:
        return False
    release = record.releases.get(slot.name)
    compared = (record.brews.get(one.name) for one in (slot, *list_beside(layout, slot)))
    return release is None or any(note is not None and note.seq > release.seq for note in compared)
