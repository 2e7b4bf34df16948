from collections import Counter
from itertools import combinations

import pytest

from server.blinding.block_search import develop, search_blocks


# Triple systems exist for 1 and 3 modulo 6 (Kirkman 1847, from memory).
@pytest.mark.parametrize("samples", [7, 9, 13, 15, 19, 21, 25, 27, 31])
def test_triple_systems_are_found(samples: int) -> None:
    blocks = search_blocks(samples, 3, 1)
    assert blocks is not None
    counts = Counter(pair for block in blocks for pair in combinations(block, 2))
    assert counts == dict.fromkeys(combinations(range(samples), 2), 1)


def test_the_same_search_finds_the_same_blocks() -> None:
    assert search_blocks(13, 4, 1) == search_blocks(13, 4, 1)


# No such design exists (Hall and Connor 1953, from memory).
def test_a_design_that_does_not_exist_is_not_found() -> None:
    assert search_blocks(15, 5, 2) is None


def test_a_search_that_would_take_too_long_is_not_begun() -> None:
    assert search_blocks(40, 20, 19) is None


def test_a_block_is_shifted_in_every_cycle_at_once() -> None:
    assert develop(7, 3, [(0, 3, 6)]) == ((0, 3, 6), (1, 4, 6), (2, 5, 6))
