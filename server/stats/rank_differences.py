"""How far apart rank sums must lie: one pair named beforehand, or all pairs at once."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations, permutations
from typing import Literal

from server.stats.binomial import reaches
from server.stats.checks import check_open_unit
from server.stats.chi_square import normal_quantile
from server.stats.lattice import Lattice, add_up
from server.stats.rank_sums import find_rank_sums
from server.stats.rankings import Rankings, Row, sum_of_squares
from server.stats.studentized_range import studentized_range_quantile, studentized_range_tail

OnePair = Literal["exact", "normal"]
AllPairs = Literal["exact", "studentised range"]

ALL_TIED = "No differences of rank sums can be judged: every assessor tied all samples."
ALL_PAIRS_APPROXIMATE = (
    "All pairs at once: by the studentised range, an approximation; there are too many "
    "assessors or samples for exact values."
)
ONE_PAIR_APPROXIMATE = (
    "One pair: by the normal distribution; there are too many assessors for exact values."
)
NO_ONE_PAIR = "No difference of one pair reaches alpha: too few assessors for this level."
NO_PAIR_OF_ALL = "No difference among all pairs reaches alpha: too few assessors for this level."
PAIR_BEFOREHAND = (
    "The p-value of one pair, and the least significant difference, are for a pair named "
    "beforehand; whoever looks at all pairs needs the p-values among all pairs."
)


@dataclass(frozen=True)
class Pair:
    """Two samples compared.

    Attributes
    ----------
    first, second : str
        The samples, the one with the smaller rank sum first.
    difference : float
        How far their rank sums are apart, 0 or more.
    p_one_pair : float
        Chance of such a difference of one pair, two-sided.
    p_all_pairs : float
        Chance of such a difference of any pair.
    apart_alone, apart_among_all : bool
        Whether these are at most alpha.
    """

    first: str
    second: str
    difference: float
    p_one_pair: float
    p_all_pairs: float
    apart_alone: bool
    apart_among_all: bool


@dataclass(frozen=True)
class Differences:
    """All pairs of samples compared by their rank sums.

    Attributes
    ----------
    alpha : float
        Level of all comparisons.
    least : float or None
        Least significant difference of one pair, normal form.
    least_exact : float or None
        Smallest difference of one pair that is significant exactly; None where
        there is none or `one_pair` is not exact.
    honest : float or None
        Least significant difference of all pairs, by the studentised range.
    honest_exact : float or None
        Smallest difference of any pair that is significant exactly; None where
        there is none or `all_pairs` is not exact.
    one_pair : {"exact", "normal"}
        Where `p_one_pair` comes from: exact wherever that is feasible.
    all_pairs : {"exact", "studentised range"}
        Where `p_all_pairs` comes from, likewise.
    pairs : tuple of Pair
        Every pair, the widest apart first.
    notes : tuple of str
        How it is to be read, and why something is None.
    """

    alpha: float
    least: float | None
    least_exact: float | None
    honest: float | None
    honest_exact: float | None
    one_pair: OnePair
    all_pairs: AllPairs
    pairs: tuple[Pair, ...]
    notes: tuple[str, ...]


def compare_pairs(rankings: Rankings, alpha: float = 0.05) -> Differences:
    """Compare all pairs of samples by their rank sums.

    Parameters
    ----------
    rankings : Rankings
        Everybody's ranks, J assessors and P samples.
    alpha : float
        Level, above 0 and below 1.

    Returns
    -------
    Differences

    Raises
    ------
    ValueError
        If `alpha` is not between 0 and 1.

    Notes
    -----
    All p-values suppose that every order of an assessor's ranks is equally
    likely, ties kept. One pair: the convolution of the difference of two ranks
    over the assessors. All pairs: the largest difference of any two rank sums
    [1]_, exactly where `find_rank_sums` can go through all of them, otherwise by
    the range of normal values. A pair is apart among all if the largest
    difference would be so large with a chance of `alpha` at most; the risk of
    one false pair or more is then `alpha` at most if no samples differ. Where
    some do, the ranks of the others depend on them, and the risk for a pair that
    does not is another: the sign test of that pair alone is free of this.

    References
    ----------
    .. [1] Newell, G. J. & MacFarlane, J. D. (1987). Expanded tables for multiple
       comparison procedures in the analysis of ranked data. Journal of Food
       Science, 52, 1721-1725.

    Examples
    --------
    >>> from server.stats.rankings import build_rankings
    >>> found = compare_pairs(build_rankings([[1, 2, 3]] * 3, ["A", "B", "C"]))
    >>> pair = found.pairs[0]
    >>> pair.first, pair.second, pair.difference, round(pair.p_all_pairs, 6), found.honest_exact
    ('A', 'C', 6.0, 0.027778, 6.0)
    """
    check_open_unit("alpha", alpha)
    rows = tuple(sorted(rankings.rows()))
    found = Differences(
        alpha=alpha,
        least=least_difference(rows, alpha),
        least_exact=least_exact(rows, alpha),
        honest=honest_difference(rows, alpha),
        honest_exact=honest_exact(rows, alpha),
        one_pair="normal" if _find_difference(rows) is None else "exact",
        all_pairs="studentised range" if _find_range(rows) is None else "exact",
        pairs=_compare_all(rankings, rows, alpha) if sum_of_squares(rows) else (),
        notes=(),
    )
    return replace(found, notes=_notes(found))


def least_difference(rows: Sequence[Row], alpha: float) -> float | None:
    """Return the least significant difference of two rank sums, normal form.

    Parameters
    ----------
    rows : sequence of Row, length J
        Doubled ranks of every assessor, P of them.
    alpha : float
        Two-sided level, above 0 and below 1.

    Returns
    -------
    float or None
        z √(J P (P + 1) / 6) without ties, as ISO 8587 has it (from memory); ties
        make it smaller. None if every assessor tied all samples.

    Examples
    --------
    >>> from server.stats.rankings import untied_rows
    >>> round(least_difference(untied_rows(7, 6), 0.05), 6)
    13.719748
    """
    variance = _variance(rows)
    return normal_quantile(1 - alpha) * math.sqrt(variance) if variance else None


def honest_difference(rows: Sequence[Row], alpha: float) -> float | None:
    """Return the difference that any two rank sums reach with chance `alpha`, large samples.

    Parameters
    ----------
    rows : sequence of Row, length J
        Doubled ranks of every assessor, P of them.
    alpha : float
        Level, above 0 and below 1.

    Returns
    -------
    float or None
        q √(J P (P + 1) / 12) without ties, q of the studentised range with P
        values and infinite degrees of freedom. None if all is tied.

    Examples
    --------
    >>> from server.stats.rankings import untied_rows
    >>> round(honest_difference(untied_rows(10, 3), 0.05), 6)
    10.481348
    """
    variance = _variance(rows)
    if not variance:
        return None
    return studentized_range_quantile(alpha, len(rows[0]), math.inf) * math.sqrt(variance / 2)


def least_exact(rows: Sequence[Row], alpha: float) -> float | None:
    """Return the smallest difference of one pair that is significant exactly, two-sided.

    Examples
    --------
    >>> from server.stats.rankings import untied_rows
    >>> least_exact(untied_rows(10, 3), 0.05)
    10.0
    """
    found = _find_difference(tuple(sorted(rows)))
    return None if found is None else _halve(found.critical(alpha / 2))


def honest_exact(rows: Sequence[Row], alpha: float) -> float | None:
    """Return the smallest difference of any pair that is significant exactly.

    Returns
    -------
    float or None
        None if it takes too long, or no difference is significant.

    Examples
    --------
    >>> from server.stats.rankings import untied_rows
    >>> honest_exact(untied_rows(10, 3), 0.05)
    11.0
    """
    widest = _find_range(tuple(sorted(rows)))
    return None if widest is None else _halve(widest.critical(alpha))


def _notes(found: Differences) -> tuple[str, ...]:
    if not found.pairs:
        return (ALL_TIED,)
    reasons = {
        PAIR_BEFOREHAND: len(found.pairs) > 1,
        ONE_PAIR_APPROXIMATE: found.one_pair != "exact",
        ALL_PAIRS_APPROXIMATE: found.all_pairs != "exact",
        NO_ONE_PAIR: found.one_pair == "exact" and found.least_exact is None,
        NO_PAIR_OF_ALL: found.all_pairs == "exact" and found.honest_exact is None,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)


def _variance(rows: Sequence[Row]) -> float:
    """Return the variance of the difference of two rank sums."""
    return 2 * sum_of_squares(rows) / (len(rows[0]) - 1)


def _halve(doubled: int | None) -> float | None:
    return None if doubled is None else doubled / 2


def _compare_all(rankings: Rankings, rows: tuple[Row, ...], alpha: float) -> tuple[Pair, ...]:
    by_sum = sorted(
        zip(rankings.rank_sums(), rankings.samples, strict=True), key=lambda pair: pair[0]
    )
    pairs = [
        _compare(first, second, high - low, rows, alpha)
        for (low, first), (high, second) in combinations(by_sum, 2)
    ]
    return tuple(sorted(pairs, key=lambda pair: -pair.difference))


def _compare(
    first: str, second: str, difference: float, rows: tuple[Row, ...], alpha: float
) -> Pair:
    doubled = round(2 * difference)
    alone, among_all = _find_p_one_pair(doubled, rows), _find_p_all_pairs(doubled, rows)
    return Pair(
        first=first,
        second=second,
        difference=difference,
        p_one_pair=alone,
        p_all_pairs=among_all,
        apart_alone=reaches(alone, alpha),
        apart_among_all=reaches(among_all, alpha),
    )


def _find_p_one_pair(doubled: int, rows: tuple[Row, ...]) -> float:
    found = _find_difference(rows)
    if found is None:
        return math.erfc(doubled / 2 / math.sqrt(2 * _variance(rows)))
    return min(1.0, 2 * found.tail(doubled))


def _find_p_all_pairs(doubled: int, rows: tuple[Row, ...]) -> float:
    found = _find_range(rows)
    if found is None:
        q = doubled / 2 / math.sqrt(_variance(rows) / 2)
        return studentized_range_tail([q], len(rows[0]), math.inf)[0]
    return found.tail(doubled)


@lru_cache(maxsize=8)
def _find_range(rows: tuple[Row, ...]) -> Lattice | None:
    """Return the distribution of the largest doubled difference of two rank sums."""
    import numpy as np

    found = find_rank_sums(rows)
    if found is None:
        return None
    ranges = found.sums[:, -1] - found.sums[:, 0]
    return Lattice(0, np.asarray(np.bincount(ranges, found.chances), dtype=np.float64))


@lru_cache(maxsize=8)
def _find_difference(rows: tuple[Row, ...]) -> Lattice | None:
    """Return the distribution of the doubled difference of two given rank sums."""
    return add_up([_find_row(row) for row in rows])


@lru_cache(maxsize=64)
def _find_row(row: Row) -> Lattice:
    """Return the distribution of the difference of two ranks of one assessor."""
    import numpy as np

    reach = row[-1] - row[0]
    differences = [one - other for one, other in permutations(row, 2)]
    counts = np.bincount(np.array(differences) + reach, minlength=2 * reach + 1)
    return Lattice(-reach, counts / len(differences))
