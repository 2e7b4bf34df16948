"""A sheet as JSON and back; what is damaged or not ours is refused, and it is said where."""

import json
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from server.blinding.plans import TablePlan
from server.blinding.seal import canonical
from server.sheets.cards import BadSheet, export_sheet, import_sheet, read_sheet, write_sheet
from server.sheets.scales.category import Category
from server.sheets.scales.magnitude import Magnitude
from server.sheets.sheet import Sheet
from tests.sheets.building import make_attribute, make_full_sheet, make_sheet
from tests.sheets.random_sheets import sheets

SUGAR = Magnitude(reference="sugar water", reference_value=Decimal("12.50"))
WORDS = make_attribute("body", Category(words=("thin", "medium", "heavy")))


@given(sheets())
@settings(max_examples=15)
def test_every_sheet_comes_back_from_its_file(sheet: Sheet) -> None:
    assert import_sheet(export_sheet(sheet)) == sheet


@given(sheets())
@settings(max_examples=12)
def test_a_file_that_came_back_is_written_as_the_same_bytes(sheet: Sheet) -> None:
    text = export_sheet(sheet)
    assert export_sheet(import_sheet(text)) == text


@given(sheets(), st.data())
@settings(max_examples=15)
def test_a_file_cut_short_is_refused(sheet: Sheet, data: st.DataObject) -> None:
    text = export_sheet(sheet)
    with pytest.raises(BadSheet):
        import_sheet(text[: data.draw(st.integers(0, len(text) - 1))])


def test_a_file_is_the_canonical_text_of_rfc_8785() -> None:
    text = export_sheet(make_full_sheet())
    assert rfc8785.dumps(json.loads(text)) == text


def test_a_file_says_what_it_is_and_which_version_of_the_sheet() -> None:
    card = json.loads(export_sheet(make_sheet(version=7)))
    assert (card["format"], card["format_no"], card["version"]) == ("oddcup sheet", 1, 7)


def test_white_space_and_the_order_of_members_do_not_matter() -> None:
    card = write_sheet(make_full_sheet())
    loose = json.dumps(dict(reversed(card.items())), indent=3).encode("utf-8-sig")
    assert import_sheet(loose) == make_full_sheet()


def test_a_number_that_matters_is_written_as_its_shortest_decimal_string() -> None:
    card = write_sheet(make_sheet(make_attribute("strength", SUGAR)))
    assert card["attributes"][0]["scale"]["reference_value"] == "12.5"


def test_a_sheet_can_be_sealed_with_a_table_and_read_from_it() -> None:
    sheet = make_sheet(make_attribute("strength", SUGAR), WORDS)
    sealed = canonical(TablePlan(sheet=write_sheet(sheet)))
    assert read_sheet(TablePlan.model_validate_json(sealed).sheet) == sheet


def set_at(*way: Any) -> Callable[[dict[str, Any]], None]:
    """Return what puts the last of a way at the end of the others."""
    *path, name, value = way

    def change(card: Any) -> None:
        for part in path:
            card = card[part]
        card[name] = value

    return change


