import pytest

from server.sheets.scales.base import InvalidValue
from server.sheets.scales.defect import HOW_STRONG, SOUND, WHICH_WORD, Defect

FLAG = Defect(levels=("faint", "clear", "strong"), words=("papery", "sour milk"))


def test_a_cup_nobody_touched_is_neither_sound_nor_defective() -> None:
    assert FLAG.parse({"": "", "intensity": "", "word": ""}, ()) is None


def test_a_sound_cup_forgets_what_was_said_of_its_defect() -> None:
    assert FLAG.parse({"": "no", "intensity": "2", "word": "1"}, ()) == {"found": False}


def test_a_defect_has_an_intensity_and_a_word() -> None:
    value = FLAG.parse({"": "yes", "intensity": "3", "word": "1"}, ())
    assert value == {"found": True, "intensity": 3, "word": "sour milk"}


def test_a_word_of_ones_own_takes_the_place_of_one_on_the_list() -> None:
    value = FLAG.parse({"": "yes", "word": "own", "own": " wet   dog "}, ())
    assert value == {"found": True, "word": "wet dog"}


def test_a_word_of_ones_own_can_be_ruled_out() -> None:
    closed = FLAG.model_copy(update={"own": False})
    with pytest.raises(InvalidValue, match="word: "):
        closed.parse({"": "yes", "word": "own", "own": "wet dog"}, ())


@pytest.mark.parametrize(
    ("value", "gap"),
    [
        ({"found": False}, None),
        ({"found": True}, HOW_STRONG),
        ({"found": True, "intensity": 1}, WHICH_WORD),
        ({"found": True, "intensity": 1, "word": "papery"}, None),
    ],
)
def test_a_defect_begun_says_what_is_still_to_be_said(
    value: dict[str, object], gap: str | None
) -> None:
    assert FLAG.find_gap(value, ()) == gap


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"": "perhaps"}, ""),
        ({"": "yes", "intensity": "0"}, "intensity"),
        ({"": "yes", "intensity": "4"}, "intensity"),
        ({"": "yes", "word": "2"}, "word"),
        ({"": "yes", "word": "own", "own": "x" * 61}, "own"),
    ],
)
def test_a_form_that_cannot_be_is_refused_at_its_field(fields: dict[str, str], field: str) -> None:
    with pytest.raises(InvalidValue) as refused:
        FLAG.parse(fields, ())
    assert refused.value.field == field


def test_a_sound_cup_is_told_in_words_that_are_translated() -> None:
    assert FLAG.describe({"found": False}) == SOUND


def test_only_cups_have_defects() -> None:
    assert Defect.SCOPES == ("cup",)
