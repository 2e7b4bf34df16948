"""Balanced incomplete blocks: whether a design exists, and its blocks where they are built."""

from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from itertools import combinations
from math import comb, isqrt

from server.blinding.block_counts import (
    BlockCounts,
    check_sizes,
    find_counts,
    least_concurrences,
)
from server.blinding.block_existence import Obstacle, Theorem, find_obstacle, find_theorem
from server.blinding.block_search import MOST_COMBINATIONS, Block, develop, search_blocks
from server.blinding.difference_sets import find_difference_set

BASES = {
    (16, 6, 3): (
        3,
        (
            (2, 4, 5, 6, 7, 12),
            (1, 2, 5, 7, 8, 9),
            (0, 3, 7, 12, 14, 15),
            (1, 2, 7, 10, 14, 15),
            (1, 3, 5, 11, 12, 14),
            (6, 8, 9, 10, 12, 14),
            (3, 4, 7, 9, 10, 15),
            (0, 2, 4, 9, 11, 14),
        ),
    ),
}
"""(t, k, λ) to the length of its cycles and blocks to shift; found by simulated annealing."""

MOST_MULTIPLES = 3
"""Multiples of the least λ that are tried for the smallest design."""


class Verdict(StrEnum):
    """Whether there is a design."""

    EXISTS = "exists"
    IMPOSSIBLE = "does not exist"
    UNKNOWN = "unknown"


class Construction(StrEnum):
    """How a design was built."""

    COMPLETE = "all samples in every block"
    COMBINATIONS = "all combinations"
    COMPLEMENT = "what the blocks of another design leave out"
    PLANE = "the lines of a plane over a prime"
    BASES = "the shifts of blocks kept here"
    DIFFERENCES = "the shifts of a difference set"
    SEARCH = "found by search"
    PARTS = "two smaller designs together"


@dataclass(frozen=True)
class BlockDesign:
    """A design that was built.

    Attributes
    ----------
    counts
        t, k, r, b and λ.
    blocks
        Each a tuple of samples 0 to t - 1 in rising order. A block may come twice.
    construction
        How it was built.
    """

    counts: BlockCounts
    blocks: tuple[Block, ...]
    construction: Construction


@dataclass(frozen=True)
class Judgement:
    """Whether a design exists, and why.

    Attributes
    ----------
    verdict
        Exists, does not exist or unknown.
    reason
        The obstacle, the construction or the theorem; nothing if unknown.
    counts
        t, k, r, b and λ; nothing if they do not come out whole.
    design
        The design if it was built. One that exists by theorem alone has none.
    """

    verdict: Verdict
    reason: Obstacle | Construction | Theorem | None
    counts: BlockCounts | None
    design: BlockDesign | None


def judge_design(samples: int, size: int, concurrences: int) -> Judgement:
    """Say whether there is a balanced incomplete block design.

    Parameters
    ----------
    samples : int
        Number of samples t, at least 2.
    size : int
        Samples in a block k, from 2 to t.
    concurrences : int
        Blocks λ that hold two given samples, at least 1.

    Returns
    -------
    Judgement

    Raises
    ------
    ValueError
        If a number is out of range.

    Notes
    -----
    Whole counts are necessary, not enough: 15 samples in 21 blocks of 5 have them, and
    there is no such design. So a design counts as existing if it was built or a theorem
    says so, as impossible if a theorem or a published search says so, and as unknown
    otherwise.

    Examples
    --------
    >>> judge_design(15, 5, 2).verdict.value, judge_design(15, 5, 4).verdict.value
    ('does not exist', 'exists')
    >>> judge_design(51, 6, 1).verdict.value
    'unknown'
    """
    counts = find_counts(samples, size, concurrences)
    if counts is None:
        return Judgement(Verdict.IMPOSSIBLE, Obstacle.IDENTITIES, None, None)
    obstacle = find_obstacle(counts)
    if obstacle:
        return Judgement(Verdict.IMPOSSIBLE, obstacle, counts, None)
    design = find_design(samples, size, concurrences)
    if design:
        return Judgement(Verdict.EXISTS, design.construction, counts, design)
    theorem = find_theorem(counts)
    return Judgement(Verdict.EXISTS if theorem else Verdict.UNKNOWN, theorem, counts, None)


