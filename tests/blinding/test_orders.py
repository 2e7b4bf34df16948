from collections import Counter
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import chdtrc

from server.blinding.orders import balance_report, balanced_orders, find_odd

TRIANGLE = ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB")
SEATS, ROUNDS, SEEDS = st.integers(1, 40), st.integers(1, 13), st.integers()


# ISO 4120:2021 asks for the six orders of a triad equally often, shuffled in blocks of six
# (paraphrased from retrieved text); the running balance makes it hold at any early end.
@given(SEATS, ROUNDS, SEEDS)
def test_after_any_round_the_orders_differ_by_at_most_one(
    seats: int, rounds: int, seed: int
) -> None:
    drawn = balanced_orders(TRIANGLE, seats, rounds, Random(seed))
    running: Counter[str] = Counter(dict.fromkeys(TRIANGLE, 0))
    for round_ in range(rounds):
        running.update(seat[round_] for seat in drawn)
        assert max(running.values()) - min(running.values()) <= 1


@given(SEATS, ROUNDS, SEEDS)
def test_a_seat_meets_each_order_once_in_six_rounds(seats: int, rounds: int, seed: int) -> None:
    for seat in balanced_orders(TRIANGLE, seats, rounds, Random(seed)):
        for start in range(0, rounds, 6):
            block = seat[start : start + 6]
            assert len(set(block)) == len(block)


@given(SEATS, ROUNDS, st.integers(1, 9), SEEDS)
def test_any_number_of_orders_is_balanced(seats: int, rounds: int, many: int, seed: int) -> None:
    orders = [f"o{n}" for n in range(many)]
    drawn = balanced_orders(orders, seats, rounds, Random(seed))
    assert balance_report(orders, drawn).widest <= 1


@given(SEATS, ROUNDS, SEEDS)
def test_there_is_an_order_for_every_seat_and_round(seats: int, rounds: int, seed: int) -> None:
    drawn = balanced_orders(TRIANGLE, seats, rounds, Random(seed))
    assert [len(seat) for seat in drawn] == [rounds] * seats


@pytest.mark.parametrize("seats", [1, 2, 5, 8])
def test_what_comes_next_is_even_over_the_orders_a_seat_has_yet_to_meet(seats: int) -> None:
    rng, counts = Random(seats), Counter[tuple[str, ...]]()
    for _ in range(3000):
        counts[tuple(balanced_orders(TRIANGLE, seats, 2, rng)[0])] += 1
    expected = 3000 / 30
    assert chdtrc(29, sum((n - expected) ** 2 / expected for n in counts.values())) > 0.001


def test_six_seats_do_not_always_share_out_the_orders_in_the_same_pattern() -> None:
    rng = Random(4)
    patterns = {tuple(map(tuple, balanced_orders(TRIANGLE, 6, 6, rng))) for _ in range(50)}
    assert len(patterns) == 50


def test_the_same_seed_draws_the_same_orders() -> None:
    first, second = (balanced_orders(TRIANGLE, 7, 4, Random(9)) for _ in range(2))
    assert first == second


@pytest.mark.parametrize(
    ("orders", "seats", "rounds", "message"),
    [
        ((), 1, 1, "orders must be"),
        (("AB", "AB"), 1, 1, "orders must be"),
        (("AB",), 0, 1, "seats must be at least 1, got 0"),
        (("AB",), 1, -2, "rounds must be at least 1, got -2"),
    ],
)
def test_what_cannot_be_drawn_is_refused(
    orders: tuple[str, ...], seats: int, rounds: int, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        balanced_orders(orders, seats, rounds, Random(1))


# 18 balanced triads are three of each of the six orders: counted by hand.
def test_eighteen_triads_hold_three_of_each_order() -> None:
    report = balance_report(TRIANGLE, balanced_orders(TRIANGLE, 6, 3, Random(2)))
    assert set(report.total.values()) == {3}


def test_the_report_counts_which_sample_is_odd_at_each_position() -> None:
    report = balance_report(TRIANGLE, balanced_orders(TRIANGLE, 6, 1, Random(2)))
    assert report.odd == {place: {"A": 1, "B": 1} for place in (1, 2, 3)}


def test_the_report_shows_one_order_for_everybody_as_unbalanced() -> None:
    assert balance_report(TRIANGLE, [["AAB"], ["AAB"]]).widest == 2


@pytest.mark.parametrize(("order", "place"), [("BAA", 1), ("ABA", 2), ("AB", None), ("AAA", None)])
def test_the_odd_cup_is_the_only_one_without_a_like_one(order: str, place: int | None) -> None:
    assert find_odd(order) == place
