import pytest
from hypothesis import given

from server.sheets.places import Item, Place, list_places
from server.sheets.sheet import Sheet
from tests.sheets.building import BOWLS, CUPS, FLAG, make_attribute, make_full_sheet, make_sheet
from tests.sheets.random_sheets import sheets, tables


def test_places_come_pass_by_pass_and_code_by_code() -> None:
    found = list_places(make_full_sheet(), CUPS)
    assert [(place.time, place.code, place.attribute) for place in found] == [
        ("dry", "385", "aroma"), ("dry", "417", "aroma"),
        ("break", "385", "aroma"), ("break", "417", "aroma"),
        ("hot", "385", "sweet"), ("hot", "417", "sweet"),
        ("cool", "385", "sweet"), ("cool", "417", "sweet"),
        ("", "385", "flaw"), ("", "385", "note"),
        ("", "417", "flaw"), ("", "417", "note"),
        ("", "", "order"),
    ]  # fmt: skip


def test_a_cup_is_asked_of_every_bowl_and_a_sample_once_a_code() -> None:
    sheet = make_sheet(make_attribute("sweet"), make_attribute("flaw", FLAG))
    places = list_places(sheet, BOWLS)
    assert [place.bowl for place in places if place.attribute == "flaw"] == [1, 2, 1, 2]
    assert [place.bowl for place in places if place.attribute == "sweet"] == [0, 0]


@given(sheets(), tables())
def test_no_place_and_no_field_is_there_twice(sheet: Sheet, items: tuple[Item, ...]) -> None:
    attributes = {one.name: one for one in sheet.attributes}
    codes = tuple(one.code for one in items)
    names = [
        place.name_part(part)
        for place in list_places(sheet, items)
        for part in attributes[place.attribute].scale.list_fields(codes)
    ]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("place", "part", "field"),
    [
        (Place("bitter", "385", 2, "hot"), "", "v.bitter.385.2.hot"),
        (Place("bitter", "385", 0, ""), "", "v.bitter.385.0."),
        (Place("bitter", "385", 0, ""), "word", "v.bitter.385.0..word"),
        (Place("order", "", 0, "cool"), "385", "v.order..0.cool.385"),
    ],
)
def test_a_field_is_named_after_its_place(place: Place, part: str, field: str) -> None:
    assert place.name_part(part) == field
