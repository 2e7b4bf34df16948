"""Whether the planned open bowl was tasted before the codes, as far as it was noted."""

from dataclasses import dataclass

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
    """

    what: str
    sittings: tuple[int, ...]
    done: tuple[Calibration, ...]

    @property
    def skipped(self) -> tuple[int, ...]:
        """Sittings that were answered, of whose open bowl nothing was noted."""
        noted = {one.sitting for one in self.done}
        return tuple(one for one in self.sittings if one not in noted)


def find_open_bowls(sealed: SealedTasting, record: Record) -> OpenBowls | None:
    """Return what became of the planned open bowls; None if none were planned."""
    table = sealed.plan.table
    if table is None or not table.calibration:
        return None
    answered = sorted({one.sitting for one in sealed.servings if one.id in record.answers})
    last = {one.sitting: one for one in record.calibrations}
    return OpenBowls(table.calibration, tuple(answered), tuple(last[n] for n in sorted(last)))
