"""Let a brew's cups go out: matched, or with a reason."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from uuid import UUID

from server.blinding.events import Kind
from server.blinding.record import Record, Release
from server.blinding.sealed import Layout, PlannedSlot
from server.brewing.match import SlotReadings, Verdict
from server.reports import gate_words
from server.reports.gate import (
    Properties,
    find_gravest,
    is_held,
    is_of_test,
    match_slot,
    read_noted,
)
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.refusals import Invalid, NotFound, Refusal

LONGEST_REASON = 300


@dataclass(frozen=True)
class SlotGate:
    """A noted brew before its cups go out.

    Attributes
    ----------
    slot
    properties
        How it matches the other samples of its round.
    verdict
        What decides.
    release
        When it was let go last; None if it never was.
    held
        Whether it waits for a release, or a better brew.
    poured
        Whether its cups are ticked as poured.
    """

    slot: PlannedSlot
    properties: Properties
    verdict: Verdict
    release: Release | None
    held: bool
    poured: bool

    @property
    def lines(self) -> tuple[str, ...]:
        """Every property in plain words."""
        return tuple(gate_words.say_property(one) for one in self.properties)

    @property
    def needs_reason(self) -> bool:
        """Whether it goes out with a reason alone."""
        return self.verdict == Verdict.NOT_MATCHED


def find_slot_gate(
    layout: Layout,
    record: Record,
    slot: PlannedSlot,
    noted: Mapping[str, SlotReadings] | None = None,
) -> SlotGate | None:
    """Return how a brew stands before its gate; None if it is not read, or a control's."""
    found = match_slot(layout, record, slot, noted)
    if found is None:
        return None
    return SlotGate(
        slot,
        found,
        find_gravest(found),
        record.releases.get(slot.name),
        is_held(layout, record, slot, found),
        slot.name in record.poured,
    )


def list_slot_gates(
    layout: Layout, record: Record, slots: Iterable[PlannedSlot]
) -> tuple[SlotGate, ...]:
    """Return the gates of those slots that are read."""
    listed = tuple(slots)
    noted = read_noted(layout, record, {slot.round for slot in listed})
    gates = (find_slot_gate(layout, record, slot, noted) for slot in listed)
    return tuple(gate for gate in gates if gate is not None)


def suggest_reason(gates: Iterable[SlotGate], round_no: int) -> str:
    """Return the reason last given in a round: the other brew of a pair has the same."""
    given = [g.release for g in gates if g.slot.round == round_no and g.release]
    return max(given, key=lambda one: one.seq).reason if given else ""


def release_brew(
    bench: Bench, tasting_id: UUID, rounds: Collection[int], form: Mapping[str, str]
) -> None:
    """Note that a brew's cups may go out; the same once more changes nothing.

    Raises
    ------
    NotFound
        There is no such brew in these rounds.
    Refusal
        It is not read, or belongs to a control.
    Invalid
        It is not matched, and there is no reason.
    """
    with open_journal(bench, tasting_id, AT_THE_TABLE) as journal:
        tasting = queries.find_tasting(journal.db, tasting_id)
        assert tasting
        layout = queries.load_layout(journal.db, tasting)
        slot = _get_slot(layout, rounds, form.get("slot", ""))
        record = queries.load_record(journal.db, tasting_id)
        gate = find_slot_gate(layout, record, slot)
        if gate is None:
            raise Refusal(_say_nothing(layout, slot))
        reason = _read_reason(gate, form)
        found = {one.name: one.state.value for one in gate.properties}
        if not _is_same(gate, found, reason):
            journal.append(Kind.RELEASED, slot=slot.name, found=found, reason=reason)


def refuse_held(layout: Layout, record: Record, slot_name: str) -> None:
    """Refuse to pour a brew that is not matched, and was not released since that was read."""
    slot = next(one for one in layout.slots if one.name == slot_name)
    found = match_slot(layout, record, slot)
    if is_held(layout, record, slot, found):
        what = gate_words.say_apart(found or ())
        raise Refusal(gate_words.HELD.format(slot=slot.name, what=f"{what} not matched"))


def _get_slot(layout: Layout, rounds: Collection[int], name: str) -> PlannedSlot:
    mine = (one for one in layout.slots if one.round in rounds and one.name == name)
    found = next(mine, None)
    if found is None:
        raise NotFound("There is no such brew.")
    return found


def _say_nothing(layout: Layout, slot: PlannedSlot) -> str:
    of_test = is_of_test(layout, slot)
    return (gate_words.NOT_READ if of_test else gate_words.A_CONTROL).format(slot=slot.name)


def _read_reason(gate: SlotGate, form: Mapping[str, str]) -> str:
    if not gate.needs_reason:
        return ""
    reason = " ".join(form.get("release_reason", "").split())[:LONGEST_REASON]
    if not reason:
        raise Invalid(release_reason=gate_words.NEEDS_REASON)
    return reason


def _is_same(gate: SlotGate, found: Mapping[str, str], reason: str) -> bool:
    last = gate.release
    return last is not None and not gate.held and (last.found, last.reason) == (found, reason)
