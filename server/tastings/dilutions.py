"""A leader's tastings of known dilutions, and the ruler that they make."""

from dataclasses import dataclass
from uuid import UUID

from server.blinding.events import Event, Kind, State
from server.blinding.seal import BadSeal, read_sealed
from server.reports.analysis import Analysis, analyse_tasting
from server.reports.ruler.marks import Dilution, find_dilutions
from server.reports.ruler.reading import Reading, read_off
from server.storage import queries
from server.storage.tables import Tasting
from server.tastings.bench import Bench
from server.tastings.sealed_text import get_sealed_text


@dataclass(frozen=True)
class Tasted:
    """A known dilution in one tasting of a leader."""

    tasting: UUID
    question: str
    day: str
    unsealed_at: str
    dilution: Dilution


def list_dilutions(bench: Bench, account_id: UUID) -> tuple[Tasted, ...]:
    """List the known dilutions in a leader's unsealed tastings, the oldest tasting first."""
    with bench.reading() as db:
        rows = [one for one in queries.list_led_tastings(db, account_id) if _is_known(one)]
    return tuple(found for row in reversed(rows) for found in _read(bench, row))


def read_ruler(
    bench: Bench, account_id: UUID, tasting_id: UUID, analysis: Analysis
) -> Reading | None:
    """Hold a tasting against the dilutions that were unsealed before it, and its own control.

    So a finding never changes by what is tasted later.
    """
    with bench.reading() as db:
        unsealed_at = find_unsealing(queries.load_events(db, tasting_id))
    earlier = [
        one.dilution
        for one in list_dilutions(bench, account_id)
        if one.tasting != tasting_id and one.unsealed_at < unsealed_at
    ]
    own = [one for one in find_dilutions(analysis) if one.control]
    return read_off(analysis, [*earlier, *own])


def _is_known(row: Tasting) -> bool:
    """Tell from a stored plan whether a tasting is unsealed and holds a known dilution."""
    control = row.plan.get("positive_control") or {}
    known = row.plan.get("dilution_percent"), control.get("dilution_percent")
    return row.state == State.UNSEALED and any(one is not None for one in known)


def _read(bench: Bench, row: Tasting) -> tuple[Tasted, ...]:
    with bench.reading() as db:
        events = queries.load_events(db, row.id)
        text = get_sealed_text(db, row.id)
    try:
        sealed = read_sealed(text)
    except BadSeal:  # its own finding says so; it is no mark for another
        return ()
    at = find_unsealing(events)
    question, day = sealed.plan.question, f"{row.created_at:%d %b %Y}"
    found = find_dilutions(analyse_tasting(sealed, events))
    return tuple(Tasted(row.id, question, day, at, one) for one in found)


def find_unsealing(events: list[Event]) -> str:
    """Return when a tasting was first unsealed, as its record says."""
    bodies = (one.body or {} for one in events if one.kind == Kind.UNSEALED)
    return str(next(bodies, {}).get("at", ""))
