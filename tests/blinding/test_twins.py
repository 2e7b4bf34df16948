from collections import Counter
from itertools import pairwise
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.blinding.twins import Order, draw_apart

LEVELS = "ABCDEFGHIJKL"


@st.composite
def groups(draw: Any, least: int = 2) -> list[str]:
    """Servings of equally many samples, some of them twice in each."""
    samples = draw(st.integers(2, 12))
    twice = draw(st.integers(0, samples))
    size = draw(st.integers(max(2, twice), samples).filter(lambda n: n + twice >= least))
    rng = Random(draw(st.integers()))
    others = LEVELS[twice:samples]
    return [
        LEVELS[:twice] * 2 + "".join(rng.sample(others, size - twice))
        for _ in range(draw(st.integers(1, 60)))
    ]


def count_twins(orders: list[Order]) -> int:
    return sum(one == two for order in orders for one, two in pairwise(order))


@settings(max_examples=settings().max_examples // 3)
@given(groups(), st.integers())
def test_positions_of_a_sample_are_even_whatever_stands_twice(drawn: list[str], seed: int) -> None:
    orders = draw_apart(drawn, Random(seed))
    for level in set("".join(drawn)):
        counts = [column.count(level) for column in zip(*orders, strict=True)]
        assert max(counts) - min(counts) <= 1
    assert [sorted(order) for order in orders] == [sorted(group) for group in drawn]


@settings(max_examples=settings().max_examples // 3)
@given(groups(least=4), st.integers())
def test_twins_never_stand_side_by_side_among_four_or_more(drawn: list[str], seed: int) -> None:
    assert count_twins(draw_apart(drawn, Random(seed))) == 0


# Among AAB, ABA and BAA only one order keeps twins apart; even positions need all three.
def test_among_three_twins_stand_side_by_side_rather_than_always_in_one_order() -> None:
    assert Counter("".join(one) for one in draw_apart(["AAB"] * 6, Random(1))) == {
        "AAB": 2, "ABA": 2, "BAA": 2,
    }  # fmt: skip


# Twelve servings of six have 60 neighbours for 30 ordered pairs: two of each would be even.
# Drawn without looking, positions even, four or more of some pair are common.
def test_neighbours_are_evened_where_no_sample_stands_twice() -> None:
    orders = draw_apart(["ABCDEF"] * 12, Random(1))
    counts = Counter(pair for order in orders for pair in pairwise(order))
    assert max(counts.values()) <= 3


def test_no_serving_needs_no_order() -> None:
    assert draw_apart([], Random(1)) == []


def test_servings_of_different_size_are_refused() -> None:
    with pytest.raises(ValueError, match=r"groups must be equally large, got \[2, 3\]"):
        draw_apart(["AB", "ABC"], Random(1))
