import json
from dataclasses import asdict
from itertools import combinations, permutations
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.balance import NOT_CONNECTED, Aspect, check_balance

PLANS = st.lists(
    st.sets(st.sampled_from("ABCDE"), min_size=1).flatmap(lambda s: st.permutations(sorted(s))),
    min_size=1,
    max_size=12,
)


# Four samples shifted in a circle: balanced for position, each always follows the same one
# (recomputed independently: positions 1 each; ordered neighbours from 0 to 3).
def test_a_circle_of_orders_is_balanced_for_position_only() -> None:
    found = check_balance("ABCD", ["ABCD", "BCDA", "CDAB", "DABC"])
    assert found.uneven == (Aspect.NEIGHBOURS,)
    assert (found.ranges[Aspect.POSITIONS], found.ranges[Aspect.NEIGHBOURS]) == ((1, 1), (0, 3))


# Blocks of designs with the parameters of Cochran and Cox 1957, table 11.3 (parameters from
# memory; blocks recomputed independently).
@pytest.mark.parametrize(
    ("parameters", "blocks"),
    [
        ((4, 2, 3, 6, 1), "01 02 03 12 13 23"),
        ((4, 3, 3, 4, 2), "012 013 023 123"),
        ((6, 3, 5, 10, 2), "012 013 024 035 045 125 134 145 234 235"),
        ((7, 3, 3, 7, 1), "013 124 235 346 045 156 026"),
        ((9, 3, 4, 12, 1), "012 345 678 036 147 258 048 156 237 057 138 246"),
    ],
)
def test_known_block_designs_are_recognised(
    parameters: tuple[int, int, int, int, int], blocks: str
) -> None:
    samples, size, replications, many, concurrences = parameters
    found = check_balance("012345678"[:samples], blocks.split())
    assert (found.orders, found.sizes) == (many, {size: many})
    assert found.ranges[Aspect.SERVINGS] == (replications, replications)
    assert found.ranges[Aspect.PAIRS] == (concurrences, concurrences)
    assert found.efficiency == pytest.approx(concurrences * samples / (replications * size))


@given(PLANS)
def test_counts_agree_with_counting_one_at_a_time(plan: list[list[str]]) -> None:
    found = check_balance("ABCDE", plan)
    for one, other in permutations("ABCDE", 2):
        assert found.pairs[one][other] == sum({one, other} <= set(order) for order in plan)
        assert found.neighbours[one][other] == sum(one + other in "".join(o) for o in plan)


@given(PLANS)
def test_a_sample_is_served_as_often_as_it_stands_somewhere(plan: list[list[str]]) -> None:
    found = check_balance("ABCDE", plan)
    assert found.servings == {name: sum("".join(o).count(name) for o in plan) for name in "ABCDE"}
    assert found.servings == {name: sum(counts) for name, counts in found.positions.items()}


@given(PLANS, st.permutations("ABCDE"))
def test_other_names_change_no_range(plan: list[list[str]], names: list[str]) -> None:
    renamed = [["ABCDE"[names.index(one)] for one in order] for order in plan]
    assert check_balance("ABCDE", renamed).ranges == check_balance("ABCDE", plan).ranges


def test_all_orders_are_balanced_in_everything() -> None:
    assert check_balance("ABCD", list(permutations("ABCD"))).uneven == ()


def test_one_order_for_everybody_is_shown_as_uneven() -> None:
    found = check_balance("ABC", ["ABC"] * 4)
    assert found.uneven == (Aspect.POSITIONS, Aspect.NEIGHBOURS)
    assert found.positions["B"] == (0, 4, 0)


def test_orders_of_different_length_are_counted_too() -> None:
    found = check_balance("ABC", ["AB", "CAB", "C"])
    assert (found.sizes, found.positions["A"]) == ({1: 1, 2: 1, 3: 1}, (1, 1, 0))
    assert Aspect.SIZES in found.uneven


def test_a_sample_that_is_never_served_counts_as_nothing_and_cannot_be_compared() -> None:
    found = check_balance("ABC", ["AB", "BA"])
    assert (found.servings["C"], found.ranges[Aspect.PAIRS]) == (0, (0, 2))
    assert (found.efficiency, found.notes) == (None, (NOT_CONNECTED,))


def test_the_counts_can_be_written_as_json() -> None:
    found = check_balance("ABC", [Random(1).sample("ABC", 3) for _ in range(4)])
    assert json.loads(json.dumps(asdict(found), allow_nan=False))["orders"] == 4


def test_all_pairs_of_many_samples_are_balanced_pairs() -> None:
    names = [f"bowl {n}" for n in range(20)]
    assert Aspect.PAIRS not in check_balance(names, list(combinations(names, 2))).uneven


@pytest.mark.parametrize(
    ("samples", "orders", "message"),
    [
        ("A", ["A"], "samples must be two or more"),
        ("AA", ["A"], "samples must be two or more"),
        ("AB", [], "orders must not be empty"),
        ("AB", ["AB", ""], "orders must hold known samples"),
        ("AB", ["ABA"], "orders must hold known samples"),
        ("AB", ["AC"], "orders must hold known samples"),
    ],
)
def test_what_is_no_plan_is_refused(samples: str, orders: list[str], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        check_balance(samples, orders)
