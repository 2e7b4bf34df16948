"""The sheets to start from, and that nothing on any sheet is added up."""

import importlib
import json
import pkgutil
import re
from typing import Any

import pytest

import server.sheets
from server.sheets.filled import Filled, Truth, list_declarable, to_changes, to_scores
from server.sheets.places import Item, list_places
from server.sheets.scales.base import Analysis, Kind
from server.sheets.scales.defect import Defect
from server.sheets.scales.registry import KINDS
from server.sheets.sheet import Attribute, Sheet
from server.sheets.starters import FOLDER, PURPOSES, get_starter, list_starters
from server.sheets.values import Answer, merge

STARTERS = {one.name: one.sheet for one in list_starters()}
SUMMING = re.compile(
    r"(?i)(?<![a-z])(total|sum|summed|points?|grade|weighting|overall|final)s?(?![a-z])"
)
starters = pytest.mark.parametrize("sheet", STARTERS.values(), ids=list(STARTERS))


def list_texts(value: Any) -> list[str]:
    """List all texts of plain JSON, names of members among them."""
    if isinstance(value, dict):
        return [*value, *(text for one in value.values() for text in list_texts(one))]
    if isinstance(value, list):
        return [text for one in value for text in list_texts(one)]
    return [value] if isinstance(value, str) else []


def list_public_names() -> set[str]:
    """List what the modules of sheets offer: functions, classes, fields and methods."""
    found: set[str] = set()
    for module in pkgutil.walk_packages(server.sheets.__path__, "server.sheets."):
        for name, thing in vars(importlib.import_module(module.name)).items():
            found.add(name)
            if isinstance(thing, type) and thing.__module__.startswith("server.sheets"):
                found |= {*vars(thing), *getattr(thing, "model_fields", ())}
    return {name for name in found if not name.startswith("_")}


def test_there_are_six() -> None:
    assert len(STARTERS) == 6


def test_every_file_is_offered() -> None:
    assert {path.stem.replace("_", "-") for path in FOLDER.glob("*.json")} == set(PURPOSES)


def test_an_unknown_starter_is_refused() -> None:
    with pytest.raises(ValueError, match=r"not '\.\./cards'"):
        get_starter("../cards")


@starters
def test_every_attribute_says_what_is_meant(sheet: Sheet) -> None:
    assert [one.name for one in sheet.attributes if not one.definition] == []


@starters
def test_amounts_of_a_reference_say_that_they_have_no_source(sheet: Sheet) -> None:
    measured = [one.reference for one in sheet.attributes if re.search(r"\d g ", one.reference)]
    assert [text for text in measured if "(common practice, no source)" not in text] == []


@starters
def test_a_sheet_asks_for_something_that_can_be_tested(sheet: Sheet) -> None:
    assert list_declarable(sheet) or any(
        one.scale.analysis == Analysis.DEFECTS for one in sheet.attributes
    )


@starters
def test_a_trained_panel_is_not_asked_what_it_likes(sheet: Sheet) -> None:
    kinds = {one.scale.analysis for one in sheet.attributes}
    assert not kinds & {Analysis.LIKING, Analysis.SIDES}


def test_most_sheets_look_for_flaws() -> None:
    with_flaws = [
        name
        for name, sheet in STARTERS.items()
        if any(isinstance(one.scale, Defect) for one in sheet.attributes)
    ]
    assert with_flaws == ["taint-screen", "roast-consistency", "morning-table"]


def test_the_taint_screen_gives_no_hint_at_a_cause() -> None:
    text = " ".join(list_texts(json.loads((FOLDER / "taint_screen.json").read_text("utf-8"))))
    causes = (
        r"(?i)\b(seals?|gaskets?|hose|filter|boiler|descal\w*|plating|cartridge|urn|tap water)\b"
    )
    assert re.findall(causes, text) == []


def test_the_taint_screen_lets_everybody_use_a_word_of_their_own() -> None:
    scales = [one.scale for one in STARTERS["taint-screen"].attributes]
    assert [one.own for one in scales if isinstance(one, Defect)] == [True, True]


@starters
def test_no_starter_speaks_of_totals_or_points(sheet: Sheet) -> None:
    texts = list_texts(sheet.model_dump(mode="json"))
    assert [text for text in texts if SUMMING.search(text)] == []


def test_nothing_public_is_named_after_totals_or_points() -> None:
    parted = re.compile(r"_|(?<=[a-z])(?=[A-Z])")
    words = {name: parted.sub(" ", name) for name in list_public_names()}
    assert len(words) > 100
    assert {name for name, text in words.items() if SUMMING.search(text)} == set()


def test_no_member_of_a_sheet_could_weigh_or_add() -> None:
    members = {name for one in (Sheet, Attribute, *KINDS.values()) for name in one.model_fields}
    assert members == {
        "title", "version", "attributes", "shuffled", "own_words", "own_low", "own_high",
        "name", "label", "definition", "reference", "scope", "passes", "required", "scale",
        "kind", "low", "middle", "high", "words", "equal_steps", "reference_value", "levels",
        "own", "control", "first", "last", "ties",
    }  # fmt: skip


@starters
def test_every_score_comes_from_one_value_of_one_attribute(sheet: Sheet) -> None:
    """Change any one value: no more than one score of its own name moves."""
    items = (Item("385", (1, 2)), Item("417", (1, 2)))
    key = {(code, bowl): Truth(code, None, None) for code, _ in items for bowl in (0, 1, 2)}
    scales = {one.name: one.scale for one in sheet.attributes}
    numeric = [place for place in list_places(sheet, items) if scales[place.attribute].numeric]
    low, high = ({place: edge(scales[place.attribute], at) for place in numeric} for at in (0, -1))

    def score(said: dict[Any, Any]) -> list[Any]:
        return to_scores(sheet, [Filled("ann", None, items, merge(Answer(), said).values, key)])

    before = score(low)
    for place in numeric:
        after = score(low | {place: high[place]})
        moved = [new.attribute for old, new in zip(before, after, strict=True) if old != new]
        assert len(moved) == 1
        assert moved[0].split(",")[0] == place.attribute


def edge(scale: Kind, at: int) -> Any:
    """Return the lowest or the highest value of a numeric scale on the starters."""
    choices = getattr(scale, "choices", ((0, ""), (1000, "")))
    return choices[at][0]


@starters
def test_a_starter_is_version_one_of_the_format_we_write(sheet: Sheet) -> None:
    assert sheet.version == 1


def test_changes_over_passes_come_from_one_attribute_too() -> None:
    sheet = STARTERS["brew-comparison"]
    key = {("385", 0): Truth("fresh")}
    filled = Filled("ann", None, (Item("385"),), (), key)
    assert {one.attribute for one in to_changes(sheet, [filled])} == {
        "sweet, warm to cool", "sour, warm to cool", "bitter, warm to cool",
    }  # fmt: skip
