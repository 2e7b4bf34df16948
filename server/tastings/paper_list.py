"""Which score sheets of a table there are to type in, and how far each of them is."""

from collections.abc import Iterator
from dataclasses import dataclass

from server.blinding.sealed import PlannedServing
from server.blinding.table_stands import list_scored, list_stands
from server.storage.tables import Seat
from server.tastings.bench import Bench
from server.tastings.handing_out import find_links
from server.tastings.paper_sheets import PAPER
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound
from server.tastings.standing_in import find_present
from server.tastings.table_counts import Count, count_values


@dataclass(frozen=True)
class PaperLine:
    """The sheet of a seat in a sitting; ``token`` is its link, ``source`` empty until locked."""

    seat: int
    spare: bool
    sitting: int
    token: str
    codes: tuple[str, ...]
    count: Count
    source: str

    @property
    def on_paper(self) -> bool:
        """Whether it is locked as it was typed in."""
        return self.source == PAPER


def list_paper(bench: Bench, led: LedTasting) -> tuple[PaperLine, ...]:
    """List the sheets of a scored table by sitting and seat; what counts no more is left out.

    Raises
    ------
    NotFound
        The tasting is no scored table.
    """
    if led.layout.plan.table is None:
        raise NotFound("Only a scored table has score sheets.")
    seats = {one.number: one for one in find_links(bench, led.tasting.id).seats}
    counts = count_values(led.layout, led.record, led.begun)
    lines = [
        _make_line(led, seats[planned.seat], present, counts[present.id])
        for planned, present in _list_present(led)
    ]
    return tuple(sorted(lines, key=lambda one: (one.sitting, one.seat)))


def _list_present(led: LedTasting) -> Iterator[tuple[PlannedServing, PlannedServing]]:
    """Yield every planned serving with the one that stands for it; a spare one lent has none."""
    servings = {one.id: one for one in led.layout.servings}
    lent = set(led.record.replacements.values())
    for planned in list_scored(led.layout):
        present = None if planned.id in lent else find_present(led.record, planned.id)
        if present is not None:
            yield planned, servings[present]


def _make_line(led: LedTasting, seat: Seat, serving: PlannedServing, count: Count) -> PaperLine:
    given = led.record.answers.get(serving.id)
    codes = tuple(one.code for one in list_stands(serving))
    source = given.source if given else ""
    return PaperLine(seat.number, seat.spare, serving.sitting, seat.token, codes, count, source)
