"""The sittings of a tasting alone, as its board shows them."""

from dataclasses import dataclass

from server.blinding.marks import find_lost, find_open
from server.blinding.record import Record
from server.blinding.sealed import Layout
from server.tastings.serving_states import Mark, find_mark
from server.tastings.turning import list_answered, list_sittings


@dataclass(frozen=True)
class SittingLine:
    """How far a sitting is; ``lost`` counts its servings with a mark nobody could read.

    ``waiting`` says that it is tasted and that its marks are not entered yet,
    ``corrected`` that other marks were entered first.
    """

    number: int
    marks: tuple[Mark, ...]
    prepared: bool
    waiting: bool
    turned: bool
    lost: int
    corrected: bool


def list_sitting_lines(layout: Layout, record: Record) -> tuple[SittingLine, ...]:
    """List the sittings of a tasting alone, first one first."""
    lost = [serving.sitting for serving in find_lost(layout, record)]
    return tuple(
        SittingLine(
            number,
            tuple(find_mark(record, one) for one in layout.servings if one.sitting == number),
            number in record.prepared,
            _is_waiting(layout, record, number),
            number in record.reveals,
            lost.count(number),
            _is_corrected(record, number),
        )
        for number in list_sittings(layout)
    )


def _is_waiting(layout: Layout, record: Record, number: int) -> bool:
    tasted = list_answered(layout, record, number) and not find_open(layout, record, number)
    return number not in record.reveals and bool(tasted)


def _is_corrected(record: Record, number: int) -> bool:
    entered = record.reveals.get(number, [])
    return any(one.marks != entered[-1].marks for one in entered)
