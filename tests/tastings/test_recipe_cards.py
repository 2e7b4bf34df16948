"""Recipes as cards and back; a damaged card is refused by place, and changes nothing."""

import json
from decimal import Decimal

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from server.brewing.extraction import Brewer
from server.brewing.recipe import Recipe, StepKind
from server.brewing.water import ALKALINITY, HARDNESS
from server.sheets.files import BadCard
from server.tastings import recipes_kept
from server.tastings.recipe_cards import export_recipe, import_recipe, read_card
from server.tastings.refusals import Invalid
from tests.brewing_bench import make_recipe

BARLEY = make_recipe(
    coffee={"name": "Barley", "colour": {"value": "71.50", "of": "ground"}},
    water={"hardness": "4", "hardness_unit": "°dH"},
)
words = st.text(st.characters(categories=["L", "N", "P"]), max_size=12)


def figures(low, high, places=2):
    return st.none() | st.decimals(low, high, places=places).map(str)


@st.composite
def recipes(draw):
    """Draw a recipe with anything in it."""
    times = sorted(draw(st.lists(st.integers(0, 900), max_size=5)))
    scale = sorted(draw(st.lists(st.integers(0, 300), min_size=len(times), max_size=len(times))))
    kinds = st.sampled_from([one.value for one in StepKind if one is not StepKind.END])
    steps = [
        {"kind": draw(kinds), "at_s": at, "water_g": str(shows), "note": draw(words)}
        for at, shows in zip(times, scale, strict=True)
    ]
    coffee = {"name": draw(words), "roasted": draw(st.sampled_from(["", "2031-02-28"]))}
    if (value := draw(figures(0, 150))) is not None:
        coffee["colour"] = {"value": value, "instrument": draw(words), "scale": draw(words)}
    return make_recipe(
        title=draw(words) + "x",
        version=draw(st.integers(1, 9999)),
        coffee=coffee,
        water={
            "hardness": draw(figures(0, 500)),
            "hardness_unit": draw(st.sampled_from(HARDNESS)),
            "alkalinity": draw(figures(0, 500)),
            "alkalinity_unit": draw(st.sampled_from(ALKALINITY)),
            "ph": draw(figures(0, 14)),
        },
        device={"how": draw(st.sampled_from(Brewer)), "rinse_g": draw(figures(0, 400))},
        grinder={"setting": draw(words), "median_um": draw(figures(1, 2000, 1))},
        dose_g=draw(st.decimals(1, 20, places=2)),
        water_g=draw(st.decimals(300, 400, places=2)),
        water_c=draw(figures(0, 100, 1)),
        beverage_g=draw(figures(1, 300)),
        single=draw(st.booleans()),
        shots=draw(st.integers(1, 12)),
        steps=steps,
        note=draw(words),
    )


@given(recipes())
@settings(max_examples=60)
def test_a_recipe_comes_back_from_its_card(recipe: Recipe) -> None:
    card = export_recipe(recipe)
    assert read_card(card) == recipe
    assert export_recipe(read_card(card)) == card


@given(recipes(), st.data())
@settings(max_examples=30)
def test_a_card_cut_short_is_refused(recipe, data):
    card = export_recipe(recipe)
    with pytest.raises(BadCard):
        read_card(card[: data.draw(st.integers(0, len(card) - 1))])


garbage = st.binary(max_size=60) | st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=6,
).map(lambda one: json.dumps(one).encode())


@given(garbage)
def test_garbage_is_refused_in_words_and_in_no_other_way(text):
    with pytest.raises(BadCard) as refused:
        read_card(text)
    assert "validation" not in str(refused.value)


@given(st.data())
@settings(max_examples=150)
def test_one_damaged_member_is_refused_or_still_a_recipe(data):
    card = json.loads(export_recipe(BARLEY))
    parts = [card, card["coffee"], card["coffee"]["colour"], card["water"], card["device"]]
    part = data.draw(st.sampled_from([*parts, *card["steps"]]))
    name = data.draw(st.sampled_from(sorted(part)) | st.text(max_size=4))
    odd = [None, True, -1, 1.5, 1e999, "", "x" * 1001, "\0", "\ud800", "NaN", [], [1], {}]
    part[name] = data.draw(st.sampled_from(odd))
    said = ""
    try:
        assert isinstance(read_card(json.dumps(card).encode()), Recipe)
    except BadCard as error:
        said = str(error)
    assert "Input should" not in said
    said.encode()


