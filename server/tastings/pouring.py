"""The pourer's work: what goes where, ticks, readings, calls, spare servings."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from itertools import zip_longest
from uuid import UUID

from server.blinding.events import Kind, State
from server.blinding.record import Record
from server.blinding.sealed import Layout, PlannedServing, PlannedSlot
from server.reports.brewed_notes import read_note
from server.storage import queries
from server.storage.key import read_key
from server.tastings.bench import Bench
from server.tastings.brew_keeping import write_event
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.pieces_used import list_slot_parts
from server.tastings.quick_notes import check_quick, put_part, read_quick
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.releasing import refuse_held
from server.tastings.shared_brews import put_shared


@dataclass(frozen=True)
class Bar:
    """What a pourer's link opens: the layout, the key of its rounds, no answer."""

    tasting_id: UUID
    name: str
    state: str
    layout: Layout
    rounds: tuple[int, ...]
    key: Mapping[UUID, str]
    record: Record

    def slots(self, round_no: int) -> list[PlannedSlot]:
        """List the slots brewed in a round in the order of pouring."""
        return order_slots(self.layout, round_no)

    def servings(self, round_no: int) -> list[PlannedServing]:
        """List the servings of a round by seat, without those struck off."""
        mine = (
            one
            for one in self.layout.servings
            if one.round == round_no and one.id not in self.record.struck
        )
        return sorted(mine, key=lambda one: one.seat)


def order_slots(layout: Layout, round_no: int) -> list[PlannedSlot]:
    """List the slots brewed in a round in the order of pouring.

    The samples take turns within a round, and the other one begins in the next,
    so that neither is always the older. Of a series the base comes first: what is added
    is added to a part of it.
    """
    mine = [slot for slot in layout.slots if slot.round == round_no]
    turns = layout.plan.series is None
    levels = sorted({slot.sample for slot in mine}, reverse=turns and round_no % 2 == 0)
    queues = [[slot for slot in mine if slot.sample == level] for level in levels]
    return [slot for turn in zip_longest(*queues) for slot in turn if slot is not None]


def find_bar(bench: Bench, token: str) -> Bar | None:
    """Return what a pourer's link opens; the record is stripped of every answer."""
    with bench.reading() as db:
        found = queries.find_pourer_link(db, token)
        if found is None:
            return None
        link, tasting = found
        layout = queries.load_layout(db, tasting)
        rounds = tuple(link.rounds or range(1, layout.plan.total_rounds + 1))
        record = queries.load_record(db, tasting.id)
        record.answers, record.contests, record.late = {}, {}, []
        key = read_key(db, tasting.id, rounds)
        return Bar(tasting.id, tasting.name, tasting.state, layout, rounds, key, record)


def tick_poured(bench: Bench, bar: Bar, slot: str, *, done: bool) -> None:
    """Tick, or untick, that a slot's cups are poured; one that waits at the gate is refused."""
    if slot not in {one.name for number in bar.rounds for one in bar.slots(number)}:
        raise NotFound("There is no such brew.")
    with open_journal(bench, bar.tasting_id, AT_THE_TABLE) as journal:
        record = queries.load_record(journal.db, bar.tasting_id)
        if (slot in record.poured) != done:
            if done:
                refuse_held(bar.layout, record, slot)
            journal.begin_serving()
            journal.append(Kind.POURED, slot=slot, done=done)


def tick_served(bench: Bench, bar: Bar, serving_id: UUID, *, done: bool) -> None:
    """Tick, or untick, that a serving stands before its seat."""
    _get_serving(bar, serving_id)
    with open_journal(bench, bar.tasting_id, AT_THE_TABLE) as journal:
        record = queries.load_record(journal.db, bar.tasting_id)
        if (serving_id in record.served) != done:
            journal.begin_serving()
            journal.append(Kind.SERVED, serving=str(serving_id), done=done)


def settle_call(bench: Bench, bar: Bar, serving_id: UUID) -> None:
    """Note that the cups of a calling seat are now those on its screen."""
    _get_serving(bar, serving_id)
    with open_journal(bench, bar.tasting_id, AT_THE_TABLE) as journal:
        if serving_id in queries.load_record(journal.db, bar.tasting_id).calls:
            journal.append(Kind.CALL_SETTLED, serving=str(serving_id))


def void_serving(bench: Bench, bar: Bar, serving_id: UUID, reason: str) -> UUID | None:
    """Void an unanswered serving; return the spare serving to pour instead, if one is left.

    Raises
    ------
    Refusal
        The seat has answered it: only the leader may void it then.
    """
    serving = _get_serving(bar, serving_id)
    if not reason:
        raise Invalid(reason="Say what happened, in a few words.")
    with open_journal(bench, bar.tasting_id, AT_THE_TABLE) as journal:
        record = queries.load_record(journal.db, bar.tasting_id)
        if serving_id in record.voids:
            return record.voids[serving_id].replacement
        if serving_id in record.answers:
            raise Refusal("This serving was answered already; tell the leader.")
        spare = _find_spare(bar.layout, record, serving)
        journal.begin_serving()
        journal.append(
            Kind.VOIDED,
            serving=str(serving_id),
            reason=reason[:200],
            replacement=str(spare.id) if spare else None,
        )
        return spare.id if spare else None


def _find_spare(layout: Layout, record: Record, serving: PlannedServing) -> PlannedServing | None:
    free = {s.number for s in layout.seats if s.spare and s.number not in record.seats_taken}
    used = set(record.replacements.values()) | set(record.voids)
    return next(
        (
            one
            for one in layout.servings
            if one.seat in free
            and (one.sitting, one.round) == (serving.sitting, serving.round)
            and one.id not in used | {serving.id}
        ),
        None,
    )


def note_brew(
    bench: Bench, tasting_id: UUID, rounds: Collection[int], form: Mapping[str, str]
) -> None:
    """Note the readings of the brew served for a slot; a later note supersedes.

    What the short form does not ask for stays as an earlier note said. A sample for the
    refractometer takes its time to cool, so readings may come after closing; after
    unsealing they may not.

    Raises
    ------
    Invalid
        With a message for each reading that cannot be one.
    """
    layout = _get_layout(bench, tasting_id)
    slot = next((one for one in layout.slots if one.name == form.get("slot")), None)
    if slot is None or slot.round not in rounds:
        raise NotFound("There is no such brew.")
    parts = list_slot_parts(bench, tasting_id, layout.plan, slot.sample, slot.name)
    with open_journal(bench, tasting_id, (*AT_THE_TABLE, State.CLOSED)) as journal:
        before = read_note(queries.load_record(journal.db, tasting_id).brews.get(slot.name))
        brewed = put_part(form, parts, before, read_quick(form, before))
        brewed = put_shared(form, layout, slot, brewed)
        check_quick(layout.plan, slot.sample, before, brewed, form)
        time = {"time": form.get("time", "").strip()[:5] or None}
        journal.append(Kind.BREWED, slot=slot.name, **write_event(brewed) | time)


def _get_layout(bench: Bench, tasting_id: UUID) -> Layout:
    with bench.reading() as db:
        tasting = queries.find_tasting(db, tasting_id)
        assert tasting
        return queries.load_layout(db, tasting)


def _get_serving(bar: Bar, serving_id: UUID) -> PlannedServing:
    found = next((one for one in bar.layout.servings if one.id == serving_id), None)
    if found is None or found.round not in bar.rounds:
        raise NotFound("There is no such serving.")
    return found
