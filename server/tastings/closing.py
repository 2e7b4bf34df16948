"""How a tasting ends: closing, unsealing, abandoning, early looks, contested answers."""

from dataclasses import dataclass
from uuid import UUID

from server.blinding.chain import verify_chain
from server.blinding.events import Kind, State
from server.blinding.plans import Plan, Pourer
from server.blinding.record import Record
from server.blinding.seal import seal_hash
from server.blinding.sealed import Layout, PlannedServing
from server.blinding.table_stands import is_scored
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE, OVER, Journal, open_journal
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.sealed_text import get_sealed_text
from server.tastings.turning import find_unturned, give_up_rest, write_off_marks

LOOKERS = ("taster", "present", "away")
NO_KEY = "There is no key to look at: the truth lies under the cups."
MARKS_KNOWN = "The marks of these cups are known: which answer is right can be seen already."
UNTURNED = "Enter the marks of sitting {sittings} first, or say that they are gone."


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
    """Count the servings that have an answer which stands: controls too, no warm-up cups."""
    spare = {seat.number for seat in layout.seats if seat.spare}
    planned = [
        s for s in layout.servings
        if s.seat not in spare and s.id not in record.struck and is_asked(layout, s)
    ]  # fmt: skip
    asked = (one for one in layout.servings if is_asked(layout, one))
    standing = sum(record.standing(one.id) is not None for one in asked)
    return Reached(len(planned), standing)


def is_asked(layout: Layout, serving: PlannedServing) -> bool:
    """Tell whether a serving is to be answered: a warm-up cup of a scored table is not."""
    return layout.plan.table is None or is_scored(layout, serving)


def list_endings(plan: Plan) -> tuple[Pourer, ...]:
    """List what may have been done in the end, whatever was planned.

    Alone the key lies under the cups, so that a helper who came after all is possible, but
    nobody can have served by codes alone; where the key was drawn, it was not alone.
    """
    impossible = Pourer.RELAY if plan.alone else Pourer.ALONE
    return tuple(one for one in Pourer if one != impossible)


def close_tasting(bench: Bench, tasting_id: UUID, reason: str, pourer: str) -> None:
    """Close: no further answer counts; with answers or marks missing a reason is needed.

    Alone, what was not tasted of a sitting begun is given up for the same reason.
    """
    reason = reason.strip()
    with open_journal(bench, tasting_id, AT_THE_TABLE) as journal:
        layout = queries.load_layout(journal.db, journal.tasting)
        record = queries.load_record(journal.db, tasting_id)
        if pourer not in list_endings(layout.plan):
            raise Invalid(pourer="Say who really poured, and whether they stayed.")
        if count_reached(layout, record).gaps and not (reason or record.told_to_stop):
            raise Invalid(reason="Answers are missing: say why you close now.")
        if find_unturned(layout, record) and not reason:
            raise Invalid(reason="Marks are not entered yet: say why you close now.")
        give_up_rest(journal, layout, record, reason[:200])
        journal.append(Kind.CLOSED, reason=reason[:500], pourer=pourer)


def unseal_tasting(bench: Bench, tasting_id: UUID, *, marks_gone: bool = False) -> bool:
    """Recompute the hash of the sealed text and the chain; return whether both hold.

    A contested answer that nobody settled voids its serving from here on. Asked for
    again, the first result stands.

    Raises
    ------
    Invalid
        Alone, marks of answered servings are not on record, and nobody says
        (``marks_gone``) that they cannot be read any more.
    """
    with open_journal(bench, tasting_id, OVER) as journal:
        record = queries.load_record(journal.db, tasting_id)
        if record.seal_matches is not None:
            return record.seal_matches
        _settle_marks(journal, record, marks_gone=marks_gone)
        text = get_sealed_text(journal.db, tasting_id)
        published = queries.find_seal_hash(journal.db, tasting_id) or ""
        events = queries.load_events(journal.db, tasting_id)
        matches = seal_hash(text) == published and not verify_chain(published, events)
        journal.append(Kind.UNSEALED, seal_matches=matches)
        return matches


def _settle_marks(journal: Journal, record: Record, *, marks_gone: bool) -> None:
    layout = queries.load_layout(journal.db, journal.tasting)
    unturned = find_unturned(layout, record)
    if not unturned or journal.state == State.ABANDONED:
        return
    if not marks_gone:
        raise Invalid(marks_gone=UNTURNED.format(sittings=", ".join(map(str, unturned))))
    write_off_marks(journal, layout, record)


def abandon_tasting(bench: Bench, tasting_id: UUID, reason: str) -> None:
    """Give a tasting up; it will have no finding."""
    if not reason.strip():
        raise Invalid(abandon_reason="Say why the tasting is given up.")
    with open_journal(bench, tasting_id, AT_THE_TABLE) as journal:
        journal.append(Kind.ABANDONED, reason=reason.strip()[:500])


def look_at_key(bench: Bench, tasting_id: UUID, who: str, reason: str) -> None:
    """Record an early look at the key, for ever, before anything is shown.

    Raises
    ------
    Invalid
        Who looks, or why, is missing.
    Refusal
        There is no key: whoever tastes also pours.
    """
    messages = {}
    if who not in LOOKERS:
        messages["who"] = "Say where the person who looks is during the tasting."
    if not reason.strip():
        messages["reason"] = "Say why the key is needed now."
    if messages:
        raise Invalid(**messages)
    with open_journal(bench, tasting_id, (*AT_THE_TABLE, State.CLOSED)) as journal:
        if queries.load_layout(journal.db, journal.tasting).plan.alone:
            raise Refusal(NO_KEY)
        journal.append(Kind.KEY_LOOKED, who=who, reason=reason.strip()[:500])


def settle_contest(bench: Bench, tasting_id: UUID, serving_id: UUID, choice: str) -> None:
    """Say which of several answers counts (its revision), or ``void``; before unsealing.

    Raises
    ------
    Refusal
        Alone, once the marks of these cups are known: nobody could choose blind any more,
        and unsealing voids the serving.
    """
    with open_journal(bench, tasting_id, (*AT_THE_TABLE, State.CLOSED)) as journal:
        record = queries.load_record(journal.db, tasting_id)
        layout = queries.load_layout(journal.db, journal.tasting)
        if any(one.id == serving_id and one.sitting in record.reveals for one in layout.servings):
            raise Refusal(MARKS_KNOWN)
        given = [record.answers.get(serving_id), *record.contests.get(serving_id, [])]
        if len(given) < 2:
            raise NotFound("This serving is not contested.")
        known = {str(one.revision): one.revision for one in given if one} | {"void": None}
        if choice not in known:
            raise Invalid(choice="Choose one of the answers, or void the serving.")
        if record.settlements.get(serving_id, 0) != known[choice]:  # 0: not settled yet
            journal.append(Kind.CONTEST_SETTLED, serving=str(serving_id), revision=known[choice])
