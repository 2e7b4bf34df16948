"""The state of one serving, as far as a leader may know it."""

from enum import StrEnum

from server.blinding.record import Record
from server.blinding.sealed import PlannedServing
from server.tastings.standing_in import find_present


class Mark(StrEnum):
    """Every state there is."""

    WAITING = "waiting"
    AT_TABLE = "at the table"
    CALLING = "calling"
    ANSWERED = "answered"
    CONTESTED = "contested"
    REPLACED = "replaced"
    VOID = "void"
    STRUCK = "struck off"


def find_mark(record: Record, serving: PlannedServing) -> Mark:
    """Return the state of a serving, or of the one that stands in for it."""
    if serving.id in record.struck:
        return Mark.STRUCK
    one = find_present(record, serving.id)
    if one is None or record.settlements.get(one, 0) is None:
        return Mark.VOID
    rules = (
        (one in record.open_contests, Mark.CONTESTED),
        (one in record.answers, Mark.ANSWERED),
        (one in record.calls, Mark.CALLING),
        (one in record.confirmed | record.served, Mark.AT_TABLE),
        (one != serving.id, Mark.REPLACED),
    )
    return next((mark for holds, mark in rules if holds), Mark.WAITING)
