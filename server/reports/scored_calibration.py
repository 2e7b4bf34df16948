"""Whether the planned open bowl was tasted before the codes, as far as it was noted."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.blinding.events import Event, Kind
from server.blinding.record import Record
from server.blinding.sealed import SealedTasting
from server.blinding.table_record import Calibration


@dataclass(frozen=True)
class OpenBowls:
    """The open bowls of a scored table; nothing of them was scored.

    Attributes
    ----------
    what
        What everybody knew it to be.
    sittings
        Sittings with an answer on record.
    done
        What was last noted of each sitting, in order.
    late
        Sittings of which it was first noted when codes stood before somebody already.
    """

    what: str
    sittings: tuple[int, ...]
    done: tuple[Calibration, ...]
    late: tuple[int, ...]

    @property
    def skipped(self) -> tuple[int, ...]:
        """Sittings that were answered, of whose open bowl nothing was noted."""
        noted = {one.sitting for one in self.done}
        return tuple(one for one in self.sittings if one not in noted)


def find_open_bowls(
    sealed: SealedTasting, record: Record, events: Sequence[Event]
) -> OpenBowls | None:
    """Return what became of the planned open bowls; None if none were planned."""
    table = sealed.plan.table
    if table is None or not table.calibration:
        return None
    answered = sorted({one.sitting for one in sealed.servings if one.id in record.answers})
    last = {one.sitting: one for one in record.calibrations}
    done = tuple(last[number] for number in sorted(last))
    return OpenBowls(table.calibration, tuple(answered), done, _find_late(sealed, events))


def _find_late(sealed: SealedTasting, events: Sequence[Event]) -> tuple[int, ...]:
    sittings = {str(one.id): one.sitting for one in sealed.servings}
    began, late = set[int](), dict[int, bool]()
    for event in events:
        if event.body is not None and event.kind == Kind.CODES_CONFIRMED:
            began.add(sittings[event.body["serving"]])
        if event.body is not None and event.kind == Kind.CALIBRATED:
            late.setdefault(event.body["sitting"], event.body["sitting"] in began)
    return tuple(sorted(sitting for sitting, holds in late.items() if holds))
