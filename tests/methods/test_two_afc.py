import itertools

import pytest

from server.methods.base import InvalidAnswer
from server.methods.two_afc import TWO_AFC

CODES = ("412", "587")


@pytest.mark.parametrize(("weaker", "stronger", "right"), [(0, 1, True), (1, 0, False)])
def test_the_larger_percept_is_said_to_be_stronger(weaker, stronger, right):
    assert TWO_AFC.decide([weaker, stronger]).item() is right


def test_the_orders_are_the_two_that_hold_both_samples():
    # ISO 5495: AB and BA.
    both = {"".join(levels) for levels in itertools.product("AB", repeat=2)} - {"AA", "BB"}
    assert set(TWO_AFC.orders) == both


@pytest.mark.parametrize(("order", "more"), [("AB", "587"), ("BA", "412")])
def test_only_the_cup_of_the_sample_with_more_is_correct(order, more):
    right = [code for code in CODES if TWO_AFC.is_correct({"pick": code}, CODES, order)]
    assert right == [more]


def test_guessing_is_correct_in_one_of_two():
    picks = [
        TWO_AFC.is_correct({"pick": code}, CODES, order)
        for code in CODES
        for order in TWO_AFC.orders
    ]
    assert sum(picks) / len(picks) == TWO_AFC.model.chance


def test_an_answer_is_a_pick_a_guess_a_cue_and_a_comment():
    form = {"pick": "587", "guess": "on", "cue": "", "comment": " dry "}
    assert TWO_AFC.parse_answer(form, CODES) == {
        "pick": "587",
        "guess": True,
        "cue": "",
        "comment": "dry",
    }


def test_a_guess_still_needs_a_pick():
    # Forced choice, as ISO 5495 asks for.
    with pytest.raises(InvalidAnswer, match="pick: "):
        TWO_AFC.parse_answer({"guess": "on"}, CODES)


@pytest.mark.parametrize("order", ["AA", "AAB", ""])
def test_an_order_of_another_kind_is_refused(order):
    with pytest.raises(ValueError, match="order must be one of AB, BA"):
        TWO_AFC.is_correct({"pick": "412"}, CODES, order)


def test_a_tray_of_three_is_refused():
    with pytest.raises(ValueError, match="codes must be 2, not 3"):
        TWO_AFC.is_correct({"pick": "412"}, (*CODES, "936"), "AB")


def test_an_assessor_reads_nothing_about_the_samples():
    words = f"{TWO_AFC.question} {TWO_AFC.verdict} {TWO_AFC.instruction}".lower()
    assert not any(word in words for word in ("sample", "taint", "coffee", "water", "part"))