def find_smallest_design(samples: int, size: int) -> BlockDesign | None:
    """Build the design with the fewest blocks that can be built here.

    Parameters
    ----------
    samples : int
        Number of samples t, at least 2.
    size : int
        Samples in a block k, from 2 to t.

    Returns
    -------
    BlockDesign or None
        Up to 16 samples there is one for every size, with as few blocks as any design
        has. Nothing if the search was too large.

    Raises
    ------
    ValueError
        If a number is out of range.

    Examples
    --------
    >>> find_smallest_design(15, 5).counts
    BlockCounts(samples=15, size=5, replications=14, blocks=42, concurrences=4)
    """
    check_sizes(samples, size)
    step = least_concurrences(samples, size)
    for concurrences in range(step, (MOST_MULTIPLES + 1) * step, step):
        design = find_design(samples, size, concurrences)
        if design:
            return design
    return None


@cache
def find_design(samples: int, size: int, concurrences: int) -> BlockDesign | None:
    """Build a balanced block design, or return nothing if that was not possible.

    Parameters and errors are those of `judge_design`.

    Examples
    --------
    >>> find_design(4, 3, 2).blocks
    ((0, 1, 2), (0, 1, 3), (0, 2, 3), (1, 2, 3))
    """
    counts = find_counts(samples, size, concurrences)
    if counts is None or find_obstacle(counts):
        return None
    for construction, build in BUILDERS.items():
        blocks = build(counts)
        if blocks:
            return BlockDesign(counts, blocks, construction)
    return None


def _repeat_all(counts: BlockCounts) -> tuple[Block, ...] | None:
    if counts.size < counts.samples:
        return None
    return (tuple(range(counts.samples)),) * counts.blocks


def _combine_all(counts: BlockCounts) -> tuple[Block, ...] | None:
    if comb(counts.samples, counts.size) != counts.blocks or counts.blocks > MOST_COMBINATIONS:
        return None
    return tuple(combinations(range(counts.samples), counts.size))


def _complement(counts: BlockCounts) -> tuple[Block, ...] | None:
    few = counts.complement
    if 2 * counts.size <= counts.samples or few.size < 2:
        return None
    other = find_design(few.samples, few.size, few.concurrences)
    if other is None:
        return None
    return tuple(
        tuple(one for one in range(counts.samples) if one not in block) for block in other.blocks
    )


def _draw_lines(counts: BlockCounts) -> tuple[Block, ...] | None:
    """Return the lines y = m x + c and x = c of a plane with a prime number of points each."""
    many = counts.size
    is_prime = all(many % divisor for divisor in range(2, isqrt(many) + 1))
    if counts.concurrences > 1 or counts.samples != many**2 or not is_prime:
        return None
    sloping = [
        tuple(x * many + (slope * x + start) % many for x in range(many))
        for slope in range(many)
        for start in range(many)
    ]
    upright = [tuple(range(x * many, (x + 1) * many)) for x in range(many)]
    return (*sloping, *upright)


def _develop_bases(counts: BlockCounts) -> tuple[Block, ...] | None:
    kept = BASES.get((counts.samples, counts.size, counts.concurrences))
    return develop(counts.samples, *kept) if kept else None


def _shift_difference_set(counts: BlockCounts) -> tuple[Block, ...] | None:
    many = counts.samples
    if counts.blocks != many or 2 * counts.size > many:
        return None
    first = find_difference_set(many, counts.size, counts.concurrences)
    if first is None:
        return None
    return tuple(tuple(sorted((one + n) % many for one in first)) for n in range(many))


def _search(counts: BlockCounts) -> tuple[Block, ...] | None:
    if 2 * counts.size > counts.samples:
        return None
    return search_blocks(counts.samples, counts.size, counts.concurrences)


def _join_parts(counts: BlockCounts) -> tuple[Block, ...] | None:
    """Join two designs whose λ add up, the smaller part as large as possible."""
    step = least_concurrences(counts.samples, counts.size)
    for part in range(counts.concurrences // 2 // step * step, 0, -step):
        first = find_design(counts.samples, counts.size, part)
        rest = first and find_design(counts.samples, counts.size, counts.concurrences - part)
        if first and rest:
            return first.blocks + rest.blocks
    return None


BUILDERS = {
    Construction.COMPLETE: _repeat_all,
    Construction.COMBINATIONS: _combine_all,
    Construction.COMPLEMENT: _complement,
    Construction.PLANE: _draw_lines,
    Construction.BASES: _develop_bases,
    Construction.DIFFERENCES: _shift_difference_set,
    Construction.PARTS: _join_parts,
    Construction.SEARCH: _search,
}
"""Ways to build a design in the order in which they are tried."""
