import numpy as np
import pytest

from server.methods.base import InvalidAnswer
from server.methods.two_out_of_five import TWO_OUT_OF_FIVE, decide_by_squares

CODES = ("412", "587", "936", "263", "745")
TRIALS = 1_000_000


@pytest.mark.parametrize(
    ("percepts", "right"),
    [
        ((0, 1, 3, 4, 5), True),
        ((1, 0, 5, 3, 4), True),
        ((9, 8, 3, 4, 5), True),
        ((0, 1, 3, 6, 7), False),  # the wider gap is within the trio
        ((0, 1, 2, 3, 9), False),  # a tie of both inner gaps
        ((0, 2, 1, 3, 4), False),
        ((0, 9, 3, 4, 5), False),
    ],
)
def test_the_cups_are_split_at_the_wider_inner_gap(percepts, right):
    assert TWO_OUT_OF_FIVE.decide(percepts).item() is right


def sum_squares_within(pair: np.ndarray, trio: np.ndarray) -> float:
    return ((pair - pair.mean()) ** 2).sum() + ((trio - trio.mean()) ** 2).sum()


def test_the_rule_of_squares_is_the_least_of_all_ten_sums():
    for cups in np.random.default_rng(5).normal(size=(300, 5)):
        sums = [
            sum_squares_within(cups[[i, j]], np.delete(cups, [i, j]))
            for i in range(5)
            for j in range(i + 1, 5)
        ]
        assert decide_by_squares(cups).item() is (int(np.argmin(sums)) == 0)


@pytest.mark.parametrize(("d", "expected"), [(0, 0.0999), (1, 0.2132), (2, 0.4765), (3, 0.7314)])
def test_tasters_who_keep_squares_least_are_as_often_correct_as_computed(d, expected):
    # Recomputed independently by simulation, standard error .0003.
    pair = np.random.default_rng(25).normal(0, 1, (TRIALS, 2))
    trio = np.random.default_rng(35).normal(d, 1, (TRIALS, 3))
    right = decide_by_squares(np.hstack([pair, trio])).mean()
    assert right == pytest.approx(expected, abs=4 * (0.0003**2 + 0.25 / TRIALS) ** 0.5)


def test_there_are_twenty_orders_half_of_them_with_two_of_each_sample():
    # 5! / (2! 3!) arrangements of AAABB, and as many of AABBB: counting.
    assert len(TWO_OUT_OF_FIVE.orders) == 20
    assert sorted(order.count("A") for order in TWO_OUT_OF_FIVE.orders) == [2] * 10 + [3] * 10


@pytest.mark.parametrize(
    "form",
    [{"cup2": "587", "cup5": "745"}, {"cup5": "745", "cup2": "587"}, {"pair": "745 587"},
     {"pair": "587 745", "cup1": "", "cup4": ""}],
)  # fmt: skip
def test_one_pair_has_one_body_however_it_was_sent(form):
    assert TWO_OUT_OF_FIVE.parse_answer(form, CODES)["pair"] == "587 745"


@pytest.mark.parametrize("ticked", [0, 1, 3, 4, 5])
def test_any_other_number_of_ticks_than_two_is_refused(ticked):
    form = {f"cup{place}": code for place, code in enumerate(CODES[:ticked], 1)}
    with pytest.raises(InvalidAnswer, match="pair: Tick exactly two cups"):
        TWO_OUT_OF_FIVE.parse_answer(form, CODES)


def test_boxes_on_the_ballot_outweigh_a_pair_sent_beside_them():
    form = {"pair": "412 587", "cup3": "936", "cup4": "263"}
    assert TWO_OUT_OF_FIVE.parse_answer(form, CODES)["pair"] == "936 263"


@pytest.mark.parametrize("form", [{"cup1": "111", "cup2": "587"}, {"pair": "587 111"}])
def test_a_cup_that_is_not_on_the_tray_is_refused(form):
    with pytest.raises(InvalidAnswer, match="pair: That code is not on this tray"):
        TWO_OUT_OF_FIVE.parse_answer(form, CODES)


@pytest.mark.parametrize(
    ("order", "pair"), [("AABBB", "412 587"), ("BAABA", "412 263"), ("ABBAB", "412 263")]
)
def test_the_sample_served_twice_is_the_right_pair(order, pair):
    assert TWO_OUT_OF_FIVE.is_correct({"pair": pair}, CODES, order)
    assert not TWO_OUT_OF_FIVE.is_correct({"pair": "936 745"}, CODES, order)
