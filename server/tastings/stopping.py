"""After every complete block a sequential plan says go on, or stop, and nothing else.

The key is read here while tasting goes on; what comes out of it is one word a block, alike
for a difference, for none of the planned size and for the planned end.
"""

from typing import TYPE_CHECKING

from server.blinding.events import Kind
from server.blinding.plans import Plan
from server.blinding.record import Record
from server.blinding.seal import BadSeal, read_sealed
from server.blinding.sealed import SealedTasting
from server.reports.counting import find_standing_answers, judge
from server.reports.stopping.following import count_complete, is_over
from server.storage import queries
from server.tastings.sealed_text import get_sealed_text

if TYPE_CHECKING:
    from server.tastings.journal import Journal

GO_ON, STOP = "go on", "stop"
COMPLETING = {Kind.ANSWERED, Kind.CONTEST_SETTLED, Kind.VOIDED, Kind.STRUCK}
"""Events after which nothing of a block may be outstanding any more."""


def judge_complete_blocks(journal: "Journal") -> None:
    """Note of every block that has become complete whether to go on; after a stop no more."""
    if not journal.tasting.plan.get("sequential") or not journal.appended & COMPLETING:
        return
    journal.db.flush()
    record = queries.load_record(journal.db, journal.tasting.id)
    layout = queries.load_layout(journal.db, journal.tasting)
    complete = count_complete(layout, record)
    due = [block for block in range(1, complete + 1) if block not in record.blocks]
    if not due or record.told_to_stop:
        return
    try:
        sealed = read_sealed(get_sealed_text(journal.db, journal.tasting.id))
    except BadSeal:
        return  # unsealing will say so
    for block in due:
        stop = _is_over(sealed, record, block)
        journal.append(Kind.BLOCK_JUDGED, block=block, stop=stop)
        if stop:
            return


def say_advice(plan: Plan, record: Record) -> str:
    """Say what the plan says by now: ``go on`` or ``stop``; nothing if it is no such plan."""
    if plan.sequential is None:
        return ""
    return STOP if record.told_to_stop else GO_ON


def _is_over(sealed: SealedTasting, record: Record, complete: int) -> bool:
    judged = judge(sealed, record, find_standing_answers(sealed, record))
    return is_over(sealed.plan, judged, complete)
