"""What the clocks of devices say; order in the record never depends on them.

An answer's event has the server's moment of receipt (``at``) and, where a script could fill
them in, the device's clock when it was tapped (``device_at``) and when it was sent
(``sent_at``). How long an answer lay on its device is the difference of the latter two: both
are of one clock, so it is right even if that clock is wrong. How wrong it is, is ``sent_at``
against ``at``: between these two lies only the way through the network.
"""

from collections.abc import Collection, Iterable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

from server.blinding.events import Event, Kind
from server.blinding.record import Record
from server.blinding.sealed import Layout
from server.tastings.standing_in import find_planned

GIVEN = (Kind.ANSWERED, Kind.CONTESTED, Kind.LATE)
NOTHING = timedelta(0)


def read_moment(text: Any) -> datetime | None:
    """Return a moment as a device wrote it, in UTC; None if it names none or no zone."""
    try:
        moment = datetime.fromisoformat(text.strip())
        return moment.astimezone(UTC) if moment.tzinfo else None
    except (AttributeError, ValueError, OverflowError):
        return None


def find_lock(events: Iterable[Event], servings: Collection[UUID]) -> datetime | None:
    """Return when the last answer to one of these servings was locked, by the server's clock."""
    names = {str(one) for one in servings}
    given = [
        one.body
        for one in events
        if one.kind == Kind.ANSWERED and one.body and one.body["serving"] in names
    ]
    received = read_moment(given[-1]["at"]) if given else None
    return received - _measure_wait(given[-1]) if received else None


def measure_ahead(events: Iterable[Event], record: Record, layout: Layout) -> dict[int, timedelta]:
    """Return by how much the clock of each seat's device is ahead, by its last answer."""
    seats = {one.id: one.seat for one in layout.servings}
    ahead = {}
    for event in events:
        if event.kind not in GIVEN or event.body is None:
            continue
        sent, received = (read_moment(event.body.get(name)) for name in ("sent_at", "at"))
        if sent and received:
            seat = seats[find_planned(record, UUID(event.body["serving"]))]
            ahead[seat] = sent - received
    return ahead


def tell_ahead(ahead: timedelta) -> str:
    """Say in words by how much a clock is wrong; nothing below half a minute.

    Examples
    --------
    >>> tell_ahead(timedelta(seconds=170)), tell_ahead(timedelta(hours=-3)), tell_ahead(NOTHING)
    ('3 min ahead', '3 h behind', '')
    """
    minutes = round(abs(ahead).total_seconds() / 60)
    if not minutes:
        return ""
    size = next(
        f"{round(minutes / length)} {unit}"
        for length, unit in ((24 * 60, "days"), (60, "h"), (1, "min"))
        if minutes >= 2 * length or length == 1
    )
    return f"{size} {'ahead' if ahead > NOTHING else 'behind'}"


def _measure_wait(body: Mapping[str, Any]) -> timedelta:
    """Return how long an answer lay on its device before it was sent."""
    tapped, sent = (read_moment(body.get(name)) for name in ("device_at", "sent_at"))
    return max(sent - tapped, NOTHING) if tapped and sent else NOTHING
