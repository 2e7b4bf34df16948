from collections import Counter
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import chdtrc

from server.blinding.balance import Aspect, check_balance
from server.blinding.williams import Order, draw_williams, williams_rows

LETTERS = "ABCDEFGHIJKLMNOP"
SAMPLES, SEATS, ROUNDS = st.integers(2, 16), st.integers(1, 40), st.integers(1, 5)


def flat(plan: list[list[Order]], rounds: int | None = None) -> list[Order]:
    return [order for seat in plan for order in seat[:rounds]]


# E. J. Williams 1949 (abstract read: t orders suffice for even t, 2 t for odd t). The orders:
# his construction A B t C t-1 ..., recomputed independently.
@pytest.mark.parametrize(
    ("samples", "orders"),
    [
        (3, "ABC BCA CAB CBA ACB BAC"),
        (4, "ABDC BCAD CDBA DACB"),
        (5, "ABECD BCADE CDBEA DECAB EADBC DCEBA EDACB AEBDC BACED CBDAE"),
        (6, "ABFCED BCADFE CDBEAF DECFBA EFDACB FAEBDC"),
    ],
)
def test_the_orders_are_those_of_the_construction(samples: int, orders: str) -> None:
    rows = ["".join(LETTERS[one] for one in row) for row in williams_rows(samples)]
    assert rows == orders.split()


# What the design is for (Williams 1949): 1 each for even t, 2 each for odd t.
@pytest.mark.parametrize("samples", range(2, 17))
def test_each_sample_stands_at_each_place_and_follows_each_other_alike(samples: int) -> None:
    rows = [[LETTERS[one] for one in row] for row in williams_rows(samples)]
    found = check_balance(LETTERS[:samples], rows)
    each = 1 + samples % 2
    assert found.ranges[Aspect.POSITIONS] == (each, each)
    assert found.ranges[Aspect.NEIGHBOURS] == (each, each)


@given(SAMPLES, SEATS, ROUNDS, st.integers())
def test_after_any_round_positions_differ_by_one_at_most(
    samples: int, seats: int, rounds: int, seed: int
) -> None:
    plan = draw_williams(LETTERS[:samples], seats, rounds, Random(seed))
    for done in range(1, rounds + 1):
        for column in zip(*flat(plan, done), strict=True):
            counts = [column.count(name) for name in LETTERS[:samples]]
            assert max(counts) - min(counts) <= 1


@given(SAMPLES, SEATS, ROUNDS, st.integers())
def test_after_any_round_neighbours_differ_by_one_or_two_at_most(
    samples: int, seats: int, rounds: int, seed: int
) -> None:
    plan = draw_williams(LETTERS[:samples], seats, rounds, Random(seed))
    for done in range(1, rounds + 1):
        found = check_balance(LETTERS[:samples], flat(plan, done))
        least, most = found.ranges[Aspect.NEIGHBOURS]
        assert most - least <= 1 + samples % 2


@given(SAMPLES, SEATS, st.integers())
def test_in_one_round_positions_are_even_after_any_seat(
    samples: int, seats: int, seed: int
) -> None:
    orders = flat(draw_williams(LETTERS[:samples], seats, 1, Random(seed)))
    for seated in range(1, seats + 1):
        for column in zip(*orders[:seated], strict=True):
            counts = [column.count(name) for name in LETTERS[:samples]]
            assert max(counts) - min(counts) <= 1


@pytest.mark.parametrize("samples", range(2, 17))
def test_a_panel_that_is_a_multiple_of_the_design_is_balanced_in_everything(samples: int) -> None:
    seats = 2 * len(williams_rows(samples))
    plan = draw_williams(LETTERS[:samples], seats, 3, Random(samples))
    assert check_balance(LETTERS[:samples], flat(plan)).uneven == ()


@given(SAMPLES, SEATS, st.integers())
def test_no_seat_meets_an_order_twice_while_there_are_others(
    samples: int, seats: int, seed: int
) -> None:
    rounds = len(williams_rows(samples))
    plan = draw_williams(LETTERS[:samples], seats, rounds, Random(seed))
    assert all(len(set(seat)) == rounds for seat in plan)


@given(st.integers(2, 7).map(lambda half: 2 * half + 1), st.integers())
def test_a_pair_of_seats_with_an_odd_number_of_samples_repeats_no_neighbours(
    samples: int, seed: int
) -> None:
    orders = flat(draw_williams(LETTERS[:samples], 2, 1, Random(seed)))
    counts = Counter(pair for order in orders for pair in pairwise(order))
    assert max(counts.values()) == 1


# Over many draws each of the 24 orders of four samples is as likely as any other for a seat.
@pytest.mark.parametrize("rounds", [1, 2])
def test_a_seat_gets_any_order_equally_often(rounds: int) -> None:
    rng, counts = Random(rounds), Counter[Order]()
    for _ in range(1920):
        counts[draw_williams("ABCD", 5, rounds, rng)[2][-1]] += 1
    assert chdtrc(23, sum((n - 80) ** 2 / 80 for n in counts.values())) > 0.001


def test_the_same_seed_draws_the_same_plan() -> None:
    first, second = (draw_williams("ABCDE", 7, 3, Random(9)) for _ in range(2))
    assert first == second


def test_a_single_sample_has_no_design() -> None:
    with pytest.raises(ValueError, match="samples must be at least 2, got 1"):
        williams_rows(1)


@pytest.mark.parametrize(
    ("samples", "seats", "rounds", "message"),
    [
        ("A", 1, 1, "samples must be two or more"),
        ("AA", 1, 1, "samples must be two or more"),
        ("AB", 0, 1, "seats must be at least 1, got 0"),
        ("AB", 1, 0, "rounds must be at least 1, got 0"),
    ],
)
def test_what_cannot_be_drawn_is_refused(
    samples: str, seats: int, rounds: int, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        draw_williams(samples, seats, rounds, Random(1))
