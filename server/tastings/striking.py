"""Strike seats or servings off before the first serving: they will not be poured."""

from collections.abc import Collection
from uuid import UUID

from server.blinding.events import Kind, State
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.journal import open_journal
from server.tastings.refusals import Invalid

MESSAGE = "Name a seat that is not a spare one."


def strike_off(
    bench: Bench, tasting_id: UUID, seat: str, reason: str, rounds: Collection[int] | None = None
) -> None:
    """Strike a seat off, in some rounds or (None) in all; what is struck stays struck.

    Raises
    ------
    Invalid
        No such seat, or no reason.
    WrongState
        Serving has begun: a serving that goes wrong now is voided instead.
    """
    if not reason.strip():
        raise Invalid(strike_reason="Say why, in a few words.")
    with open_journal(bench, tasting_id, (State.SEALED,)) as journal:
        layout = queries.load_layout(journal.db, journal.tasting)
        struck = queries.load_record(journal.db, tasting_id).struck
        counted = {str(one.number) for one in layout.seats if not one.spare}
        if seat.strip() not in counted:
            raise Invalid(strike_seat=MESSAGE)
        for serving in layout.servings:
            mine = str(serving.seat) == seat.strip() and serving.id not in struck
            if mine and (rounds is None or serving.round in rounds):
                journal.append(Kind.STRUCK, serving=str(serving.id), reason=reason.strip()[:200])
