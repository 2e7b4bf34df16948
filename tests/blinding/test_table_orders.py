from collections import Counter
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.plans import TablePlan
from server.blinding.table_orders import count_beside, draw_own_orders, draw_ring, draw_samples

LEVELS = "ABCDEFGHIJKL"


@given(st.integers(2, 12), st.integers(2, 5), st.integers())
def test_scattered_bowls_come_lap_by_lap(samples: int, bowls: int, seed: int) -> None:
    table = TablePlan(sheet={}, bowls=bowls, scattered=True)
    levels = LEVELS[:samples]
    ((order,),) = draw_own_orders(table, levels, 1, 1, Random(seed))
    laps = [order[start : start + samples] for start in range(0, len(order), samples)]
    assert [sorted(lap) for lap in laps] == [list(levels)] * bowls


# By chance a lap starts with the sample that ended the last one in a sixth of the cases.
def test_scattered_bowls_of_a_sample_seldom_follow_each_other() -> None:
    table = TablePlan(sheet={}, bowls=4, scattered=True)
    plan = draw_own_orders(table, LEVELS[:6], 30, 1, Random(1))
    repeats = sum(one == two for (order,) in plan for one, two in pairwise(order))
    assert repeats <= 3  # 15 by chance


# With eight samples in blocks of four the smallest design has 14 blocks (Cochran and Cox 1957,
# plan 11.10, from memory: t = 8, k = 4, r = 7, b = 14, λ = 3).
def test_blocks_over_seats_and_sittings_are_one_balanced_design() -> None:
    plan = draw_samples(TablePlan(sheet={}, block=4), LEVELS[:8], 7, 2, Random(1))
    groups = [set(group) for seat in plan for group in seat]
    pairs = Counter((a, b) for group in groups for a in group for b in group if a < b)
    assert set(pairs.values()) == {3}
    assert len(pairs) == 28


# The six pairs of four samples are three times two that share none.
@pytest.mark.parametrize("seed", range(5))
def test_each_seat_meets_every_sample_where_the_design_allows_it(seed: int) -> None:
    plan = draw_samples(TablePlan(sheet={}, block=2), LEVELS[:4], 3, 2, Random(seed))
    assert [sorted(first + second) for first, second in plan] == [list("ABCD")] * 3


def test_one_sample_beside_a_reference_takes_turns() -> None:
    table = TablePlan(sheet={}, block=2, reference="A")
    plan = draw_samples(table, "ABCD", 3, 3, Random(1))
    assert {tuple(sorted(Counter(sum(row, ())).items())) for row in plan} == {
        (("A", 3), ("B", 1), ("C", 1), ("D", 1))
    }


@given(st.integers(2, 12), st.integers(1, 5), st.booleans(), st.integers())
def test_around_a_shared_table_no_sample_stands_beside_itself(
    samples: int, many: int, twice: bool, seed: int
) -> None:
    levels = LEVELS[:samples]
    table = (
        TablePlan(sheet={}, duplicates=tuple(levels[:many]))
        if twice and samples + min(many, samples) > 3
        else TablePlan(sheet={}, bowls=many, scattered=many > 1)
    )
    ring = draw_ring(table, levels, Random(seed))
    assert count_beside(ring) == 0
    assert set(ring) == set(levels)


@pytest.mark.parametrize("seed", range(3))
def test_around_three_places_two_of_a_sample_stand_beside_each_other(seed: int) -> None:
    ring = draw_ring(TablePlan(sheet={}, duplicates=("A",)), "AB", Random(seed))
    assert (count_beside(ring), sorted(ring)) == (1, ["A", "A", "B"])
