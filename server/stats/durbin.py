"""Durbin's test of whether samples differ in rank, each block holding a balanced part of them."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from server.stats.anova import f_tail
from server.stats.block_design import BlockDesign, describe_design, tell_balance
from server.stats.block_orders import block_p
from server.stats.block_ranks import Block, rank_blocks
from server.stats.checks import check_open_unit
from server.stats.chi_square import build_chi_square
from server.stats.friedman import FForm
from server.stats.rank_pairs import PairByT, compare_by_t, find_least
from server.stats.ratings import Ratings
from server.stats.results import ChiSquare

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Distribution = Literal["exact", "F", "chi-square"]

ALL_TIED = "Durbin's test has no statistic: nobody told any two samples apart."
NO_ERROR = (
    "The F form and the pairs are not estimable: nothing is left over once samples are fitted."
)
F_REPORTED = (
    "Too many blocks or samples for an exact p-value: the F form stands in its place. With few "
    "blocks it finds differences too readily, the chi-square p-value too seldom."
)
AFTER_THE_TEST = (
    "The least significant difference is for after an overall test that found a difference, or "
    "for a pair named beforehand."
)
DUST = 1e-12  # of the sum of squares within blocks: less is rounding


@dataclass(frozen=True)
class Durbin:
    """Durbin's test.

    Attributes
    ----------
    samples : tuple of str, length t
    design : BlockDesign
        Blocks, block size, replications, and how often a pair stands together.
    rank_sums : tuple of float, length t
        The lowest value in a block has rank 1.
    alpha : float
        Two-sided level of the pairs.
    chi_square : ChiSquare or None
        T1, corrected for ties, with its large-sample p-value.
    f_form : FForm or None
        T2, the same ranks referred to an F distribution.
    p_exact : float or None
        Exact chance of a statistic as large or larger, ties as they are.
    p_value : float or None
        The one to report.
    distribution : {"exact", "F", "chi-square"} or None
        Where `p_value` comes from: exact wherever that is feasible, otherwise F.
    least : float or None
        Least significant difference of two rank sums.
    pairs : tuple of PairByT
        In the order of the samples; empty where not estimable.
    notes : tuple of str
        How to read it, and why something is None.
    """

    samples: tuple[str, ...]
    design: BlockDesign
    rank_sums: tuple[float, ...]
    alpha: float
    chi_square: ChiSquare | None
    f_form: FForm | None
    p_exact: float | None
    p_value: float | None
    distribution: Distribution | None
    least: float | None
    pairs: tuple[PairByT, ...]
    notes: tuple[str, ...]


def analyse_durbin(ratings: Ratings, alpha: float = 0.05) -> Durbin:
    """Test whether samples differ, everybody having a balanced part of them.

    Parameters
    ----------
    ratings : Ratings
        One attribute, or ranks; an assessor is a block. Who compared at several
        sittings should have a label for each of them.
    alpha : float
        Two-sided level of the pairs, above 0 and below 1.

    Returns
    -------
    Durbin

    Raises
    ------
    ValueError
        If the design is not balanced (`analyse_skillings_mack` takes any), a
        cell holds several values, or `alpha` is out of range.

    Notes
    -----
    With b blocks of k of t samples, each sample in r blocks, A the sum of squared
    ranks and C = b k (k + 1)² / 4 [1]_:

        T1 = (t - 1) Σ (R_j - r (k + 1) / 2)² / (A - C), chi-square on t - 1 degrees
        of freedom;
        T2 = (T1 / (t - 1)) / ((b (k - 1) - T1) / (b k - b - t + 1)), F on t - 1 and
        b k - b - t + 1.

    The two can disagree: with 7 blocks of 3 of 7 samples that do not differ, T1 is
    beyond its 5 % point never, T2 in 9 % of all cases (with 14 blocks in 3 and 6 %;
    simulated). [1]_ prefers T2; the exact p-value settles it. Two samples are apart
    if their rank sums are by t(1 - α/2) √(2 r (A - C) (1 - T1 / (b (k - 1))) / (b k - b - t + 1))
    or more. Exact: all orders within every block equally likely, ties kept. In complete
    blocks T1 is Friedman's statistic and T2 its F form.

    References
    ----------
    .. [1] Conover, W. J. (1999). Practical Nonparametric Statistics, 3rd ed.,
       section 5.9, pp. 388-392 (pages from memory).
    .. [2] Durbin, J. (1951). Incomplete blocks in ranking experiments. British
       Journal of Psychology (Statistical Section), 4, 85-90.

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["a", "a", "b", "b", "c", "c"], ["X", "Y", "X", "Z", "Y", "Z"]
    >>> found = analyse_durbin(build_ratings(people, names, [1, 2, 1, 2, 1, 2]))
    >>> found.rank_sums, round(found.chi_square.statistic, 6), round(found.p_exact, 6)
    ((2.0, 3.0, 4.0), 2.666667, 0.75)
    """
    check_open_unit("alpha", alpha)
    table, design = _read_balanced(ratings)
    blocks = rank_blocks(table)
    squares = sum(block.squares for block in blocks)
    sums = _sum_ranks(blocks, design.samples)
    if not squares:
        return Durbin(
            *(ratings.samples, design, sums, alpha, None, None, None, None, None, None, ()),
            notes=(ALL_TIED,),
        )
    chi_square = build_chi_square(_find_statistic(sums, squares), design.samples - 1)
    f_form = _find_f_form(design, chi_square.statistic)
    p_exact = _find_exact(blocks, design.samples, squares, chi_square.statistic)
    p_value, distribution = _choose(chi_square, f_form, p_exact)
    se = _find_se(design, squares, chi_square.statistic) if f_form else None
    df = int(f_form.df[1]) if f_form else 0
    return Durbin(
        samples=ratings.samples,
        design=design,
        rank_sums=sums,
        alpha=alpha,
        chi_square=chi_square,
        f_form=f_form,
        p_exact=p_exact,
        p_value=p_value,
        distribution=distribution,
        least=find_least(se, df, alpha) if se else None,
        pairs=compare_by_t(ratings.samples, sums, se, df, alpha) if se else (),
        notes=_find_notes(f_form, p_exact),
    )


def _read_balanced(ratings: Ratings) -> "tuple[NDArray[np.float64], BlockDesign]":
    counts = ratings.counts()
    if (counts > 1).any():
        raise ValueError(
            f"ratings must hold one value of an assessor for a sample, not {counts.max()}"
        )
    if len(ratings.samples) < 2:
        raise ValueError(f"ratings must be of two samples or more, not {len(ratings.samples)}")
    design = describe_design(counts > 0)
    if not (design.balanced and design.together):
        raise ValueError(
            "ratings must be balanced, every block with as many samples, samples and pairs of "
            f"samples equally often there, not {tell_balance(counts > 0)}"
        )
    return ratings.means(), design


def _sum_ranks(blocks: tuple[Block, ...], samples: int) -> tuple[float, ...]:
    sums = [0.0] * samples
    for block in blocks:
        for place, rank in zip(block.samples, block.ranks, strict=True):
            sums[place] += rank / 2
    return tuple(sums)


def _find_statistic(sums: tuple[float, ...], squares: float) -> float:
    """Return T1."""
    middle = sum(sums) / len(sums)
    return (len(sums) - 1) * sum((total - middle) ** 2 for total in sums) / squares


def _find_freedom(design: BlockDesign) -> tuple[int, int]:
    """Return the degrees of freedom within blocks, and of what samples leave of them."""
    within = design.samples * (design.replications or 0) - design.blocks
    return within, within - design.samples + 1


def _find_f_form(design: BlockDesign, statistic: float) -> FForm | None:
    within, left = _find_freedom(design)
    rest = within - statistic
    if left < 1 or rest <= DUST * within:
        return None
    f = statistic / (design.samples - 1) / (rest / left)
    return FForm(f, (design.samples - 1, left), f_tail(f, design.samples - 1, left))


def _find_se(design: BlockDesign, squares: float, statistic: float) -> float:
    """Return the standard error of a difference of two rank sums."""
    within, left = _find_freedom(design)
    return math.sqrt(2 * (design.replications or 0) * squares * (1 - statistic / within) / left)


def _find_exact(
    blocks: tuple[Block, ...], samples: int, squares: float, statistic: float
) -> float | None:
    import numpy as np

    scale = (samples - 1) / (squares * blocks[0].weight ** 2)  # T1 of weighted sums
    return block_p(blocks, scale * np.eye(samples), statistic)


def _choose(
    chi_square: ChiSquare, f_form: FForm | None, p_exact: float | None
) -> tuple[float, Distribution]:
    if p_exact is not None:
        return p_exact, "exact"
    return (f_form.p_value, "F") if f_form else (chi_square.p_value, "chi-square")


def _find_notes(f_form: FForm | None, p_exact: float | None) -> tuple[str, ...]:
    reasons = {
        NO_ERROR: f_form is None,
        F_REPORTED: p_exact is None and f_form is not None,
        AFTER_THE_TEST: f_form is not None,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
