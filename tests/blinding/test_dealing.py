from collections import Counter
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.dealing import Order, deal_evenly

# The affine plane of order 3: nine samples, twelve blocks of three in four parallel classes
# (a textbook example; any two samples are in one block).
PLANE = [
    tuple(block)
    for block in (
        "ABC",
        "DEF",
        "GHI",
        "ADG",
        "BEH",
        "CFI",
        "AEI",
        "BFG",
        "CDH",
        "AFH",
        "BDI",
        "CEG",
    )
]


@given(st.integers(1, 6), st.integers(1, 4), st.integers())
def test_all_servings_are_dealt_and_nothing_else(seats: int, sittings: int, seed: int) -> None:
    orders = [tuple(Random(n).sample("ABCDE", 3)) for n in range(seats * sittings)]
    plan = deal_evenly(orders, seats, sittings, Random(seed))
    assert [len(row) for row in plan] == [sittings] * seats
    assert Counter(order for row in plan for order in row) == Counter(orders)


def count_uneven(plan: list[list[Order]]) -> int:
    return sum(
        n**2 for row in plan for n in Counter(one for order in row for one in order).values()
    )


# Dealt so that each seat has a parallel class, every count is 1: the least sum is 36.
@pytest.mark.parametrize("seed", range(8))
def test_four_seats_of_three_sittings_meet_nine_samples_once_each(seed: int) -> None:
    assert count_uneven(deal_evenly(PLANE, 4, 3, Random(seed))) <= 40
    assert count_uneven([PLANE[seat::4] for seat in range(4)]) > 44


def test_sittings_are_evened_after_seats() -> None:
    plan = deal_evenly([("A",), ("A",), ("B",), ("B",)], 2, 2, Random(1))
    assert [sorted(row) for row in plan] == [[("A",), ("B",)]] * 2
    assert {row[0] for row in plan} == {("A",), ("B",)}


def test_another_number_of_servings_is_refused() -> None:
    with pytest.raises(ValueError, match="orders must be 4, got 12"):
        deal_evenly(PLANE, 2, 2, Random(1))
