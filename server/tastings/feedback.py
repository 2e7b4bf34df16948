"""A seat's own feedback on a scored table; there is none before unsealing."""

from dataclasses import dataclass

from server.reports.table_feedback import Feedback
from server.reports.table_page import read_feedback
from server.tastings.answering import get_place
from server.tastings.bench import Bench
from server.tastings.refusals import NotFound
from server.tastings.table_concluding import find_unsealed, get_part


@dataclass(frozen=True)
class SeatFeedback:
    """Feedback of a seat; None if no sheet of it counts."""

    number: int
    tasting: str
    feedback: Feedback | None


def find_feedback(bench: Bench, token: str) -> SeatFeedback:
    """Return what a seat may read of itself.

    Raises
    ------
    NotFound
        No such seat, nothing was scored there, or its table is not unsealed.
    """
    place = get_place(bench, token)
    if place.layout.plan.table is None or place.record.seal_matches is None:
        raise NotFound("There is nothing here.")
    unsealed = find_unsealed(bench, place.tasting.id, place.record)
    everybody = read_feedback(get_part(unsealed, "feedback"))
    mine = everybody.get(place.seat.number)
    return SeatFeedback(place.seat.number, place.tasting.name, mine)
