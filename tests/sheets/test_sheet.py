from typing import Any

import pytest
from pydantic import ValidationError

from server.sheets.scales.base import InvalidValue
from server.sheets.sheet import Sheet, add_words, check_words, is_own, keep_words
from tests.sheets.building import FLAG, ORDER, make_attribute, make_full_sheet, make_sheet


def test_a_sheet_names_its_passes_in_order_and_what_has_none_last() -> None:
    assert make_full_sheet().passes == ("dry", "break", "hot", "cool", "")


def test_an_attribute_is_found_by_its_name() -> None:
    sheet = make_sheet()
    assert sheet.find_attribute("sweet") == sheet.attributes[0]
    assert sheet.find_attribute("bitter") is None


@pytest.mark.parametrize("name", ["", "Sweet", "2nd", "sweet.er", "süß", "x" * 41, "own-1"])
def test_a_name_that_files_and_forms_cannot_hold_is_refused(name: str) -> None:
    with pytest.raises(ValidationError):
        make_attribute(name)


@pytest.mark.parametrize("passes", [("hot", "dry"), ("hot", "hot"), ("tepid",)])
def test_passes_come_once_each_and_in_order(passes: tuple[str, ...]) -> None:
    with pytest.raises(ValidationError):
        make_attribute(passes=passes)


@pytest.mark.parametrize(("scale", "scope"), [(FLAG, "sample"), (ORDER, "cup")])
def test_a_scale_is_refused_for_what_it_cannot_be_asked_of(scale: Any, scope: str) -> None:
    with pytest.raises(ValidationError, match="scope must be"):
        make_attribute("flaw", scale, scope=scope)


@pytest.mark.parametrize("number", [0, 41])
def test_a_sheet_has_one_to_forty_attributes(number: int) -> None:
    with pytest.raises(ValidationError):
        Sheet(title="Long", attributes=[make_attribute(f"a{n}") for n in range(number)])


def test_two_attributes_of_one_name_are_refused() -> None:
    with pytest.raises(ValidationError, match='"sweet" is there twice'):
        make_sheet(make_attribute(), make_attribute())


@pytest.mark.parametrize("changed", [{"own_words": 11}, {"version": 0}, {"title": " "}])
def test_a_sheet_keeps_to_its_limits(changed: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        Sheet(**{"title": "Lantern Row", "attributes": (make_attribute(),)} | changed)


def test_a_sheet_never_changes() -> None:
    with pytest.raises(ValidationError, match="frozen"):
        make_sheet().title = "Another"  # type: ignore[misc]  # that it cannot is the test


def test_personal_words_are_tidied_and_empty_places_left_out() -> None:
    assert check_words(make_sheet(own_words=3), ["", " wet   hay ", "tin"]) == ("wet hay", "tin")


@pytest.mark.parametrize(
    ("words", "field"),
    [(["hay", "Hay"], "1"), (["x" * 41], "0"), (["hay", "tin", "", "soot"], "3")],
    ids=["twice", "too long", "too many"],
)
def test_a_personal_word_that_has_no_place_is_refused_there(words: list[str], field: str) -> None:
    with pytest.raises(InvalidValue) as refused:
        check_words(make_sheet(own_words=2), words)
    assert refused.value.field == field


def test_personal_words_are_lines_of_their_own_at_the_end() -> None:
    mine = add_words(make_sheet(own_words=2, own_low="none", own_high="a lot"), ["wet hay"])
    own = mine.attributes[-1]
    assert (own.name, own.label, own.scale.paper.words) == ("own-1", "wet hay", ("none", "a lot"))


def test_forty_attributes_leave_room_for_personal_words() -> None:
    sheet = make_sheet(*(make_attribute(f"a{n}") for n in range(40)), own_words=10)
    assert len(add_words(sheet, [f"word {n}" for n in range(10)]).attributes) == 50


def test_personal_words_can_be_looked_at_apart() -> None:
    own = keep_words(add_words(make_full_sheet(), ["hay", "tin"]))
    assert own is not None
    assert all(is_own(one) for one in own.attributes)


def test_a_sheet_without_personal_words_has_none_apart() -> None:
    assert keep_words(make_full_sheet()) is None
