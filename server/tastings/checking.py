"""What a leader checks in the room before and while serving."""

from uuid import UUID

from server.blinding.events import CHECKLIST, Kind
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.refusals import NotFound


def tick_check(bench: Bench, tasting_id: UUID, item: str, *, done: bool) -> None:
    """Tick, or untick, an item of the checklist."""
    if item not in CHECKLIST:
        raise NotFound("There is no such item on the checklist.")
    with open_journal(bench, tasting_id, AT_THE_TABLE) as journal:
        if (item in queries.load_record(journal.db, tasting_id).checks) != done:
            journal.append(Kind.CHECKED, item=item, done=done)
