from collections import Counter
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.rank_sums import find_rank_sums
from server.stats.rankings import build_rankings, rank_row, untied_rows


def go_through(rows):
    """Every order of every assessor's ranks, one by one."""
    orders = [list(permutations(row)) for row in rows]
    sums = Counter(tuple(sorted(map(sum, zip(*one, strict=True)))) for one in product(*orders))
    return {key: count / sums.total() for key, count in sums.items()}


@pytest.mark.parametrize(
    "rows",
    [
        untied_rows(1, 4),
        untied_rows(4, 3),
        untied_rows(3, 4),
        untied_rows(6, 2),
        ((3, 3, 6), (2, 4, 6), (2, 5, 5), (4, 4, 4)),
        ((3, 3, 7, 7), (2, 5, 5, 8), (2, 4, 6, 8)),
    ],
    ids=["one row", "4x3", "3x4", "6x2", "ties of three", "ties of four"],
)
def test_the_distribution_equals_going_through_every_order(rows):
    found = find_rank_sums(rows)
    chances = dict(zip(map(tuple, found.sums.tolist()), found.chances.tolist(), strict=True))
    assert chances == pytest.approx(go_through(rows), rel=1e-12)


@given(st.lists(st.lists(st.integers(1, 4), min_size=3, max_size=3), min_size=1, max_size=9))
def test_all_chances_together_are_one_and_all_sums_together_are_those_of_the_ranks(scores):
    rows = build_rankings([rank_row(row) for row in scores]).rows()
    found = find_rank_sums(rows)
    assert found.chances.sum() == pytest.approx(1, abs=1e-12)
    assert (found.sums.sum(axis=1) == len(rows) * 12).all()


def test_equal_rankings_by_everybody_have_the_chance_of_one_in_factorials():
    found = find_rank_sums(untied_rows(12, 4))
    assert found.sums[0].tolist() == [24, 48, 72, 96]
    assert found.chances[0] == pytest.approx(24.0**-11, rel=1e-12)


def test_the_order_of_assessors_does_not_matter():
    tied, untied = ((3, 3, 6),), untied_rows(3, 3)
    one, other = find_rank_sums(tied + untied), find_rank_sums(untied + tied)
    assert one is other


def test_four_samples_and_twenty_assessors_agree_with_shuffled_ranks():
    rng = np.random.default_rng(20)
    shuffled = rng.permuted(np.tile(np.arange(1, 5), (40_000, 20, 1)), axis=2).sum(axis=1)
    ranges = shuffled.max(axis=1) - shuffled.min(axis=1)
    found = find_rank_sums(untied_rows(20, 4))
    exact = found.chances[found.sums[:, -1] - found.sums[:, 0] >= 2 * 21].sum()
    assert (ranges >= 21).mean() == pytest.approx(exact, abs=0.004)


@pytest.mark.parametrize("rows", [untied_rows(2, 9), untied_rows(3, 8), untied_rows(2, 40)])
def test_what_would_take_too_long_is_left(rows):
    assert find_rank_sums(rows) is None


def test_many_samples_of_which_nearly_all_are_tied_are_no_obstacle():
    row = rank_row([0] + [1] * 11)
    assert find_rank_sums(build_rankings([row] * 3).rows()) is not None
