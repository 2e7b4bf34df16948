import numpy as np
import pytest
from scipy import stats

from server.stats.correlations import correlate_ranks, correlate_values


def with_gaps(seed: int) -> np.ndarray:
    """Six assessors, nine samples, a score of 0 to 6 with many ties, ten gaps."""
    rng = np.random.default_rng(seed)
    table = rng.integers(0, 7, (6, 9)).astype(float)
    table.ravel()[rng.choice(54, 10, replace=False)] = np.nan
    return table


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(
    ("ours", "theirs"), [(correlate_ranks, stats.spearmanr), (correlate_values, stats.pearsonr)]
)
def test_every_pair_equals_the_general_library_on_the_shared_samples(seed, ours, theirs):
    table = with_gaps(seed)
    found = ours(table)
    for i, j in np.ndindex(6, 6):
        shared = ~np.isnan(table[i] + table[j])
        assert found[i, j] == pytest.approx(theirs(table[i, shared], table[j, shared])[0])


@pytest.mark.parametrize("correlate", [correlate_ranks, correlate_values])
def test_a_constant_assessor_or_fewer_than_two_shared_samples_have_none(correlate):
    gap = np.nan
    found = correlate(np.array([[0.1, 0.1, 0.1], [1, 2, 3], [gap, gap, 3], [3, 1, gap]]))
    expected = [[1, 1, 1, 1], [1, 0, 1, 0], [1, 1, 1, 1], [1, 0, 1, 0]]
    assert np.isnan(found).astype(int).tolist() == expected


def test_two_samples_correlate_fully_one_way_or_the_other():
    found = correlate_ranks(np.array([[1.0, 2], [3, 9], [5, 4]]))
    assert found.tolist() == [[1, 1, -1], [1, 1, -1], [-1, -1, 1]]


def test_only_the_order_counts_for_ranks():
    table = with_gaps(3)
    assert np.array_equal(correlate_ranks(np.exp(table)), correlate_ranks(table), equal_nan=True)
