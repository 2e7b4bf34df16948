from collections import Counter
from decimal import Decimal
from random import Random
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import chdtrc

from server.blinding.allocation import (
    RoundPots,
    allocate_slots,
    max_cups,
    plan_null_pots,
    plan_pots,
)
from server.blinding.orders import balanced_orders, find_odd
from server.blinding.plans import Pots


def table(assessors: int, spare_seats: int, cup_ml: int, pot_ml: int, pots: Pots) -> Any:
    return SimpleNamespace(
        assessors=assessors,
        spare_seats=spare_seats,
        cup_ml=Decimal(cup_ml),
        pot_ml=Decimal(pot_ml),
        pots=pots,
    )


TRIANGLE = ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB")
TWO = {"A": ("A1", "A2"), "B": ("B1", "B2")}
ROUNDS_OF_ORDERS = st.lists(st.sampled_from(TRIANGLE), min_size=1, max_size=40)


def spread(counts: Counter[str], names: tuple[str, ...]) -> int:
    return max(counts[name] for name in names) - min(counts[name] for name in names)


# A published worked amount: 18 balanced triads of 40 mL are 27 cups or 1080 mL a sample,
# that is 5 brews of 250 mL (arithmetic, recomputed).
def test_eighteen_triads_need_five_small_pots_of_each_sample() -> None:
    pots = plan_pots(table(18, 0, 40, 250, Pots.SEPARATE), TRIANGLE)
    assert pots == RoundPots(slots=5, brews=1, cups=6)


def test_a_single_seat_still_needs_two_pots_of_each_sample() -> None:
    assert plan_pots(table(1, 0, 40, 500, Pots.SEPARATE), TRIANGLE).pots == 2


def test_a_blend_is_made_of_at_least_two_brews() -> None:
    pots = plan_pots(table(1, 0, 40, 500, Pots.BLEND), TRIANGLE)
    assert pots == RoundPots(slots=1, brews=2, cups=25)


def test_a_blend_takes_as_many_brews_as_its_cups_need() -> None:
    pots = plan_pots(table(18, 0, 40, 250, Pots.BLEND), TRIANGLE)
    assert (pots.brews, pots.cups >= 27) == (5, True)


def test_three_seats_may_all_get_two_cups_of_one_sample() -> None:
    assert max_cups(TRIANGLE, 3) == 6


@given(st.integers(1, 40), st.integers())
def test_no_drawn_round_needs_more_cups_than_foreseen(seats: int, seed: int) -> None:
    drawn = balanced_orders(TRIANGLE, seats, 6, Random(seed))
    needed = ["".join(column).count(level) for column in zip(*drawn, strict=True) for level in "AB"]
    assert max(needed) <= max_cups(TRIANGLE, seats)


def test_a_single_pot_serves_a_small_table() -> None:
    assert plan_pots(table(6, 1, 40, 500, Pots.SINGLE), TRIANGLE) == RoundPots(1, 1, 12)


def test_a_single_pot_too_small_for_the_round_is_refused() -> None:
    with pytest.raises(ValueError, match="pot_ml must fill 11 cups of 40"):
        plan_pots(table(6, 1, 40, 400, Pots.SINGLE), TRIANGLE)


def test_a_null_control_takes_two_brews_of_one_sample_where_they_suffice() -> None:
    assert plan_null_pots(table(6, 0, 40, 500, Pots.SEPARATE), TRIANGLE).slots == 1


def test_a_large_null_control_takes_several_pairs_of_brews() -> None:
    assert plan_null_pots(table(20, 2, 40, 500, Pots.SEPARATE), TRIANGLE) == RoundPots(4, 1, 12)


@pytest.mark.parametrize("pot_ml", [40, 100])
def test_a_null_control_whose_brews_cannot_fill_two_servings_is_refused(pot_ml: int) -> None:
    with pytest.raises(ValueError, match="pot_ml must fill"):
        plan_null_pots(table(6, 1, 40, pot_ml, Pots.SEPARATE), TRIANGLE)


def test_a_pot_smaller_than_a_cup_is_refused() -> None:
    with pytest.raises(ValueError, match="cup_ml must be above 0 and at most pot_ml"):
        plan_pots(table(6, 0, 40, 30, Pots.SEPARATE), TRIANGLE)


@given(ROUNDS_OF_ORDERS, st.integers(2, 6), st.integers())
def test_like_cups_never_share_a_brew(orders: list[str], many: int, seed: int) -> None:
    slots = {level: tuple(f"{level}{n + 1}" for n in range(many)) for level in "AB"}
    for names in allocate_slots(orders, slots, 80, Random(seed)):
        assert len(set(names)) == 3


