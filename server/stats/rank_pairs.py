"""Pairs of samples by their rank sums: Conover's t of each pair, Nemenyi's range of all."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from server.stats.binomial import reaches
from server.stats.checks import check_open_unit
from server.stats.multiple import holm
from server.stats.rank_differences import honest_difference
from server.stats.rankings import Rankings, sum_of_squares, untied_rows
from server.stats.studentized_range import studentized_range_tail

AFTER_THE_TEST = (
    "Conover's pairs are for after an overall test that found a difference; without one, "
    "some pair among many comes out by chance. Holm's p-values need no such test."
)
ONE_ASSESSOR = "Conover's pairs are not estimable from one assessor."
NO_ERROR = "Conover's pairs are not estimable: nothing is left over once samples are fitted."


@dataclass(frozen=True)
class PairByT:
    """Two samples compared by Student's t.

    Attributes
    ----------
    first, second : str
        The samples.
    difference : float
        Rank sum of the first less that of the second.
    t : float
        The difference over its standard error.
    p_value : float
        Two-sided, as if this were the only pair.
    p_holm : float
        Adjusted over all pairs.
    apart : bool
        Whether `p_value` is at most alpha, that is, the difference at least the
        least significant one.
    """

    first: str
    second: str
    difference: float
    t: float
    p_value: float
    p_holm: float
    apart: bool


@dataclass(frozen=True)
class ConoverPairs:
    """All pairs of samples, by the variance that is left between rankings.

    Attributes
    ----------
    alpha : float
        Two-sided level.
    df : int
        Degrees of freedom.
    se : float or None
        Standard error of a difference of two rank sums.
    least : float or None
        Least significant difference of two rank sums.
    pairs : tuple of PairByT
        In the order of the samples; empty where not estimable.
    notes : tuple of str
        How to read it, and why something is None.
    """

    alpha: float
    df: int
    se: float | None
    least: float | None
    pairs: tuple[PairByT, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class NemenyiPair:
    """Two samples compared among all.

    Attributes
    ----------
    first, second : str
        The samples.
    difference : float
        Rank sum of the first less that of the second.
    q : float
        Its size over the standard error of one rank sum.
    p_value : float
        Chance of such a difference of any pair.
    apart : bool
        Whether `p_value` is at most alpha.
    """

    first: str
    second: str
    difference: float
    q: float
    p_value: float
    apart: bool


@dataclass(frozen=True)
class NemenyiPairs:
    """All pairs of samples at once, large samples, no allowance for ties.

    Attributes
    ----------
    alpha : float
        Level for all pairs together.
    least : float
        Difference of two rank sums that no pair reaches with a chance above alpha.
    pairs : tuple of NemenyiPair
        In the order of the samples.
    """

    alpha: float
    least: float
    pairs: tuple[NemenyiPair, ...]


def compare_conover(rankings: Rankings, alpha: float = 0.05) -> ConoverPairs:
    """Compare all pairs of samples after Friedman's test, by Conover's t.

    Parameters
    ----------
    rankings : Rankings
        Everybody's ranks, J assessors and P samples.
    alpha : float
        Two-sided level of one pair, above 0 and below 1.

    Returns
    -------
    ConoverPairs

    Raises
    ------
    ValueError
        If `alpha` is out of range.

    Notes
    -----
    The standard error of R_i - R_j is √(2 (J A - Σ R²) / ((J - 1)(P - 1))), A being
    the sum of all squared ranks, on (J - 1)(P - 1) degrees of freedom [1]_: the
    analysis of variance of the ranks, error taken from what samples leave. It is
    smaller the better the assessors agree, unlike the variance under "all orders
    equally likely", which `rank_differences` uses.

    References
    ----------
    .. [1] Conover, W. J. (1999). Practical Nonparametric Statistics, 3rd ed.,
       section 5.8, p. 371 (page from memory).

    Examples
    --------
    >>> from server.stats.rankings import build_rankings
    >>> found = compare_conover(build_rankings([[1, 2, 3], [1, 2, 3], [2, 1, 3]], ["A", "B", "C"]))
    >>> round(found.least, 6), [round(pair.p_value, 6) for pair in found.pairs]
    (3.926486, [0.518519, 0.02411, 0.047421])
    """
    check_open_unit("alpha", alpha)
    assessors, samples = len(rankings.assessors), len(rankings.samples)
    df, sums = (assessors - 1) * (samples - 1), rankings.rank_sums()
    if not df:
        return ConoverPairs(alpha, df, None, None, (), (ONE_ASSESSOR,))
    middle = assessors * (samples + 1) / 2
    left = assessors * sum_of_squares(rankings.rows()) - sum((x - middle) ** 2 for x in sums)
    se = math.sqrt(max(0.0, 2 * left / df))
    if not se:
        return ConoverPairs(alpha, df, None, None, (), (NO_ERROR,))
    pairs = compare_by_t(rankings.samples, sums, se, df, alpha)
    return ConoverPairs(alpha, df, se, find_least(se, df, alpha), pairs, (AFTER_THE_TEST,))


def compare_nemenyi(rankings: Rankings, alpha: float = 0.05) -> NemenyiPairs:
    """Compare all pairs of samples at once, by Nemenyi's range.

    Parameters
    ----------
    rankings : Rankings
        Everybody's ranks, J assessors and P samples.
    alpha : float
        Level of all pairs together, above 0 and below 1.

    Returns
    -------
    NemenyiPairs

    Raises
    ------
    ValueError
        If `alpha` is out of range.

    Notes
    -----
    |R_i - R_j| / √(J P (P + 1) / 12) is referred to the studentised range of P values
    with infinite degrees of freedom [1]_, as if nobody had tied anything; with
    ties that is cautious. `compare_pairs` in `rank_differences` has the exact
    chances, ties kept, wherever they can be had.

    References
    ----------
    .. [1] Nemenyi, P. (1963). Distribution-free multiple comparisons. Thesis,
       Princeton University (from memory).

    Examples
    --------
    >>> from server.stats.rankings import build_rankings
    >>> found = compare_nemenyi(build_rankings([[1, 2, 3]] * 3, ["A", "B", "C"]))
    >>> round(found.least, 6), [round(pair.p_value, 6) for pair in found.pairs]
    (5.740871, [0.438489, 0.038035, 0.438489])
    """
    check_open_unit("alpha", alpha)
    rows = untied_rows(len(rankings.assessors), len(rankings.samples))
    least = honest_difference(rows, alpha)
    if least is None:  # only ties make it so
        raise ValueError(f"rankings must be of two samples or more, not {len(rankings.samples)}")
    se = math.sqrt(sum_of_squares(rows) / (len(rows[0]) - 1))
    places = list(combinations(range(len(rankings.samples)), 2))
    sums = rankings.rank_sums()
    q = [abs(sums[one] - sums[other]) / se for one, other in places]
    tails = studentized_range_tail(q, len(sums), math.inf)
    pairs = (
        NemenyiPair(
            first=rankings.samples[one],
            second=rankings.samples[other],
            difference=sums[one] - sums[other],
            q=width,
            p_value=p,
            apart=reaches(p, alpha),
        )
        for (one, other), width, p in zip(places, q, tails, strict=True)
    )
    return NemenyiPairs(alpha, least, tuple(pairs))


def compare_by_t(
    samples: Sequence[str], sums: Sequence[float], se: float, df: int, alpha: float
) -> tuple[PairByT, ...]:
    """Compare every pair of rank sums by Student's t.

    Parameters
    ----------
    samples : sequence of str, length P
    sums : sequence of float, length P
        Their rank sums.
    se : float
        Standard error of a difference, above 0.
    df : int
        Degrees of freedom of it.
    alpha : float
        Two-sided level of one pair.

    Returns
    -------
    tuple of PairByT
        In the order of the samples.

    Examples
    --------
    >>> pair = compare_by_t(["A", "B"], [4.0, 8.0], se=2.0, df=10, alpha=0.05)[0]
    >>> pair.t, round(pair.p_value, 6), pair.apart
    (-2.0, 0.073388, False)
    """
    from scipy import special  # takes half a second to load

    places = list(combinations(range(len(samples)), 2))
    differences = [sums[one] - sums[other] for one, other in places]
    p_values = [float(2 * special.stdtr(df, -abs(apart) / se)) for apart in differences]
    return tuple(
        PairByT(
            first=samples[one],
            second=samples[other],
            difference=apart,
            t=apart / se,
            p_value=p,
            p_holm=adjusted,
            apart=reaches(p, alpha),
        )
        for (one, other), apart, p, adjusted in zip(
            places, differences, p_values, holm(p_values), strict=True
        )
    )


def find_least(se: float, df: int, alpha: float) -> float:
    """Return the least significant difference, t(1 - α/2; df) se.

    Examples
    --------
    >>> round(find_least(2.0, 10, 0.05), 6)
    4.456278
    """
    from scipy import special  # takes half a second to load

    return float(special.stdtrit(df, 1 - alpha / 2)) * se
