from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.block_orders import block_p
from server.stats.block_ranks import (
    Block,
    find_covariance,
    invert_covariance,
    rank_blocks,
    sum_weighted,
)

cells = st.one_of(st.just(float("nan")), st.integers(1, 3).map(float))
tables = st.lists(st.lists(cells, min_size=3, max_size=3), min_size=2, max_size=4).filter(
    lambda rows: rank_blocks(np.array(rows))
)


def weigh(blocks, samples):
    inverse, _ = invert_covariance(find_covariance(blocks, samples))
    sums = sum_weighted(blocks, samples)
    return inverse, float(sums @ inverse @ sums)


@given(tables)
def test_the_chance_equals_going_through_all_orders(rows):
    blocks = rank_blocks(np.array(rows))
    inverse, observed = weigh(blocks, 3)
    orders = product(*(permutations(block.ranks) for block in blocks))
    sums = [
        sum_weighted(
            [Block(block.samples, ranks) for block, ranks in zip(blocks, one, strict=True)], 3
        )
        for one in orders
    ]
    statistics = np.array([one @ inverse @ one for one in sums])
    expected = np.mean(statistics >= observed - 1e-9)
    assert block_p(blocks, inverse, observed) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    "blocks",
    [
        [Block(tuple(range(8)), tuple(range(2, 18, 2)))],
        [Block(tuple(range(6)), tuple(range(2, 14, 2)))] * 20,
        [Block((place, place + 1, place + 2), (2, 4, 6)) for place in range(15)] * 2,
        [Block((0, 1, 2, 3, 4), (2, 4, 6, 8, 10))] * 6 + [Block((0, 1, 2, 3), (2, 4, 6, 8))] * 6,
    ],
    ids=["orders of one", "additions", "digits", "sizes put together"],
)
def test_what_would_take_too_long_has_no_exact_chance(blocks):
    samples = max(max(block.samples) for block in blocks) + 1
    assert block_p(blocks, *weigh(blocks, samples)) is None
