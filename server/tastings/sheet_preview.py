"""How what a sheet asks looks at a seat: its questions before made-up codes."""

from uuid import UUID

from server.blinding.sealed import PlannedCup, PlannedServing
from server.blinding.table_stands import list_stands
from server.sheets.sheet import Attribute, Sheet, add_words
from server.sheets.values import Answer
from server.tastings.scoring import Spread
from server.tastings.scoring_passes import Question, list_questions

OWN_WORD = "A word of the assessor’s own"
CODES = ("274", "538", "916")
BOWLS = (1, 2)


def preview_sheet(sheet: Sheet) -> dict[str, Question]:
    """Return every attribute as a seat meets it first, by its name."""
    return {one.name: preview_attribute(one) for one in sheet.attributes}


def preview_own_word(sheet: Sheet) -> Question:
    """Return the question that a seat adds by a word of its own."""
    return preview_attribute(add_words(sheet, (OWN_WORD,)).attributes[-1])


def preview_attribute(attribute: Attribute) -> Question:
    """Return an attribute as a seat meets it first, of cups before two bowls under each code."""
    bowls = BOWLS if attribute.scope == "cup" else (0,)
    places = [(code, bowl) for code in CODES for bowl in bowls]
    cups = tuple(
        PlannedCup(id=UUID(int=at), code=code, position=at, bowl=bowl)
        for at, (code, bowl) in enumerate(places, 1)
    )
    serving = PlannedServing(
        id=UUID(int=0), seat=1, sitting=1, round=1, comparison="preview", cups=cups
    )
    sheet = Sheet.model_construct(title="Preview", attributes=(attribute,))
    spread = Spread(serving, sheet, list_stands(serving), ())
    return list_questions(spread, Answer(), attribute.times[0])[0]
