import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.block_counts import BlockCounts, find_counts, least_concurrences

SIZES = st.integers(2, 30).flatmap(lambda t: st.tuples(st.just(t), st.integers(2, t)))


# Parameters of Cochran and Cox 1957, table 11.3 (from memory; recomputed independently).
@pytest.mark.parametrize(
    ("samples", "size", "replications", "blocks", "concurrences"),
    [(4, 2, 3, 6, 1), (4, 3, 3, 4, 2), (6, 3, 5, 10, 2), (7, 3, 3, 7, 1), (9, 3, 4, 12, 1)],
)
def test_counts_follow_from_samples_size_and_concurrences(
    samples: int, size: int, replications: int, blocks: int, concurrences: int
) -> None:
    counts = BlockCounts(samples, size, replications, blocks, concurrences)
    assert find_counts(samples, size, concurrences) == counts


@given(SIZES, st.integers(1, 400))
def test_counts_fulfil_both_identities(sizes: tuple[int, int], concurrences: int) -> None:
    counts = find_counts(*sizes, concurrences)
    if counts:
        assert counts.replications * counts.samples == counts.size * counts.blocks
        assert counts.concurrences * (sizes[0] - 1) == counts.replications * (sizes[1] - 1)


@given(SIZES, st.integers(1, 400))
def test_counts_are_whole_for_multiples_of_the_least_concurrences_alone(
    sizes: tuple[int, int], concurrences: int
) -> None:
    whole = concurrences % least_concurrences(*sizes) == 0
    assert (find_counts(*sizes, concurrences) is not None) == whole


@given(SIZES, st.integers(1, 5))
def test_the_complement_of_the_complement_is_the_design(
    sizes: tuple[int, int], multiple: int
) -> None:
    counts = find_counts(*sizes, multiple * least_concurrences(*sizes))
    assert counts is not None
    assert counts.complement.complement == counts


# λ t / (r k): (6, 3, 5, 10, 2) gives 12 / 15 (by hand).
def test_efficiency_is_the_share_of_a_complete_design() -> None:
    assert BlockCounts(6, 3, 5, 10, 2).efficiency == pytest.approx(0.8)
    assert BlockCounts(5, 5, 3, 3, 3).efficiency == 1


@pytest.mark.parametrize(
    ("samples", "size", "concurrences", "message"),
    [
        (1, 2, 1, "samples must be at least 2, got 1"),
        (5, 1, 1, r"size must lie between 2 and samples \(5\), got 1"),
        (5, 6, 1, r"size must lie between 2 and samples \(5\), got 6"),
        (5, 2, 0, "concurrences must be at least 1, got 0"),
    ],
)
def test_what_are_no_counts_is_refused(
    samples: int, size: int, concurrences: int, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        find_counts(samples, size, concurrences)
