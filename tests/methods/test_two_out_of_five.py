import numpy as np
import pytest

from server.methods.two_out_of_five import TWO_OUT_OF_FIVE, decide_by_squares

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
