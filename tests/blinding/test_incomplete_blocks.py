from collections import Counter
from itertools import combinations
from math import comb

import pytest

from server.blinding.block_counts import find_counts, least_concurrences
from server.blinding.block_existence import Obstacle, Theorem
from server.blinding.incomplete_blocks import (
    BlockDesign,
    Construction,
    Verdict,
    find_design,
    find_smallest_design,
    judge_design,
)

SIZES = [(t, k) for t in range(2, 17) for k in range(2, t + 1)]


def is_balanced(design: BlockDesign) -> bool:
    """Recount a design from its blocks."""
    counts = design.counts
    served = Counter(one for block in design.blocks for one in block)
    met = Counter(pair for block in design.blocks for pair in combinations(block, 2))
    return (
        len(design.blocks) == counts.blocks
        and all(len(set(block)) == counts.size for block in design.blocks)
        and served == dict.fromkeys(range(counts.samples), counts.replications)
        and met == dict.fromkeys(combinations(range(counts.samples), 2), counts.concurrences)
    )


# Parameters of Cochran and Cox 1957, table 11.3 (from memory; recomputed independently).
@pytest.mark.parametrize(
    ("samples", "size", "replications", "blocks", "concurrences"),
    [
        (4, 2, 3, 6, 1),
        (4, 3, 3, 4, 2),
        (6, 3, 5, 10, 2),
        (7, 3, 3, 7, 1),
        (9, 3, 4, 12, 1),
        (8, 4, 7, 14, 3),
        (9, 4, 8, 18, 3),
        (10, 4, 6, 15, 2),
        (10, 5, 9, 18, 4),
        (11, 5, 5, 11, 2),
        (13, 4, 4, 13, 1),
        (15, 7, 7, 15, 3),
        (16, 4, 5, 20, 1),
        (16, 6, 6, 16, 2),
        (21, 5, 5, 21, 1),
        (25, 5, 6, 30, 1),
        (31, 6, 6, 31, 1),
    ],
)
def test_the_smallest_design_is_that_of_the_handbook(
    samples: int, size: int, replications: int, blocks: int, concurrences: int
) -> None:
    design = find_smallest_design(samples, size)
    assert design is not None
    assert (design.counts.replications, design.counts.blocks) == (replications, blocks)
    assert design.counts.concurrences == concurrences


@pytest.mark.parametrize(("samples", "size"), SIZES)
def test_every_size_up_to_sixteen_samples_has_a_design_that_is_balanced(
    samples: int, size: int
) -> None:
    design = find_smallest_design(samples, size)
    assert design is not None
    assert is_balanced(design)


@pytest.mark.parametrize(("samples", "size"), SIZES)
def test_no_design_is_smaller_than_the_smallest(samples: int, size: int) -> None:
    design = find_smallest_design(samples, size)
    assert design is not None
    for concurrences in range(1, design.counts.concurrences):
        assert judge_design(samples, size, concurrences).verdict == Verdict.IMPOSSIBLE


@pytest.mark.parametrize(("samples", "size"), SIZES)
def test_no_design_needs_more_blocks_than_all_combinations(samples: int, size: int) -> None:
    design = find_smallest_design(samples, size)
    assert design is not None
    assert design.counts.blocks <= comb(samples, size)


@pytest.mark.parametrize(("samples", "size"), SIZES)
def test_up_to_sixteen_samples_every_question_is_answered(samples: int, size: int) -> None:
    step = least_concurrences(samples, size)
    for concurrences in range(step, 4 * step, step):
        found = judge_design(samples, size, concurrences)
        assert found.verdict != Verdict.UNKNOWN
        assert found.design is None or is_balanced(found.design)


@pytest.mark.parametrize(
    ("samples", "size", "concurrences", "construction"),
    [
        (6, 6, 4, Construction.COMPLETE),
        (7, 3, 5, Construction.COMBINATIONS),
        (7, 4, 2, Construction.COMPLEMENT),
        (25, 5, 1, Construction.PLANE),
        (16, 6, 3, Construction.BASES),
        (13, 4, 1, Construction.DIFFERENCES),
        (9, 3, 2, Construction.PARTS),
        (10, 4, 2, Construction.SEARCH),
    ],
)
def test_a_design_says_how_it_was_built(
    samples: int, size: int, concurrences: int, construction: Construction
) -> None:
    found = judge_design(samples, size, concurrences)
    assert (found.verdict, found.reason) == (Verdict.EXISTS, construction)
    assert found.design is not None
    assert is_balanced(found.design)


# 15 samples in 21 blocks of 5 have whole counts and no design (Hall and Connor 1953, from
# memory); twice as many blocks do (M. Hall 1986, table of designs, from memory).
def test_whole_counts_are_not_enough() -> None:
    assert find_counts(15, 5, 2) is not None
    assert judge_design(15, 5, 2).verdict == Verdict.IMPOSSIBLE
    assert judge_design(15, 5, 4).verdict == Verdict.EXISTS


@pytest.mark.parametrize(
    ("samples", "size", "concurrences", "verdict", "reason"),
    [
        (8, 3, 1, Verdict.IMPOSSIBLE, Obstacle.IDENTITIES),
        (16, 6, 1, Verdict.IMPOSSIBLE, Obstacle.FISHER),
        (36, 6, 1, Verdict.IMPOSSIBLE, Obstacle.RESIDUAL),
        (61, 5, 1, Verdict.EXISTS, Theorem.HANANI),
        (51, 6, 1, Verdict.UNKNOWN, None),
    ],
)
def test_what_is_not_built_gets_its_reason(
    samples: int, size: int, concurrences: int, verdict: Verdict, reason: object
) -> None:
    found = judge_design(samples, size, concurrences)
    assert (found.verdict, found.reason, found.design) == (verdict, reason, None)


def test_a_search_that_is_too_large_finds_nothing() -> None:
    assert find_smallest_design(30, 15) is None
    assert find_design(30, 15, 14) is None


@pytest.mark.parametrize(("samples", "size"), [(1, 2), (5, 1), (5, 6)])
def test_a_size_that_is_none_is_refused(samples: int, size: int) -> None:
    with pytest.raises(ValueError, match="must"):
        find_smallest_design(samples, size)
    with pytest.raises(ValueError, match="must"):
        judge_design(samples, size, 1)
