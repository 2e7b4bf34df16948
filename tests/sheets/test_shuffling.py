"""Orders of a seat's own follow from the id of its serving alone, and none is favoured."""

from collections import Counter
from itertools import permutations
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.sheets.scales.comment import Comment
from server.sheets.scales.tick_all import TickAll
from server.sheets.sheet import add_words
from server.sheets.shuffling import order_attributes, order_words, shuffle
from tests.sheets.building import ORDER, make_attribute, make_sheet

WORDS = make_attribute("words", TickAll(words=("papery", "woody", "earthy", "soapy")))
NAMES = ("sweet", "bitter", "sour", "clean")
SHEET = make_sheet(*map(make_attribute, NAMES), shuffled=True)


def seeds(number: int) -> list[str]:
    """Ids of servings that differ in a few bits only: harder than random ones."""
    return [str(UUID(int=n)) for n in range(number)]


@pytest.mark.parametrize("of", ["attributes", "words"])
def test_every_order_is_as_likely_as_any(of: str) -> None:
    """Pearson's chi-squared over all 24 orders of four, by SciPy."""
    if of == "words":
        orders = Counter(order_words(WORDS, seed) for seed in seeds(4800))
    else:
        orders = Counter(order_attributes(SHEET, seed) for seed in seeds(4800))
    assert len(orders) == 24
    assert stats.chisquare(list(orders.values())).pvalue > 0.001


def test_attributes_and_words_of_one_seat_are_shuffled_apart() -> None:
    pairs = Counter(
        (order_words(WORDS, seed)[0], order_attributes(SHEET, seed)[0].name) for seed in seeds(1600)
    )
    assert stats.chisquare([pairs[key] for key in pairs]).pvalue > 0.001
    assert len(pairs) == 16


@given(st.permutations(NAMES), st.uuids())
def test_an_order_does_not_depend_on_how_things_came_in(things: list[str], seed: UUID) -> None:
    assert shuffle(things, str(seed)) == shuffle(NAMES, str(seed))


@given(st.uuids(), st.sampled_from(NAMES))
def test_leaving_one_out_leaves_the_others_in_order(seed: UUID, gone: str) -> None:
    rest = [name for name in NAMES if name != gone]
    whole = shuffle(NAMES, str(seed))
    assert shuffle(rest, str(seed)) == tuple(name for name in whole if name != gone)


def test_a_sheet_that_is_not_shuffled_has_one_order_for_everybody() -> None:
    fixed = SHEET.model_copy(update={"shuffled": False})
    assert {order_attributes(fixed, seed) for seed in seeds(30)} == {SHEET.attributes}


def test_what_looks_back_on_the_rest_keeps_its_place() -> None:
    parts = (make_attribute("sweet"), make_attribute("order", ORDER), make_attribute("sour"))
    sheet = make_sheet(*parts, make_attribute("note", Comment()), shuffled=True, own_words=1)
    mine = add_words(sheet, ["hay"])
    orders = {tuple(one.name for one in order_attributes(mine, seed)) for seed in seeds(30)}
    assert orders == {
        ("sweet", "order", "sour", "note", "own-1"),
        ("sour", "order", "sweet", "note", "own-1"),
    }


def test_words_keep_their_numbers_wherever_they_stand() -> None:
    assert {frozenset(order_words(WORDS, seed)) for seed in seeds(30)} == {
        frozenset(enumerate(WORDS.scale.words))
    }


def test_an_attribute_without_words_to_tick_is_refused() -> None:
    with pytest.raises(ValueError, match="not a scale of kind 'line'"):
        order_words(make_attribute(), "7")


def test_all_orders_of_four_are_met() -> None:
    assert {shuffle(NAMES, seed) for seed in seeds(1000)} == set(permutations(NAMES))