WRONG = {
    "another card": ({"format": "oddcup sheet"}, "format: this is no recipe of Oddcup"),
    "a later format": ({"format_no": 2}, "format_no: only format number 1 is known here"),
    "an unknown member": ({"taste": "fine"}, "taste: is not known here"),
    "no title": ({"title": "  "}, "title: must not be empty"),
    "a long title": ({"title": "x" * 121}, "title: must have at most 120 characters"),
    "a huge dose": ({"dose_g": "2001"}, "dose_g: must be at most 2000"),
    "three decimals": ({"dose_g": "20.001"}, "dose_g: must have at most 2 decimals"),
    "a boiling water": ({"water_c": "100.5"}, "water_c: must be at most 100"),
    "a version in words": ({"version": "1"}, "version: must be a whole number"),
    "an unknown brewer": ({"device": {"how": "magic"}}, "device, how: must be 'percolation'"),
    "an unknown unit": ({"water": {"hardness_unit": "ppm"}}, "water, hardness_unit: must be"),
    "a unit of the other": (
        {"water": {"alkalinity_unit": "mg/L Ca"}},
        "water, alkalinity_unit: must not be mg/L Ca",
    ),
    "no day": ({"coffee": {"roasted": "2031-02-30"}}, "coffee, roasted: must be a day such as"),
    "no step": ({"steps": [5]}, "step 1: must be an object"),
    "a step of no kind": ({"steps": [{"kind": "wait", "at_s": 1}]}, "step 1, kind: must be 'pour'"),
    "a step too late": (
        {"steps": [{"kind": "end", "at_s": 90000}]},
        "step 1, at_s: must be at most 86400",
    ),
    "too many steps": (
        {"steps": [{"kind": "stir", "at_s": 1}] * 41},
        "steps: must hold at most 40",
    ),
    "less water than coffee": ({"water_g": "19"}, "water_g must not be less than dose_g"),
}


@pytest.mark.parametrize(("change", "said"), WRONG.values(), ids=list(WRONG))
def test_a_wrong_card_is_refused_and_the_place_is_named(change, said):
    card = json.loads(export_recipe(BARLEY)) | change
    with pytest.raises(BadCard) as refused:
        read_card(json.dumps(card).encode())
    assert said in str(refused.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b"", "line 1, character 1: this is no JSON"),
        (b'{"title": 1, "title": 2}', "title: is there twice"),
        (b" " * 60_001, "longer than 60,000 bytes"),
        (b"[" * 30_000, "nested too deeply"),
        (b"\xff", "byte 1: this is no UTF-8"),
    ],
    ids=lambda case: str(case[:12]),
)
def test_a_file_that_is_no_card_is_refused(text, said):
    with pytest.raises(BadCard) as refused:
        read_card(text)
    assert said in str(refused.value)


@pytest.mark.parametrize("depth", [90, 300, 480, 600, 900])
def test_a_card_may_be_nested_as_deeply_as_it_likes_and_is_refused(depth):
    deep = "[" * depth + "]" * depth
    card = export_recipe(BARLEY)[:-1] + f',"deep":{deep}}}'.encode()
    with pytest.raises(BadCard):
        read_card(card)


def test_a_card_is_the_canonical_text_of_rfc_8785_with_the_shortest_numbers():
    card = export_recipe(BARLEY)
    assert rfc8785.dumps(json.loads(card)) == card
    assert json.loads(card)["coffee"]["colour"]["value"] == "71.5"


def test_no_control_character_reaches_what_is_kept():
    card = json.loads(export_recipe(BARLEY)) | {"title": "Bar\0ley", "note": "one\r\ntwo\ud800"}
    found = read_card(json.dumps(card).encode())
    assert (found.title, found.note) == ("Barley", "one\ntwo")


def test_plain_numbers_are_read_as_what_they_say():
    card = json.loads(export_recipe(BARLEY)) | {"dose_g": 20.1}
    assert read_card(json.dumps(card).encode()).dose_g == Decimal("20.1")


def test_a_card_brought_in_twice_is_kept_once(bench, account):
    card = export_recipe(BARLEY)
    first, second = (import_recipe(bench, account.id, card) for _ in range(2))
    assert first == second
    assert recipes_kept.get_recipe(bench, account.id, first).recipe == BARLEY


def test_a_damaged_card_changes_nothing(bench, account, stored):
    import_recipe(bench, account.id, export_recipe(BARLEY))
    before = stored()
    for text in (b"", b"{}", export_recipe(BARLEY)[:-1], b'{"format": "oddcup recipe"}'):
        with pytest.raises(Invalid) as refused:
            import_recipe(bench, account.id, text)
        assert list(refused.value.messages) == ["file"]
    assert stored() == before
