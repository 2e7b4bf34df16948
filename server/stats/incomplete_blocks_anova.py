"""Ratings in incomplete blocks: samples compared within blocks, by analysis of variance."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.anova import FTest, Line, f_tail
from server.stats.block_design import BlockDesign, describe_design, tell_groups
from server.stats.checks import check_open_unit
from server.stats.crossed import Split, read_crossed, split_crossed
from server.stats.differences import Differences, compare_means
from server.stats.ratings import Ratings

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

NO_FREEDOM = "No error is left once blocks and samples are fitted: too few values for any test."
NO_ERROR = "The samples have no F: blocks and samples explain every value, to the last digit."
REPEATED = (
    "Several values of one assessor for one sample count as one, their mean: repeats of one "
    "person are not other people."
)
WITHIN_BLOCKS = (
    "Samples are compared within blocks only; raw means, which also hold the blocks a sample "
    "happened to stand in, are not what is tested."
)


@dataclass(frozen=True)
class IncompleteAnova:
    """An incomplete block design analysed within blocks.

    Attributes
    ----------
    blocks, samples : tuple of str
        Labels; a block is what one assessor compared at one sitting.
    design : BlockDesign
        Block size, replications, pairs, efficiency, and whether it hangs together.
    block : Line
        Blocks, samples ignored.
    sample : Line
        Samples, blocks taken out. Together with `block` and `error` it is the total.
    error : Line
    sample_test : FTest or None
        Sample over error.
    means : tuple of float or None
        Of the samples, adjusted: as if every block had held each of them.
    raw_means : tuple of float
        As they stand, for the record.
    differences : Differences or None
        All pairs of the adjusted means.
    notes : tuple of str
        How to read it, and why something is None.
    """

    blocks: tuple[str, ...]
    samples: tuple[str, ...]
    design: BlockDesign
    block: Line
    sample: Line
    error: Line
    sample_test: FTest | None
    means: tuple[float, ...] | None
    raw_means: tuple[float, ...]
    differences: Differences | None
    notes: tuple[str, ...]


def analyse_incomplete(ratings: Ratings, alpha: float = 0.05) -> IncompleteAnova:
    """Analyse ratings of which every assessor gave a part, within assessors.

    Parameters
    ----------
    ratings : Ratings
        One attribute; an assessor is a block. Who compared at several sittings
        should have a label for each of them.
    alpha : float
        Level of the pairs, above 0 and below 1.

    Returns
    -------
    IncompleteAnova

    Raises
    ------
    ValueError
        If there is one sample only, or `alpha` is out of range.

    Notes
    -----
    With n the blocks × samples table of what stands where, r and k its column
    and row sums, T and B the totals of samples and blocks, the effects solve
    C τ = Q, C = diag(r) - n' diag(1/k) n, Q = T - n' (B/k), Σ τ = 0; the sum of
    squares of samples, blocks taken out, is τ' Q [1]_. Of a balanced design
    τ = k Q / (λ t), and the standard error of a difference √(2 k MSE / (λ t)) [2]_. What
    blocks of unlike samples tell about samples ("between blocks") is left aside.

    References
    ----------
    .. [1] John, P. W. M. (1971). Statistical Design and Analysis of Experiments,
       chapter 11 (chapter from memory).
    .. [2] Montgomery, D. C. (2013). Design and Analysis of Experiments, 8th ed.,
       section 4.4 (section from memory).

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people = ["a", "a", "b", "b", "c", "c", "d", "d", "d"]
    >>> names = ["X", "Y", "Y", "Z", "X", "Z", "X", "Y", "Z"]
    >>> found = analyse_incomplete(build_ratings(people, names, [2, 4, 5, 8, 1, 7, 3, 4, 7]))
    >>> round(found.sample_test.f, 6), found.sample_test.df
    (43.727273, (2.0, 3.0))
    """
    import numpy as np

    check_open_unit("alpha", alpha)
    if len(ratings.samples) < 2:
        raise ValueError(f"ratings must be of two samples or more, not {len(ratings.samples)}")
    table = read_crossed(ratings.means())
    design = describe_design(~np.isnan(table))
    split = split_crossed(table)
    test = _test(split) if design.connected else None
    inverse = _invert(~np.isnan(table))
    return IncompleteAnova(
        blocks=ratings.assessors,
        samples=ratings.samples,
        design=design,
        block=_find_block_line(table, split),
        sample=split.sample,
        error=split.error,
        sample_test=test,
        means=_adjust(table, inverse) if design.connected else None,
        raw_means=tuple(np.nanmean(table, axis=0).tolist()),
        differences=_compare(table, design, inverse, split.error, alpha) if test else None,
        notes=_notes(ratings, design, split.error),
    )


def _test(split: Split) -> FTest | None:
    sample, error = split.sample, split.error
    if sample.mean_square is None or not error.mean_square:
        return None
    f = sample.mean_square / error.mean_square
    return FTest(f, (float(sample.df), float(error.df)), f_tail(f, sample.df, error.df))


def _find_block_line(table: "NDArray[np.float64]", split: Split) -> Line:
    """Return blocks with samples ignored: of the total what the other two lines leave."""
    import numpy as np

    counts = (~np.isnan(table)).sum(axis=1)
    deviations = np.nanmean(table, axis=1) - np.nanmean(table)
    squares, df = float((counts * deviations**2).sum()), split.assessors - 1
    return Line(squares, df, squares / df if df else None)


def _invert(present: "NDArray[np.bool_]") -> "NDArray[np.float64]":
    """Return the generalised inverse of C, shape (t, t)."""
    import numpy as np

    held = present.astype(np.float64)
    information = np.diag(held.sum(axis=0)) - held.T @ (held / held.sum(axis=1)[:, None])
    return np.linalg.pinv(information, rcond=1e-10, hermitian=True)


def _adjust(table: "NDArray[np.float64]", inverse: "NDArray[np.float64]") -> tuple[float, ...]:
    """Return the adjusted means: effects of samples on top of the mean of all blocks."""
    import numpy as np

    there = ~np.isnan(table)
    within = np.where(there, table - np.nanmean(table, axis=1, keepdims=True), 0.0)
    effects = inverse @ within.sum(axis=0)
    blocks = np.nanmean(np.where(there, table - effects, np.nan), axis=1)
    return tuple((blocks.mean() + effects).tolist())


def _compare(
    table: "NDArray[np.float64]",
    design: BlockDesign,
    inverse: "NDArray[np.float64]",
    error: Line,
    alpha: float,
) -> Differences:
    import numpy as np

    variance = error.mean_square or 0.0
    se: float | NDArray[np.float64]
    if design.balanced and design.block_size and design.together:
        se = float((2 * design.block_size * variance / (design.together * design.samples)) ** 0.5)
    else:
        diagonal = np.diag(inverse)
        se = np.sqrt(variance * (diagonal[:, None] + diagonal[None, :] - 2 * inverse))
    return compare_means(_adjust(table, inverse), se, float(error.df), alpha)


def _notes(ratings: Ratings, design: BlockDesign, error: Line) -> tuple[str, ...]:
    reasons = {
        WITHIN_BLOCKS: design.connected and design.block_size != design.samples,
        tell_groups(design, ratings.samples): not design.connected,
        REPEATED: bool((ratings.counts() > 1).any()),
        NO_FREEDOM: design.connected and error.df < 1,
        NO_ERROR: design.connected and error.df > 0 and not error.mean_square,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
