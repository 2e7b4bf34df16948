from collections import Counter
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.table_allocation import allocate_cups

SLOTS = {level: tuple(f"{level}{n}" for n in (1, 2, 3)) for level in "ABCD"}
SERVINGS = st.lists(st.permutations("AABCD"), min_size=1, max_size=30)


def cups(order: list[str]) -> list[tuple[str, int]]:
    return [(level, place) for place, level in enumerate(order, 1)]


@given(SERVINGS, st.integers())
def test_like_cups_come_from_different_brews_of_their_sample(
    orders: list[list[str]], seed: int
) -> None:
    filled = allocate_cups([cups(order) for order in orders], SLOTS, Random(seed))
    for order, names in zip(orders, filled, strict=True):
        assert [name[0] for name in names] == order
        assert len(set(names)) == len(names)


@given(SERVINGS, st.integers(0, 10), st.integers())
def test_brews_fill_equally_many_cups_or_one_more(
    orders: list[list[str]], spares: int, seed: int
) -> None:
    spares = min(spares, len(orders) - 1)
    filled = allocate_cups([cups(order) for order in orders], SLOTS, Random(seed), spares=spares)
    for part in (filled, filled[: len(filled) - spares]):
        used = Counter(name for names in part for name in names)
        for names in SLOTS.values():
            counts = [used[name] for name in names]
            assert max(counts) - min(counts) <= 1


# 36 servings with A at each of four places nine times, three brews: 3 cups of each at each.
def test_cups_of_a_brew_are_spread_over_places() -> None:
    orders = [list("ABCD"[turn % 4 :] + "ABCD"[: turn % 4]) for turn in range(36)]
    filled = allocate_cups([cups(order) for order in orders], SLOTS, Random(1))
    counts = Counter((name, place) for one in filled for place, name in enumerate(one))
    assert max(counts.values()) <= 4
    assert min(counts[name, place] for name in SLOTS["A"] for place in range(4)) >= 2


def test_a_blend_fills_all_like_cups() -> None:
    assert allocate_cups([cups(["A", "A"])], {"A": ["A1"]}, Random(1), share=True) == [("A1", "A1")]


def test_too_few_brews_for_like_cups_are_refused() -> None:
    with pytest.raises(ValueError, match="slots: 2 like cups need as many slots, got 1"):
        allocate_cups([cups(["A", "A"])], {"A": ["A1"]}, Random(1))


# Each of three brews is as likely in the first serving's first cup: 13.82 is the 99.9 %
# point of chi-squared on 2 degrees of freedom in handbook tables.
def test_no_brew_is_likelier_than_another_in_a_given_cup() -> None:
    drawn = Counter(
        allocate_cups([cups(list("ABCD"))] * 4, SLOTS, Random(seed))[0][0] for seed in range(600)
    )
    assert sum((drawn[name] - 200) ** 2 / 200 for name in SLOTS["A"]) < 13.82
