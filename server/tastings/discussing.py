"""What a table says aloud once all its sheets are locked: kept apart, never analysed."""

from uuid import UUID

from server.blinding.events import Kind, State
from server.blinding.record import Record
from server.blinding.sealed import Layout
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.closing import count_reached
from server.tastings.journal import open_journal
from server.tastings.refusals import Invalid, NotFound

LONGEST, LONGEST_NAME = 2000, 80
BEFORE_UNSEALING = (State.SEALED, State.SERVING, State.CLOSED)
NOT_LOCKED = "Not all sheets are locked yet: what is said now would be heard by who still tastes."


def may_discuss(layout: Layout, record: Record) -> bool:
    """Tell whether a scored table may talk: all its sheets are locked, and it is sealed still."""
    if layout.plan.table is None or record.state not in BEFORE_UNSEALING:
        return False
    return record.state == State.CLOSED or not count_reached(layout, record).gaps


def record_discussion(bench: Bench, tasting_id: UUID, text: str, who: str) -> None:
    """Record the table's words; the same words again change nothing.

    Raises
    ------
    Invalid
        Nothing is said, too much, or sheets are still open.
    NotFound
        It is no scored table.
    """
    text, who = text.replace("\r\n", "\n").strip(), " ".join(who.split())
    messages = {}
    if not 0 < len(text) <= LONGEST:
        messages["discussion"] = f"Write what was said, in up to {LONGEST} characters."
    if not 0 < len(who) <= LONGEST_NAME:
        messages["discussion_who"] = "Say who wrote it down, or “the table”."
    if messages:
        raise Invalid(**messages)
    with open_journal(bench, tasting_id, BEFORE_UNSEALING) as journal:
        layout = queries.load_layout(journal.db, journal.tasting)
        record = queries.load_record(journal.db, tasting_id)
        if layout.plan.table is None:
            raise NotFound("Only a scored table records its discussion.")
        if not may_discuss(layout, record):
            raise Invalid(discussion=NOT_LOCKED)
        if (text, who) not in [(one.text, one.who) for one in record.discussions]:
            journal.append(Kind.DISCUSSED, text=text, who=who)