@given(ROUNDS_OF_ORDERS, st.integers(2, 6), st.integers())
def test_every_cup_gets_a_brew_of_its_own_sample(orders: list[str], many: int, seed: int) -> None:
    slots = {level: tuple(f"{level}{n + 1}" for n in range(many)) for level in "AB"}
    filled = allocate_slots(orders, slots, 80, Random(seed))
    assert ["".join(name[0] for name in names) for names in filled] == orders


@given(ROUNDS_OF_ORDERS, st.integers(2, 6), st.integers())
def test_brews_of_a_sample_fill_equally_many_cups_or_one_more(
    orders: list[str], many: int, seed: int
) -> None:
    slots = {level: tuple(f"{level}{n + 1}" for n in range(many)) for level in "AB"}
    filled = allocate_slots(orders, slots, 80, Random(seed))
    counts = Counter(name for names in filled for name in names)
    assert all(spread(counts, slots[level]) <= 1 for level in "AB")


@pytest.mark.parametrize("seed", range(20))
def test_in_six_seats_each_brew_is_odd_equally_often_or_once_more(seed: int) -> None:
    rng = Random(seed)
    orders = [seat[0] for seat in balanced_orders(TRIANGLE, 6, 1, rng)]
    filled = allocate_slots(orders, TWO, 6, rng)
    odd = Counter(n[(find_odd(o) or 0) - 1] for o, n in zip(orders, filled, strict=True))
    assert all(spread(odd, TWO[level]) <= 1 for level in "AB")


@pytest.mark.parametrize("seed", range(20))
def test_in_six_seats_each_brew_stands_at_each_position_equally_often_or_once_more(
    seed: int,
) -> None:
    rng = Random(seed)
    orders = [seat[0] for seat in balanced_orders(TRIANGLE, 6, 1, rng)]
    filled = allocate_slots(orders, TWO, 6, rng)
    for place in range(3):
        counts = Counter(names[place] for names in filled)
        assert all(spread(counts, TWO[level]) <= 1 for level in "AB")


@given(ROUNDS_OF_ORDERS, st.integers(0, 6), st.integers())
def test_the_seats_that_count_are_balanced_without_the_spare_ones(
    orders: list[str], spares: int, seed: int
) -> None:
    spares = min(spares, len(orders))
    filled = allocate_slots(orders, TWO, 80, Random(seed), spares=spares)
    counts = Counter(name for names in filled[: len(orders) - spares] for name in names)
    assert all(spread(counts, TWO[level]) <= 1 for level in "AB")


# Independence: over many draws, which brew a seat's cup comes from follows no pattern.
def test_which_brew_fills_a_cup_says_nothing_about_the_seat() -> None:
    rng, counts, slots = Random(11), [Counter[str]() for _ in range(6)], ("A1", "A2", "B1", "B2")
    for _ in range(2000):
        orders = [seat[0] for seat in balanced_orders(TRIANGLE, 6, 1, rng)]
        for seat, names in enumerate(allocate_slots(orders, TWO, 6, rng)):
            counts[seat][names[0]] += 1
    chi_square = sum((c[name] - 500) ** 2 / 500 for c in counts for name in slots)
    assert chdtrc(6 * 3, chi_square) > 0.001


# Given its order, the odd cup comes from either brew equally often.
def test_which_brew_is_odd_is_a_toss_up_for_every_seat() -> None:
    rng, firsts = Random(12), [0] * 6
    for _ in range(2000):
        for seat, names in enumerate(allocate_slots(["AAB"] * 6, TWO, 12, rng)):
            firsts[seat] += names[2] == "B1"
    assert chdtrc(6, sum((n - 1000) ** 2 / 500 for n in firsts)) > 0.001


def test_a_blend_may_fill_both_like_cups() -> None:
    filled = allocate_slots(["ABA"], {"A": ("A1",), "B": ("B1",)}, 6, Random(1), share=True)
    assert filled == [("A1", "B1", "A1")]


@given(
    st.lists(st.sampled_from(["AABBB", "BABAB", "BBBAA"]), min_size=1, max_size=20), st.integers()
)
def test_five_cups_of_two_and_three_are_filled_from_different_brews(
    orders: list[str], seed: int
) -> None:
    slots = {"A": ("A1", "A2", "A3"), "B": ("B1", "B2", "B3")}
    assert all(len(set(names)) == 5 for names in allocate_slots(orders, slots, 99, Random(seed)))


def test_more_cups_than_the_pots_hold_are_refused() -> None:
    with pytest.raises(ValueError, match="capacity: 8 cups of A do not fit 2 slots of 3 cups"):
        allocate_slots(["AAB"] * 4, TWO, 3, Random(1))


def test_one_pot_for_two_like_cups_is_refused() -> None:
    with pytest.raises(ValueError, match="slots: 2 like cups of A need as many slots, got 1"):
        allocate_slots(["AAB"], {"A": ("A1",), "B": ("B1", "B2")}, 6, Random(1))
