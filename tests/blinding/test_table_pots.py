from collections import Counter
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.allocation import RoundPots
from server.blinding.table_pots import count_alike, plan_table_pots, plan_warm_up_pots
from server.blinding.table_stands import list_scored
from tests.drawn_tables import draw_batches, plan_table


@pytest.mark.parametrize(
    ("changed", "pots"),
    [
        ({}, RoundPots(2, 1, 12)),  # 7 cups of 40 mL: one pot of 500 mL would do, two are made
        ({"bowls": 3}, RoundPots(3, 1, 12)),  # 21 cups, three of them before one seat
        ({"assessors": 30}, RoundPots(3, 1, 12)),  # 31 cups
        ({"duplicates": ("A",), "bowls": 2}, RoundPots(4, 1, 12)),
        ({"pots": "blend"}, RoundPots(1, 2, 25)),
        ({"pots": "blend", "assessors": 30}, RoundPots(1, 3, 37)),  # 31 cups are 1240 mL
        ({"pots": "single"}, RoundPots(1, 1, 12)),
        ({"style": "shared", "bowls": 5}, RoundPots(5, 1, 1)),
        ({"style": "shared", "bowls": 5, "duplicates": ("A",)}, RoundPots(10, 1, 1)),
    ],
)
def test_brews_of_a_sample_follow_from_numbers_alone(
    changed: dict[str, Any], pots: RoundPots
) -> None:
    assert plan_table_pots(plan_table(**changed), "ABCD")["A"] == pots


# 30 seats with 3 of 6 samples each: 15 servings of each sample, and up to 1 spare one.
def test_in_blocks_a_sample_needs_pots_for_its_share_of_the_seats() -> None:
    pots = plan_table_pots(plan_table(assessors=30, block=3), "ABCDEF")
    assert {one.slots for one in pots.values()} == {2}


def test_in_blocks_a_reference_needs_pots_for_every_seat() -> None:
    pots = plan_table_pots(plan_table(assessors=30, block=3, reference="F"), "ABCDEF")
    assert (pots["F"].slots, pots["A"].slots) == (3, 2)


@given(st.integers(3, 9), st.integers(1, 20), st.integers(1, 4), st.integers(0, 4), st.integers())
def test_no_brew_of_a_block_fills_more_cups_than_it_has(
    samples: int, seats: int, sittings: int, spares: int, seed: int
) -> None:
    sealed = draw_batches(
        samples, seed, assessors=max(seats, samples), sittings=sittings, spare_seats=spares,
        block=samples - 1, cup_ml="100", bowls=2,
    )  # fmt: skip
    used = Counter(sealed.key[cup.id] for one in list_scored(sealed) for cup in one.cups)
    assert max(used.values()) <= 5


def test_bowls_and_duplicates_are_like_cups() -> None:
    table = plan_table(bowls=3, duplicates=("A",)).table
    assert table is not None
    assert (count_alike(table, "A"), count_alike(table, "B")) == (6, 3)


@pytest.mark.parametrize(
    ("changed", "slots"), [({}, 1), ({"assessors": 30}, 3), ({"style": "shared"}, 1)]
)
def test_a_warm_up_needs_one_pot_until_that_is_empty(changed: dict[str, Any], slots: int) -> None:
    assert plan_warm_up_pots(plan_table(warm_up="A", **changed)).slots == slots


def test_a_single_pot_that_is_too_small_is_refused() -> None:
    with pytest.raises(ValueError, match="pot_ml must fill 14 cups of 40 mL, got 500"):
        plan_table_pots(plan_table(pots="single", bowls=2), "AB")


def test_a_cup_larger_than_a_pot_is_refused() -> None:
    plan = plan_table(cup_ml="600")
    with pytest.raises(ValueError, match="cup_ml must be above 0 and at most pot_ml"):
        plan_table_pots(plan, "AB")
    with pytest.raises(ValueError, match="cup_ml must be above 0 and at most pot_ml"):
        plan_warm_up_pots(plan)
