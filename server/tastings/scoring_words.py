"""Words of one's own: a seat chooses them once, before its first cup."""

from collections.abc import Mapping

from server.blinding.events import Kind
from server.sheets.scales.base import InvalidValue
from server.sheets.sheet import check_words
from server.storage import queries
from server.tastings.answering import SeatPlace, get_place
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.refusals import Invalid
from server.tastings.scoring import get_sheet

WORD = "word-"  # name of a place's field, before its number from 1


def is_asked_for_words(place: SeatPlace) -> bool:
    """Tell whether a seat has still to choose words of its own."""
    asked = get_sheet(place.layout).own_words
    return bool(asked) and place.seat.number not in place.record.words


def choose_words(bench: Bench, token: str, form: Mapping[str, str]) -> None:
    """Record the words that a seat adds to its sheet; none is an answer too.

    They are chosen once: whatever is sent later changes nothing.

    Raises
    ------
    NotFound
        No such seat.
    Invalid
        A word is too long, or there twice.
    Refusal
        The tasting is no scored table.
    """
    place = get_place(bench, token)
    sheet = get_sheet(place.layout)
    typed = [form.get(f"{WORD}{number}", "") for number in range(1, sheet.own_words + 1)]
    try:
        words = check_words(sheet, typed)
    except InvalidValue as error:
        raise Invalid(**{f"{WORD}{int(error.field) + 1}": error.message}) from None
    if not sheet.own_words:
        return
    with open_journal(bench, place.tasting.id, AT_THE_TABLE) as journal:
        record = queries.load_record(journal.db, place.tasting.id)
        if place.seat.number not in record.words:
            journal.append(Kind.WORDS_CHOSEN, seat=place.seat.number, words=list(words))
