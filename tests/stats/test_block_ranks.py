from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.block_ranks import (
    Block,
    find_covariance,
    invert_covariance,
    rank_blocks,
    sum_weighted,
)

NONE = float("nan")
blocks = st.lists(st.integers(1, 3), min_size=2, max_size=4)


def test_ties_share_their_mean_rank_and_gaps_have_none():
    found = rank_blocks(np.array([[3, NONE, 1, 3], [NONE, NONE, 5, NONE]]))
    assert found == (Block((0, 2, 3), (5, 2, 5)),)


def test_weighted_sums_are_centred():
    found = sum_weighted([Block((0, 1, 3), (2, 4, 6)), Block((1, 2), (2, 4))], 4)
    assert found == pytest.approx([-(3**0.5), -1, 1, 3**0.5])


@given(blocks)
def test_the_covariance_of_a_block_is_that_over_all_its_orders(scores):
    (block,) = rank_blocks(np.array([scores], dtype=float))
    orders = np.array(list(permutations(block.ranks))) / 2 * block.weight
    found = find_covariance([block], len(scores))
    assert found == pytest.approx(np.cov(orders.T, bias=True), abs=1e-12)


@given(blocks)
def test_without_regard_to_ties_two_ranks_have_covariance_minus_one(scores):
    found = find_covariance(rank_blocks(np.array([scores], dtype=float)), len(scores), untied=True)
    assert found.tolist() == (len(scores) * np.eye(len(scores)) - 1).tolist()


def test_the_rank_falls_by_one_for_every_group_that_nobody_links():
    pairs = [Block((0, 1), (2, 4)), Block((2, 3), (2, 4))]
    assert invert_covariance(find_covariance(pairs, 4))[1] == 2
