"""What the record says of both gates: sealed unmatched, released unmatched, or two of one."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from server.blinding.events import Event
from server.blinding.plans import Plan
from server.blinding.record import Record, fold
from server.blinding.sealed import SealedTasting
from server.brewing.match import Verdict
from server.reports.brews import (
    Counted,
    PropertyState,
    find_compared,
    find_served_slots,
)
from server.reports.gate import Properties, find_gravest, match_slot
from server.reports.one_brew import list_shared_brews
from server.reports.trials import TrialMatch, is_one_recipe, match_trials


@dataclass(frozen=True)
class Override:
    """A brew behind counted answers that was let go although it was not matched.

    Attributes
    ----------
    slot, label
        The brew, and the leader's label of its sample.
    properties
        How it matched when it was released.
    reason
        Why it was.
    now
        How it matches by its last readings.
    """

    slot: str
    label: str
    properties: Properties
    reason: str
    now: Properties

    @property
    def mended(self) -> bool:
        """Whether a later reading says that it was matched."""
        return find_gravest(self.now) != Verdict.NOT_MATCHED


@dataclass(frozen=True)
class GateRecord:
    """Both gates of a tasting.

    Attributes
    ----------
    known
        Whether the plan knows of a bench, or judges what only a bench can tell; older plans
        do not.
    tried
        Whether trial brews are expected: not before a series.
    trials
        How the trial brews matched.
    reason
        Why it was sealed although they did not.
    one_recipe
        Whether nothing differs between the samples by what the bench says.
    overrides
        In the order of release.
    shared
        Slots of two samples that were filled from one brew.
    """

    known: bool
    tried: bool
    trials: TrialMatch
    reason: str
    one_recipe: bool
    overrides: tuple[Override, ...]
    shared: tuple[tuple[str, ...], ...] = ()


def describe_gate(
    sealed: SealedTasting, events: Sequence[Event], record: Record, judgements: Sequence[Counted]
) -> GateRecord:
    """Collect what both gates left on record; releases of brews that count for nothing do not."""
    plan, bench = sealed.plan, sealed.plan.bench
    levels = tuple(sample.level for sample in find_compared(sealed))
    return GateRecord(
        known=_knows_bench(plan),
        tried=plan.series is None,
        trials=match_trials(plan, levels, bench.trials if bench else ()),
        reason=bench.unmatched_reason if bench else "",
        one_recipe=is_one_recipe(plan, levels),
        overrides=_find_overrides(sealed, events, record, judgements),
        shared=tuple(tuple(sorted(pair)) for pair in list_shared_brews(sealed, record)),
    )


def _knows_bench(plan: Plan) -> bool:
    return plan.bench is not None or (plan.extraction_limit, plan.age_limit) != (None, None)


def _find_overrides(
    sealed: SealedTasting, events: Sequence[Event], record: Record, judgements: Sequence[Counted]
) -> tuple[Override, ...]:
    served = {slot.name: slot for slot in find_served_slots(sealed, judgements)}
    labels = {sample.level: sample.label for sample in sealed.samples}
    given = [one for one in record.releases.values() if one.reason and one.slot in served]
    found = []
    for release in sorted(given, key=lambda one: one.seq):
        slot = served[release.slot]
        then = fold([event for event in events if event.seq <= release.seq])
        found.append(
            Override(
                slot.name,
                labels[slot.sample],
                match_slot(sealed, then, slot) or (),
                release.reason,
                match_slot(sealed, record, slot) or (),
            )
        )
    return tuple(found)


def weigh_overrides(properties: Properties, gate: GateRecord) -> Properties:
    """Return the match with what was released although it was not matched.

    A single brew that lies apart is not averaged away by the others of its sample.
    """
    return tuple(_weigh(one, gate.overrides) for one in properties)


def _weigh(one: PropertyState, overrides: Sequence[Override]) -> PropertyState:
    apart = [
        found
        for override in overrides
        for found in override.now
        if found.name == one.name and found.state == Verdict.NOT_MATCHED
    ]
    if not apart:
        return one
    worst = max((one, *apart), key=lambda found: found.worst or 0)
    return replace(one, state=Verdict.NOT_MATCHED, worst=worst.worst, pair=worst.pair)
