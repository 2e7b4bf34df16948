"""How a tasting ends: closing, unsealing, abandoning, early looks, contested answers."""

from dataclasses import dataclass
from uuid import UUID

from server.blinding.chain import verify_chain
from server.blinding.events import Kind, State
from server.blinding.record import Record
from server.blinding.seal import seal_hash
from server.blinding.sealed import Layout, Pourer
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE, OVER, Journal, open_journal
from server.tastings.refusals import Invalid, NotFound
from server.tastings.sealed_text import get_sealed_text
from server.tastings.standing_in import find_present

LOOKERS = ("taster", "present", "away")


@dataclass(frozen=True)
class Reached:
    """Planned and reached servings that count."""

    planned: int
    reached: int

    @property
    def gaps(self) -> int:
        """Planned servings without an answer that stands."""
        return max(self.planned - self.reached, 0)


def count_reached(layout: Layout, record: Record) -> Reached:
    """Count the servings that have an answer which stands, controls included."""
    spare = {seat.number for seat in layout.seats if seat.spare}
    planned = [s for s in layout.servings if s.seat not in spare and s.id not in record.struck]
    standing = sum(record.standing(one.id) is not None for one in layout.servings)
    return Reached(len(planned), standing)


def close_tasting(bench: Bench, tasting_id: UUID, reason: str, pourer: str) -> None:
    """Close: no further answer counts; with answers missing a reason is needed."""
    with open_journal(bench, tasting_id, AT_THE_TABLE) as journal:
        if pourer not in list(Pourer):
            raise Invalid(pourer="Say who really poured, and whether they stayed.")
        if _count(journal).gaps and not reason.strip():
            raise Invalid(reason="Answers are missing: say why you close now.")
        journal.append(Kind.CLOSED, reason=reason.strip()[:500], pourer=pourer)


def unseal_tasting(bench: Bench, tasting_id: UUID) -> bool:
    """Recompute the hash of the sealed text and the chain; return whether both hold.

    A contested answer that nobody settled voids its serving from here on. Asked for
    again, the first result stands.
    """
    with open_journal(bench, tasting_id, OVER) as journal:
        record = queries.load_record(journal.db, tasting_id)
        if record.seal_matches is not None:
            return record.seal_matches
        text = get_sealed_text(journal.db, tasting_id)
        published = queries.find_seal_hash(journal.db, tasting_id) or ""
        events = queries.load_events(journal.db, tasting_id)
        matches = seal_hash(text) == published and not verify_chain(published, events)
        journal.append(Kind.UNSEALED, seal_matches=matches)
        return matches


def abandon_tasting(bench: Bench, tasting_id: UUID, reason: str) -> None:
    """Give a tasting up; it will have no finding."""
    if not reason.strip():
        raise Invalid(abandon_reason="Say why the tasting is given up.")
    with open_journal(bench, tasting_id, AT_THE_TABLE) as journal:
        journal.append(Kind.ABANDONED, reason=reason.strip()[:500])


def look_at_key(bench: Bench, tasting_id: UUID, who: str, reason: str) -> None:
    """Record an early look at the key, for ever, before anything is shown."""
    messages = {}
    if who not in LOOKERS:
        messages["who"] = "Say where the person who looks is during the tasting."
    if not reason.strip():
        messages["reason"] = "Say why the key is needed now."
    if messages:
        raise Invalid(**messages)
    with open_journal(bench, tasting_id, (*AT_THE_TABLE, State.CLOSED)) as journal:
        journal.append(Kind.KEY_LOOKED, who=who, reason=reason.strip()[:500])


def settle_contest(bench: Bench, tasting_id: UUID, serving_id: UUID, choice: str) -> None:
    """Say which of several answers counts (its revision), or ``void``; before unsealing."""
    with open_journal(bench, tasting_id, (*AT_THE_TABLE, State.CLOSED)) as journal:
        record = queries.load_record(journal.db, tasting_id)
        given = [record.answers.get(serving_id), *record.contests.get(serving_id, [])]
        if len(given) < 2:
            raise NotFound("This serving is not contested.")
        known = {str(one.revision): one.revision for one in given if one} | {"void": None}
        if choice not in known:
            raise Invalid(choice="Choose one of the answers, or void the serving.")
        if record.settlements.get(serving_id, 0) != known[choice]:  # 0: not settled yet
            journal.append(Kind.CONTEST_SETTLED, serving=str(serving_id), revision=known[choice])


def void_place(bench: Bench, tasting_id: UUID, seat: str, round_no: str, reason: str) -> None:
    """Void what a seat was served in a round, such as cups that turn out to be swapped."""
    if not reason.strip():
        raise Invalid(void_reason="Say what happened, in a few words.")
    with open_journal(bench, tasting_id, (*AT_THE_TABLE, State.CLOSED)) as journal:
        record = queries.load_record(journal.db, tasting_id)
        tasting = queries.find_tasting(journal.db, tasting_id)
        assert tasting
        layout = queries.load_layout(journal.db, tasting)
        places = {(str(one.seat), str(one.round)): one.id for one in layout.servings}
        serving = places.get((seat.strip(), round_no.strip()))
        if serving is None:
            raise Invalid(void_seat="Name a seat and a round of this tasting.")
        serving = find_present(record, serving)
        if serving is not None:
            journal.append(
                Kind.VOIDED, serving=str(serving), reason=reason.strip()[:200], replacement=None
            )


def _count(journal: Journal) -> Reached:
    layout = queries.load_layout(journal.db, journal.tasting)
    return count_reached(layout, queries.load_record(journal.db, journal.tasting.id))
