"""What a seat scores: its sheet with its own words, and the codes that stand before it."""

from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from server.blinding.record import Record
from server.blinding.seal import canonical
from server.blinding.sealed import Layout, PlannedServing
from server.blinding.table_stands import Stand, is_scored, list_stands
from server.sheets.cards import import_sheet
from server.sheets.sheet import Sheet, add_words
from server.tastings.answering import SeatPlace
from server.tastings.refusals import NotFound, Refusal

POURED, SIP = "poured", "sip"  # steps of the bowl clock


@dataclass(frozen=True)
class Spread:
    """A table as one seat scores it in one sitting; ``sheet`` has the seat's own words."""

    serving: PlannedServing
    sheet: Sheet
    stands: tuple[Stand, ...]
    words: tuple[str, ...]

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes in the order of tasting."""
        return tuple(one.code for one in self.stands)


def is_table(place: SeatPlace) -> bool:
    """Tell whether a seat's tasting is a scored table."""
    return place.layout.plan.table is not None


def find_spread(place: SeatPlace, serving: PlannedServing) -> Spread | None:
    """Return what a seat scores in a serving; None if that is a warm-up cup."""
    if not is_scored(place.layout, serving):
        return None
    words = place.record.words.get(place.seat.number, ())
    sheet = add_words(get_sheet(place.layout), words)
    return Spread(serving, sheet, list_stands(serving), words)


def get_spread(place: SeatPlace, serving: PlannedServing) -> Spread:
    """Return what a seat scores in a serving.

    Raises
    ------
    NotFound
        It is a warm-up cup.
    Refusal
        The tasting is no scored table.
    """
    if not is_table(place):
        raise Refusal("Nothing is scored at this tasting.")
    spread = find_spread(place, serving)
    if spread is None:
        raise NotFound("Nothing is scored of a warm-up cup.")
    return spread


def get_sheet(layout: Layout) -> Sheet:
    """Return the sealed sheet of a scored table.

    Raises
    ------
    Refusal
        The tasting is no scored table.
    """
    if layout.plan.table is None:
        raise Refusal("Nothing is scored at this tasting.")
    return _read_sheet(canonical(layout.plan.table.sheet))


@lru_cache(maxsize=16)
def _read_sheet(text: bytes) -> Sheet:
    return import_sheet(text)


def find_first_pour(record: Record, sitting: int) -> datetime | None:
    """Return when the first bowl of a sitting was poured, by the leader's bowl clock."""
    poured = (one.at for one in record.bowl_steps if (one.sitting, one.step) == (sitting, POURED))
    return min(map(datetime.fromisoformat, poured), default=None)


def is_sip_held(record: Record, sitting: int) -> bool:
    """Tell whether bowls of a sitting stand there that are too hot to sip from.

    Without a bowl clock nothing is held: the leader says when.
    """
    steps = {one.step for one in record.bowl_steps if one.sitting == sitting}
    return POURED in steps and SIP not in steps
