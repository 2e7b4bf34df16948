"""Filled sheets met by the key give the scores that the analysis takes."""

import csv
from collections.abc import Mapping
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest

from server.sheets.analysis import analyse_scores
from server.sheets.filled import Filled, Truth, list_score_names, to_changes, to_scores
from server.sheets.places import Item, Place, list_places
from server.sheets.scales.category import Category
from server.sheets.scores import Score
from server.sheets.sheet import Sheet, add_words, keep_words
from server.sheets.values import Answer, merge
from tests.sheets.building import (
    BOWLS,
    CUPS,
    FLAG,
    LINE,
    ORDER,
    make_attribute,
    make_full_sheet,
    make_sheet,
)

FISH = Path(__file__).parent.parent / "reference" / "fish.csv"
KEY = {("385", 0): Truth("fresh", None, 1), ("417", 0): Truth("old", None, 2)}
SWEET = make_attribute("sweet", passes=("hot", "warm", "cool"))


def fill(
    said: Mapping[Place, Any],
    items: tuple[Item, ...] = CUPS,
    key: Mapping[tuple[str, int], Truth] = KEY,
) -> Filled:
    """Fill a sheet for Ann in the first sitting."""
    return Filled("ann", "1", items, merge(Answer(), said).values, key)


def say(sweet: Mapping[str, int], code: str = "385") -> dict[Place, int]:
    """Say how sweet a code is, by pass."""
    return {Place("sweet", code, 0, time): value for time, value in sweet.items()}


def test_a_score_knows_who_what_where_and_when() -> None:
    scores = to_scores(make_sheet(), [fill(say({"": 620}))])
    assert scores[0] == Score("ann", "fresh", "sweet", 62.0, None, 1, "1")


def test_a_place_without_a_value_is_a_missing_score() -> None:
    scores = to_scores(make_sheet(), [fill(say({"": 620}))])
    assert scores[1] == Score("ann", "old", "sweet", None, None, 2, "1")


def test_every_pass_is_analysed_by_itself() -> None:
    scores = to_scores(make_sheet(SWEET), [fill(say({"hot": 600, "cool": 400}))])
    assert [(one.attribute, one.value) for one in scores if one.sample == "fresh"] == [
        ("sweet, hot", 60.0),
        ("sweet, warm", None),
        ("sweet, cool", 40.0),
    ]


def test_a_change_is_the_last_pass_less_the_first() -> None:
    said = say({"hot": 600, "warm": 900, "cool": 350}) | say({"hot": 100}, "417")
    changes = to_changes(make_sheet(SWEET), [fill(said)])
    assert [(one.sample, one.attribute, one.value) for one in changes] == [
        ("fresh", "sweet, hot to cool", -25.0),
        ("old", "sweet, hot to cool", None),
    ]


def test_an_attribute_asked_once_does_not_change() -> None:
    assert to_changes(make_sheet(), [fill(say({"": 620}))]) == []


def test_only_what_gives_numbers_gives_scores() -> None:
    sheet = make_sheet(
        make_attribute("sweet"),
        make_attribute("flaw", FLAG),
        make_attribute("order", ORDER),
        make_attribute("body", Category(words=("thin", "heavy"))),
    )
    assert {one.attribute for one in to_scores(sheet, [fill({})])} == {"sweet"}


def test_the_names_of_scores_are_those_that_can_be_declared() -> None:
    sheet = make_full_sheet()
    scores = to_scores(sheet, [fill({})]) + to_changes(sheet, [fill({})])
    assert {one.attribute for one in scores} == set(list_score_names(sheet))


def test_a_bowl_of_a_shared_table_is_named() -> None:
    sheet = make_sheet(make_attribute("clean", scope="cup"))
    key = {("385", n): Truth("fresh", f"F{n}", 1) for n in (1, 2)}
    said = {Place("clean", "385", n, ""): 100 * n for n in (1, 2)}
    scores = to_scores(sheet, [fill(said, BOWLS[:1], key)])
    assert [(one.bowl, one.value) for one in scores] == [("F1", 10.0), ("F2", 20.0)]


def test_a_code_the_key_does_not_know_is_refused() -> None:
    with pytest.raises(LookupError, match="bowl 0 of code 417"):
        to_scores(make_sheet(), [fill({}, key={("385", 0): Truth("fresh")})])


def test_personal_words_are_not_scores_of_the_sheet() -> None:
    sheet = make_sheet(own_words=1)
    said = say({"": 620}) | {Place("own-1", "385", 0, ""): 300}
    assert {one.attribute for one in to_scores(sheet, [fill(said)])} == {"sweet"}


def test_personal_words_are_scores_of_their_own() -> None:
    own = keep_words(add_words(make_sheet(own_words=1), ["wet hay"]))
    assert own is not None
    scores = to_scores(own, [fill({Place("own-1", "385", 0, ""): 300})])
    assert [(one.attribute, one.value) for one in scores] == [("own-1", 30.0), ("own-1", None)]


def read_fish() -> tuple[Sheet, list[Filled]]:
    """Fill a sheet with lines by what four assessors scored three times, ISO 8586.

    Scores are put on the line as tenths of its length.
    """
    text = FISH.read_text(encoding="utf-8").splitlines()
    rows = sorted(csv.DictReader(one for one in text if one[0] != "#"), key=lambda r: r["assessor"])
    sheet, filled = make_sheet(make_attribute("flavour", LINE)), []
    for who, mine in groupby(rows, key=lambda row: row["assessor"]):
        samples: dict[str, list[float]] = {}
        for row in mine:
            samples.setdefault(row["sample"], []).append(float(row["score"]))
        for sitting in range(3):
            codes = {name: str(385 + place) for place, name in enumerate(samples)}
            key = {(code, 0): Truth(name) for name, code in codes.items()}
            items = tuple(map(Item, codes.values()))
            said = {
                place: round(100 * samples[key[place.code, 0].sample][sitting])
                for place in list_places(sheet, items)
            }
            filled.append(Filled(who, str(sitting + 1), items, merge(Answer(), said).values, key))
    return sheet, filled


def test_a_published_panel_on_our_sheet_has_its_published_test() -> None:
    """ISO 8586, fish: samples over interaction F 19.62 on 5 and 15 degrees of freedom."""
    found = analyse_scores(to_scores(*read_fish())).attributes["flavour"].samples
    assert (found.df, round(found.f or 0, 2)) == ((5.0, 15.0), 19.62)
