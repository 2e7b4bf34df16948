import itertools

import pytest

from server.methods.base import InvalidAnswer
from server.methods.triangle import TRIANGLE, get_odd_position

CODES = ("412", "587", "936")


def test_an_answer_is_a_pick_a_guess_and_a_comment():
    body = TRIANGLE.parse_answer({"pick": "587", "guess": "on", "comment": " thin "}, CODES)
    assert body == {"pick": "587", "guess": True, "comment": "thin"}


def test_a_cue_stands_in_the_answer_where_the_form_asked_for_one():
    body = TRIANGLE.parse_answer({"pick": "587", "cued": "on", "cue": "foam"}, CODES)
    assert body["cue"] == "foam"


@pytest.mark.parametrize("form", [{}, {"pick": "none", "guess": "on"}, {"guess": "on"}])
def test_a_guess_still_needs_a_pick(form):
    # Forced choice, as ISO 4120 asks for: "no difference" is not an answer.
    with pytest.raises(InvalidAnswer, match="pick: "):
        TRIANGLE.parse_answer(form, CODES)


def test_the_orders_are_the_six_that_hold_both_samples():
    # ISO 4120: AAB ABA BAA BBA BAB ABB.
    all_orders = {"".join(levels) for levels in itertools.product("AB", repeat=3)}
    assert set(TRIANGLE.orders) == all_orders - {"AAA", "BBB"}
    assert len(TRIANGLE.orders) == 6


@pytest.mark.parametrize(
    ("order", "odd"),
    [
        ("AAB", "936"),
        ("ABA", "587"),
        ("BAA", "412"),
        ("BBA", "936"),
        ("BAB", "587"),
        ("ABB", "412"),
    ],
)
def test_only_the_odd_cup_is_correct(order, odd):
    right = [code for code in CODES if TRIANGLE.is_correct({"pick": code}, CODES, order)]
    assert right == [odd]


def test_each_position_is_odd_in_two_of_the_six_orders():
    assert sorted(map(get_odd_position, TRIANGLE.orders)) == [0, 0, 1, 1, 2, 2]


def test_guessing_is_correct_in_one_of_three():
    picks = [
        TRIANGLE.is_correct({"pick": code}, CODES, order)
        for code in CODES
        for order in TRIANGLE.orders
    ]
    assert sum(picks) / len(picks) == TRIANGLE.model.chance


@pytest.mark.parametrize("order", ["AAA", "AB", "", "CCA"])
def test_an_order_of_another_kind_is_refused(order):
    with pytest.raises(ValueError, match="order must be one of"):
        TRIANGLE.is_correct({"pick": "412"}, CODES, order)


def test_a_tray_of_two_is_refused():
    with pytest.raises(ValueError, match="codes must be 3, not 2"):
        TRIANGLE.is_correct({"pick": "412"}, CODES[:2], "AAB")


def test_an_assessor_reads_nothing_about_the_samples():
    words = f"{TRIANGLE.question} {TRIANGLE.instruction}".lower()
    assert not any(word in words for word in ("sample a", "taint", "coffee", "water", "part"))


@pytest.mark.parametrize(
    ("percepts", "right"),
    [
        ((3, 0, 1), True),
        ((-3, 0, 1), True),
        ((1, 0, 3), False),
        ((0.5, 0, 1), False),  # between the two others
        ((2, 0, 1), False),  # a tie of both gaps
    ],
)
def test_a_taster_picks_the_cup_that_is_farthest_from_both_others(percepts, right):
    assert TRIANGLE.decide(percepts).item() is right
