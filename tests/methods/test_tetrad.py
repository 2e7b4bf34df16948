import pytest

from server.methods.base import InvalidAnswer
from server.methods.tetrad import TETRAD, sort_cups

CODES = ("412", "587", "936", "263")


@pytest.mark.parametrize(
    ("percepts", "right"),
    [
        ((0, 1, 2, 3), True),
        ((3, 2, 0, 1), True),
        ((0, 2, 1, 3), False),
        ((0, 3, 1, 2), False),  # one sample around the other
        ((1, 2, 0, 3), False),
        ((0, 1, 1, 3), False),  # a tie at the border of the pairs
    ],
)
def test_the_two_weakest_and_the_two_strongest_are_paired(percepts, right):
    assert TETRAD.decide(percepts).item() is right


def test_there_are_six_orders_of_two_cups_and_two():
    # 4! / (2! 2!) arrangements: counting.
    assert len(TETRAD.orders) == 6
    assert {order.count("A") for order in TETRAD.orders} == {2}


def test_there_are_three_ways_to_sort_four_cups_into_two_pairs():
    assert [pairs[0] for pairs in sort_cups(CODES)] == [
        ("412", "587"), ("412", "936"), ("412", "263"),
    ]  # fmt: skip
    assert all({*one, *other} == set(CODES) for one, other in sort_cups(CODES))


@pytest.mark.parametrize(
    "written", ["412 263 / 587 936", "263 412/936 587", " 936 587 / 412 263 ", "587 936 / 263 412"]
)
def test_one_sorting_has_one_body_however_it_is_written(written):
    assert TETRAD.parse_answer({"pairs": written}, CODES)["pairs"] == "412 263 / 587 936"


@pytest.mark.parametrize(
    "written",
    ["412", "412 587", "412 587 / 936", "412 587 / 412 263", "412 587 / 936 111",
     "412 587 936 / 263", "412 / 587 / 936 263", "/"],
)  # fmt: skip
def test_what_is_no_sorting_into_two_pairs_is_refused(written):
    with pytest.raises(InvalidAnswer, match="pairs: Sort the four cups"):
        TETRAD.parse_answer({"pairs": written}, CODES)


@pytest.mark.parametrize(("order", "partner"), [("AABB", "587"), ("BABA", "936"), ("BAAB", "263")])
def test_the_pairs_of_the_samples_are_right(order, partner):
    rights = [
        pairs[0][1]
        for pairs in sort_cups(CODES)
        if TETRAD.is_correct({"pairs": " / ".join(map(" ".join, pairs))}, CODES, order)
    ]
    assert rights == [partner]


def test_an_order_of_three_and_one_is_none_of_a_tetrad():
    with pytest.raises(ValueError, match="order must be one of"):
        TETRAD.is_correct({"pairs": "412 587 / 936 263"}, CODES, "AAAB")
