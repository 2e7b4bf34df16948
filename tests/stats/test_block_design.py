from itertools import combinations

import numpy as np
import pytest

from server.stats.block_design import describe_design, tell_balance, tell_groups

SEVEN = [(0, 1, 3), (1, 2, 4), (2, 3, 5), (3, 4, 6), (0, 4, 5), (1, 5, 6), (0, 2, 6)]


def build(blocks, samples):
    present = np.zeros((len(blocks), samples), dtype=bool)
    for row, block in zip(present, blocks, strict=True):
        row[list(block)] = True
    return present


def test_seven_blocks_of_three_hold_every_pair_once():
    found = describe_design(build(SEVEN, 7))
    assert (found.block_size, found.replications, found.together) == (3, 3, 1)
    assert found.efficiency == pytest.approx(7 / 9)


@pytest.mark.parametrize(("samples", "size"), [(4, 2), (5, 3), (6, 4), (7, 7)])
def test_all_blocks_of_a_size_keep_the_identities(samples, size):
    # r t = k b and λ (t - 1) = r (k - 1); E = 1 in complete blocks. Cochran & Cox (1957).
    found = describe_design(build(list(combinations(range(samples), size)), samples))
    assert found.replications * samples == size * found.blocks
    assert found.together * (samples - 1) == found.replications * (size - 1)
    assert (found.efficiency == 1) == (size == samples)


def test_efficiency_is_the_share_of_information_that_blocks_leave():
    # The eigenvalues of C, other than 0, are r in complete blocks and E r otherwise.
    present = build(SEVEN, 7).astype(float)
    information = np.diag(present.sum(0)) - present.T @ present / 3
    assert np.linalg.eigvalsh(information)[1:] / 3 == pytest.approx([7 / 9] * 6)


def test_a_design_short_of_one_serving_is_not_balanced():
    found = describe_design(build([*SEVEN[:6], (0, 2)], 7))
    assert (found.balanced, found.efficiency, found.connected) == (False, None, True)


def test_samples_that_no_chain_links_are_told_in_groups():
    found = describe_design(build([(0, 2), (1, 3), (3, 4)], 5))
    assert (found.connected, found.groups) == (False, ((0, 2), (1, 3, 4)))
    assert tell_groups(found, "VWXYZ").endswith("another: V, X / W, Y, Z.")


def test_a_balance_is_told_in_words():
    told = tell_balance(build(SEVEN, 7))
    assert told == "blocks of 3 samples, samples in 3 blocks, pairs in 1"


@pytest.mark.parametrize("shape", [(0, 3), (3, 1), (3,)])
def test_no_design_is_refused(shape):
    with pytest.raises(ValueError, match="present must be blocks × two samples or more"):
        describe_design(np.ones(shape, dtype=bool))
