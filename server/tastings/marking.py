"""The marks under the cups of somebody alone: read after the answers, never guessed."""

from collections.abc import Mapping, Sequence
from uuid import UUID

from server.blinding.events import Kind
from server.blinding.marks import ImpossibleMarks, Marks, check_marks, find_open
from server.blinding.record import Record
from server.blinding.sealed import Layout, PlannedCup, PlannedServing
from server.methods.base import N_
from server.tastings.alone import get_own_place
from server.tastings.answering import NotYet, look_again
from server.tastings.bench import Bench
from server.tastings.journal import open_journal
from server.tastings.own_sitting import OPEN_FOR_MARKS
from server.tastings.photos import clean_photo, keep_photo
from server.tastings.refusals import Invalid, NotFound, WrongState
from server.tastings.turning import list_answered, list_sittings

LOST = "lost"
UNREAD = N_("Say of every cup what its mark says, or that it cannot be read.")
IMPOSSIBLE = N_(
    "These marks cannot be: one is there more often than you poured it. Look again; a mark "
    "that cannot be read is lost, and never guessed."
)

SittingMarks = Mapping[UUID, Marks]
"""Serving to the marks of its cups."""


def name_field(cup: PlannedCup) -> str:
    """Return the form field that says what stands under a cup."""
    return f"mark-{cup.id}"


def read_marks(servings: Sequence[PlannedServing], form: Mapping[str, str]) -> SittingMarks:
    """Read the marks of servings from a form.

    Raises
    ------
    Invalid
        By the id of each serving whose marks are missing or cannot be.
    """
    found, messages = {}, {}
    for serving in servings:
        try:
            found[serving.id] = _read_serving(serving, form)
        except ImpossibleMarks:
            messages[str(serving.id)] = IMPOSSIBLE
        except KeyError:
            messages[str(serving.id)] = UNREAD
    if messages:
        raise Invalid(**messages)
    return found


def _read_serving(serving: PlannedServing, form: Mapping[str, str]) -> Marks:
    choices: dict[str, str | None] = {slot: slot for slot in serving.pours} | {LOST: None}
    marks = {cup.id: choices[form[name_field(cup)]] for cup in serving.cups}
    check_marks(serving, marks)
    return marks


def write_form(layout: Layout, record: Record, sitting: int) -> dict[str, str]:
    """Return the marks on record for a sitting as its form says them."""
    cups = (cup for one in layout.servings if one.sitting == sitting for cup in one.cups)
    marks = record.marks
    return {name_field(cup): marks[cup.id] or LOST for cup in cups if cup.id in marks}


def check_sitting_marks(bench: Bench, token: str, sitting: int, form: Mapping[str, str]) -> None:
    """Raise what `enter_marks` would, and write nothing."""
    place = get_own_place(bench, token)
    if place.record.state not in OPEN_FOR_MARKS:
        raise WrongState(place.record.state)
    read_marks(list_turned(place.layout, place.record, sitting), form)


def list_turned(layout: Layout, record: Record, sitting: int) -> list[PlannedServing]:
    """List the servings of a sitting whose cups may be turned.

    Raises
    ------
    NotFound
        There is no such sitting.
    NotYet
        An answer of it is missing.
    """
    if sitting not in list_sittings(layout):
        raise NotFound("There is no such sitting.")
    if find_open(layout, record, sitting) or not list_answered(layout, record, sitting):
        raise NotYet("An answer of this sitting is missing.")
    return list_answered(layout, record, sitting)


def enter_marks(
    bench: Bench, token: str, sitting: int, form: Mapping[str, str], photo: bytes = b""
) -> None:
    """Enter the marks of a sitting, chained after all its answers; the same again changes nothing.

    Other marks, or another photo, are a correction: both stay on record.

    Raises
    ------
    NotFound
        No such seat or sitting, or somebody else pours there.
    NotYet
        An answer of the sitting is missing.
    Invalid
        Marks of a serving are missing or cannot be (by its id), or the photo is none.
    WrongState
        The tasting is unsealed or given up.
    """
    place = get_own_place(bench, token)
    image = clean_photo(photo) if photo else None
    with open_journal(bench, place.tasting.id, OPEN_FOR_MARKS) as journal:
        record = look_again(place, journal).record
        marks = read_marks(list_turned(place.layout, record, sitting), form)
        last = record.reveals[sitting][-1].marks if sitting in record.reveals else None
        if marks == last and image is None:
            return
        kept = keep_photo(journal.db, place.tasting.id, image) if image else None
        journal.append(Kind.REVEALED, sitting=sitting, marks=_write(marks), photo=kept)


def _write(marks: SittingMarks) -> dict[str, dict[str, str | None]]:
    return {
        str(serving): {str(cup): slot for cup, slot in cups.items()}
        for serving, cups in marks.items()
    }
