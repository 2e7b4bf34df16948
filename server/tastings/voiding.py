"""Take a serving out that went wrong, wherever it stands."""

from uuid import UUID

from server.blinding.events import Kind, State
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.refusals import Invalid
from server.tastings.standing_in import find_present


def void_place(bench: Bench, tasting_id: UUID, seat: str, round_no: str, reason: str) -> None:
    """Void what a seat was served in a round, such as cups that turn out to be swapped.

    Alone nothing is taken out once the marks of its sitting are known: whoever tasted
    would choose by the result.
    """
    if not reason.strip():
        raise Invalid(void_reason="Say what happened, in a few words.")
    with open_journal(bench, tasting_id, (*AT_THE_TABLE, State.CLOSED)) as journal:
        record = queries.load_record(journal.db, tasting_id)
        layout = queries.load_layout(journal.db, journal.tasting)
        places = {(str(one.seat), str(one.round)): one for one in layout.servings}
        planned = places.get((seat.strip(), round_no.strip()))
        if planned is None:
            raise Invalid(void_seat="Name a seat and a round of this tasting.")
        if planned.sitting in record.reveals:
            raise Invalid(void_round="The marks of its sitting are known: it stays as it is.")
        serving = find_present(record, planned.id)
        if serving is not None:
            journal.append(
                Kind.VOIDED, serving=str(serving), reason=reason.strip()[:200], replacement=None
            )
