"""The open bowl before a blind table: everybody knows it, talks about it, and scores nothing."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import count
from uuid import UUID

from server.blinding.events import Kind
from server.blinding.plans import Plan
from server.blinding.record import Record
from server.blinding.sealed import Layout
from server.blinding.table_record import Calibration
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.refusals import Invalid, NotFound

LONGEST = 500
TOO_LONG = f"Keep the words agreed on to {LONGEST} characters."
TOO_LATE = (
    "A sheet of that sitting is locked already: what is talked about now comes after the blind "
    "table, and the finding says that the open bowl was left out."
)
SEAT, WORDS, SITTING = "calibrated_seat_", "calibrated_words", "calibrated_sitting"


@dataclass(frozen=True)
class OpenBowl:
    """What a sitting needs of it: one bowl for a shared table, else a cup a seat."""

    what: str
    cups: int
    brews: int


def find_open_bowl(plan: Plan) -> OpenBowl | None:
    """Return what each sitting needs of the open bowl; None if none is planned."""
    table = plan.table
    if table is None or not table.calibration:
        return None
    if table.shared:
        return OpenBowl(table.calibration, 1, 1)
    cups = plan.assessors + plan.spare_seats
    a_pot = max(int(plan.pot_ml // plan.cup_ml), 1)
    return OpenBowl(table.calibration, cups, -(-cups // a_pot))


def find_bowl_before(layout: Layout, round_: int) -> OpenBowl | None:
    """Return the open bowl that comes right before a round: if that begins its sitting."""
    sittings = {one.round: one.sitting for one in layout.servings}
    begins = sittings.get(round_) != sittings.get(round_ - 1)
    return find_open_bowl(layout.plan) if round_ in sittings and begins else None


def find_named_sample(words: str, labels: Mapping[str, str]) -> str:
    """Return the label of the sample that words for everybody name; empty if they name none.

    A label counts as a whole word or several; one of a letter or two only by itself.

    Examples
    --------
    >>> find_named_sample("Batch 14, as filter", {"A": "batch 14", "B": "batch 15"})
    'batch 14'
    >>> find_named_sample("a washed lot", {"A": "a", "B": "b"})
    ''
    """
    said = _split(words)
    for label in labels.values():
        named = _split(label)
        if said == named or (len("".join(named)) > 2 and _holds(said, named)):
            return label
    return ""


def _split(text: str) -> list[str]:
    spaced = "".join(one if one.isalnum() else " " for one in text.casefold())
    return spaced.split()


def _holds(said: list[str], named: list[str]) -> bool:
    many = len(named)
    return any(said[at : at + many] == named for at in range(len(said) - many + 1))


def find_calibration(record: Record, sitting: int) -> Calibration | None:
    """Return what was last noted of the open bowl of a sitting."""
    mine = [one for one in record.calibrations if one.sitting == sitting]
    return mine[-1] if mine else None


def find_next_sitting(layout: Layout, record: Record) -> int | None:
    """Return the sitting whose open bowl may be noted: the first without any answer."""
    if find_open_bowl(layout.plan) is None:
        return None
    answered = {one.sitting for one in layout.servings if one.id in record.answers}
    first = next(sitting for sitting in count(1) if sitting not in answered)
    return first if first <= layout.plan.sittings else None


def record_calibration(bench: Bench, tasting_id: UUID, form: Mapping[str, str]) -> None:
    """Record that the open bowl of a sitting was tasted; the same again changes nothing.

    Raises
    ------
    Invalid
        The words are too long, or an answer of that sitting is locked.
    NotFound
        No open bowl was planned, or there is no such sitting.
    """
    words = " ".join(form.get(WORDS, "").split())
    if len(words) > LONGEST:
        raise Invalid(**{WORDS: TOO_LONG})
    with open_journal(bench, tasting_id, AT_THE_TABLE) as journal:
        layout = queries.load_layout(journal.db, journal.tasting)
        record = queries.load_record(journal.db, tasting_id)
        sitting = _read_sitting(layout, form.get(SITTING, ""))
        if any(one.sitting == sitting and one.id in record.answers for one in layout.servings):
            raise Invalid(**{WORDS: TOO_LATE})
        seats = [one.number for one in layout.seats if form.get(f"{SEAT}{one.number}")]
        last = find_calibration(record, sitting)
        if last is None or (last.words, list(last.seats)) != (words, seats):
            journal.append(Kind.CALIBRATED, sitting=sitting, seats=seats, words=words)


def _read_sitting(layout: Layout, typed: str) -> int:
    if find_open_bowl(layout.plan) is None:
        raise NotFound("No open bowl was planned.")
    if typed not in map(str, range(1, layout.plan.sittings + 1)):
        raise NotFound("There is no such sitting.")
    return int(typed)