SCALE = ("attributes", 0, "scale")
WRONG: dict[str, tuple[Callable[[dict[str, Any]], None], str]] = {
    "another file": (set_at("format", "oddcup tasting"), "format: this is no score sheet"),
    "a later format": (set_at("format_no", 2), "format_no: only format number 1 is known"),
    "true for one": (set_at("format_no", True), "format_no: only format number 1"),
    "no title": (set_at("title", ""), "title: must not be empty"),
    "a long title": (set_at("title", "x" * 81), "title: must have at most 80 characters"),
    "a number for a title": (set_at("title", 5), "title: must be text"),
    "no number of version": (set_at("version", "1"), "version: must be a whole number"),
    "a broken version": (set_at("version", 1.5), "version: must be a whole number"),
    "version zero": (set_at("version", 0), "version: must be at least 1"),
    "many own words": (set_at("own_words", 11), "own_words: must be at most 10"),
    "perhaps shuffled": (set_at("shuffled", "yes"), "shuffled: must be true or false"),
    "no attributes": (set_at("attributes", []), "attributes: must hold at least 1"),
    "attributes no list": (set_at("attributes", 5), "attributes: must be a list"),
    "an attribute no object": (set_at("attributes", 0, 5), "attribute 1: must be an object"),
    "an unknown member": (set_at("weight", 5), "weight: is not known here"),
    "a member of a scale": (set_at(*SCALE, "points", 5), "attribute 1, scale, points: is not kn"),
    "a wrong name": (set_at("attributes", 0, "name", "A B"), "attribute 1, name: must begin with"),
    "an own name": (set_at("attributes", 0, "name", "own-1"), 'attribute 1, name: must not begin'),
    "a wrong scope": (set_at("attributes", 0, "scope", "pot"), "scope: must be 'cup' or 'sample'"),
    "passes upside down": (
        set_at("attributes", 0, "passes", ["cool", "hot"]),
        "attribute 1, passes: must come once each, in this order: dry, crust",
    ),
    "an unknown pass": (set_at("attributes", 0, "passes", ["icy"]), "attribute 1, pass 1: must be"),
    "no scale": (set_at("attributes", 0, "scale", None), "attribute 1, scale: must be an object"),
    "an unknown kind": (set_at(*SCALE, "kind", "circle"), "scale: must be of a kind there is: 'li"),
    "one word": (set_at(*SCALE, "words", ["a"]), "attribute 1, scale, words: must hold at least 2"),
    "a word twice": (set_at(*SCALE, "words", ["a", "A"]), 'scale, words: "A" is there twice'),
    "an empty word": (set_at(*SCALE, "words", ["a", " "]), "scale, word 2: must not be empty"),
    "half a letter": (set_at("title", "\ud800"), "holds characters or numbers that JSON"),
}  # fmt: skip


@pytest.mark.parametrize(("change", "said"), WRONG.values(), ids=list(WRONG))
def test_a_wrong_card_is_refused_and_the_place_is_named(
    change: Callable[[dict[str, Any]], None], said: str
) -> None:
    card = json.loads(export_sheet(make_sheet(WORDS)))
    change(card)
    with pytest.raises(BadSheet) as refused:
        read_sheet(card)
    assert said in str(refused.value)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("0", "must be above 0"),
        ("many", "must be a number"),
        (True, "must be a number"),
        ("NaN", "must be a number"),
        ("1000001", "must have at most 6 digits before"),
        ("0.0001", "must have at most 3 decimals"),
        ("1234.567891", "must have at most 9 digits"),
    ],
)
def test_a_reference_of_no_use_is_refused(value: object, said: str) -> None:
    card = write_sheet(make_sheet(make_attribute("strength", SUGAR)))
    card["attributes"][0]["scale"]["reference_value"] = value
    with pytest.raises(BadSheet, match=f"attribute 1, scale, reference_value: {said}"):
        read_sheet(card)


def test_all_that_is_wrong_is_told_at_once() -> None:
    card = write_sheet(make_sheet())
    card["title"], card["own_words"] = "", 99
    with pytest.raises(BadSheet) as refused:
        read_sheet(card)
    assert [one.place for one in refused.value.problems] == [("title",), ("own_words",)]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b"", "line 1, character 1: this is no JSON"),
        (b"PK\x03\x04", "no JSON"),
        (b"\xff\xfe", "byte 1: this is no UTF-8"),
        (b"[]", "must be an object"),
        (b'{"format": NaN}', "NaN: is no JSON"),
        (b'{"title": 1, "title": 2}', "title: is there twice"),
        (b"[" * 200_000, "nested too deeply"),
        (b"1" * 9_000, "holds a huge number"),
        (b" " * 500_001, "longer than 500,000 bytes"),
    ],
    ids=lambda case: str(case[:12]),
)
def test_a_file_that_is_no_card_is_refused_in_plain_words(text: bytes, said: str) -> None:
    with pytest.raises(BadSheet) as refused:
        import_sheet(text)
    assert said in str(refused.value)


@given(sheets(), st.data())
@settings(max_examples=15)
def test_whatever_is_damaged_is_refused_in_our_own_words_or_is_a_sheet(
    sheet: Sheet, data: st.DataObject
) -> None:
    card = json.loads(export_sheet(sheet))
    part: Any = data.draw(
        st.sampled_from([card, card["attributes"][0], card["attributes"][0]["scale"]])
    )
    name = data.draw(st.sampled_from(sorted(part)))
    part[name] = data.draw(
        st.sampled_from([None, True, -1, 1.5, "", "x" * 999, [], [1], {}, ["a"]])
    )
    said = ""
    try:
        read_sheet(card)
    except BadSheet as error:
        said = str(error)
    assert "Input should" not in said
    assert "validation" not in said
