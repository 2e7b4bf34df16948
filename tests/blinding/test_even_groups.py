from collections import Counter
from itertools import combinations
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.blinding.efficiency import find_efficiency
from server.blinding.even_groups import draw_groups

LETTERS = "ABCDEFGHIJKLMNOP"
SIZES = st.integers(3, 12).flatmap(lambda t: st.tuples(st.just(t), st.integers(2, t - 1)))


def fresh(seats: int) -> list[Counter[str]]:
    return [Counter() for _ in range(seats)]


@settings(max_examples=20)
@given(SIZES, st.integers(1, 15), st.integers())
def test_samples_are_served_equally_often_or_once_more(
    sizes: tuple[int, int], many: int, seed: int
) -> None:
    names, size = LETTERS[: sizes[0]], sizes[1]
    groups = draw_groups(names, size, range(many), fresh(many), Random(seed))
    served = Counter(one for group in groups for one in group)
    assert max(served[one] for one in names) - min(served[one] for one in names) <= 1
    assert all(len(set(group)) == size for group in groups)


# A plan of n servings can tie t samples together if n (k - 1) is at least t - 1: each serving
# after the first adds k - 1 samples at most (counted).
@pytest.mark.parametrize(
    ("samples", "size", "many"), [(8, 2, 7), (10, 2, 10), (13, 3, 6), (16, 3, 8), (12, 4, 4)]
)
def test_a_panel_that_is_just_large_enough_can_compare_all_samples(
    samples: int, size: int, many: int
) -> None:
    names = LETTERS[:samples]
    groups = draw_groups(names, size, range(many), fresh(many), Random(4))
    assert find_efficiency(names, groups) is not None


@pytest.mark.parametrize(("samples", "size", "rounds"), [(12, 4, 3), (9, 3, 3), (16, 4, 4)])
def test_a_seat_tastes_every_sample_once_where_its_rounds_have_room(
    samples: int, size: int, rounds: int
) -> None:
    names, seats = LETTERS[:samples], [seat for _ in range(rounds) for seat in range(5)]
    groups = draw_groups(names, size, seats, fresh(5), Random(2))
    for seat in range(5):
        assert sorted("".join("".join(group) for group in groups[seat::5])) == list(names)


# Upper limit of the efficiency of any plan: λ t / (r k) with λ = r (k - 1) / (t - 1) (John and
# Williams 1995, section 2.4, from memory). The bound is not reachable everywhere.
@pytest.mark.parametrize(("samples", "size", "many"), [(9, 4, 12), (12, 4, 18), (15, 5, 24)])
def test_efficiency_comes_close_to_its_upper_limit(samples: int, size: int, many: int) -> None:
    names = LETTERS[:samples]
    found = find_efficiency(names, draw_groups(names, size, range(many), fresh(many), Random(6)))
    limit = samples * (size - 1) / (size * (samples - 1))
    assert found is not None
    assert 0.97 * limit < found <= limit + 1e-12


def test_pairs_differ_by_little() -> None:
    groups = draw_groups(LETTERS[:12], 4, range(24), fresh(24), Random(3))
    met = Counter(pair for group in groups for pair in combinations(group, 2))
    assert {met[pair] for pair in combinations(LETTERS[:12], 2)} <= {1, 2, 3, 4}
    assert max(met.values()) - min(met.values()) <= 2


def test_a_seat_that_has_had_some_samples_gets_the_others() -> None:
    had = [Counter("ABC"), Counter("DEF")]
    groups = draw_groups("ABCDEF", 3, [0, 1], had, Random(1))
    assert groups == [("D", "E", "F"), ("A", "B", "C")]


def test_no_serving_needs_no_group() -> None:
    assert draw_groups("ABC", 2, [], fresh(1), Random(1)) == []
