"""Page's test of rankings against an order predicted beforehand."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from server.stats.checks import check_open_unit
from server.stats.lattice import Lattice, add_up
from server.stats.rankings import Rankings, Row, sum_of_squares, untied_rows

MOST_SAMPLES = 10  # for the exact test: every subset of them is gone through

TOO_LARGE = "No exact p-value of Page's test: there are too many assessors or samples."
ALL_TIED = "Page's test has no z: every assessor tied all samples."
ORDER_BEFOREHAND = (
    "Page's test is only for an order written down before any answer was seen; it asks for a "
    "trend along that order and says nothing of trends against it."
)


@dataclass(frozen=True)
class Page:
    """Page's test.

    Attributes
    ----------
    order : tuple of str, length P
        The predicted order, the sample expected first (rank 1) first.
    statistic : float
        L, the sum of predicted rank times rank sum.
    expected, se : float
        Its mean and standard deviation if every order is equally likely.
    z : float or None
        (L - expected) / se, without a correction for continuity.
    p_normal : float or None
        Normal chance of a z as large or larger.
    p_exact : float or None
        Exact chance of an L as large or larger, the ties as they are.
    notes : tuple of str
        How it is to be read, and why something is None.
    """

    order: tuple[str, ...]
    statistic: float
    expected: float
    se: float
    z: float | None
    p_normal: float | None
    p_exact: float | None
    notes: tuple[str, ...]


def analyse_page(rankings: Rankings, order: Sequence[str]) -> Page:
    """Test rankings for a trend along a predicted order.

    Parameters
    ----------
    rankings : Rankings
        Everybody's ranks.
    order : sequence of str, length P
        Every sample once, the one expected first (rank 1) first.

    Returns
    -------
    Page
        One-sided: rankings along the order make L large.

    Raises
    ------
    ValueError
        If `order` does not hold every sample once.

    Notes
    -----
    L = Σ j R_j, R_j the rank sum of the sample predicted at place j [1]_. If
    every order of an assessor's ranks is equally likely, its mean is
    J P (P + 1)² / 4 and its variance Σ_i Σ_j (j - (P+1)/2)² Σ_j (r_ij - (P+1)/2)² / (P - 1),
    which without ties is J P² (P + 1) (P² - 1) / 144. Exactly: the convolution of
    every assessor's Σ j r_ij over all orders of the ranks given, ties kept.

    References
    ----------
    .. [1] Page, E. B. (1963). Ordered hypotheses for multiple treatments: a
       significance test for linear ranks. Journal of the American Statistical
       Association, 58, 216-230.

    Examples
    --------
    >>> from server.stats.rankings import build_rankings
    >>> rankings = build_rankings([[2, 1, 3]] + [[1, 2, 3]] * 3, ["A", "B", "C"])
    >>> found = analyse_page(rankings, ["A", "B", "C"])
    >>> found.statistic, round(found.p_exact, 8)
    (55.0, 0.00694444)
    """
    rows = rankings.rows()
    statistic = page_statistic(sum_in_order(rankings, order))
    z = page_z(statistic, rows)
    p_exact = page_p(statistic, rows)
    expected, se = page_moments(rows)
    return Page(
        order=tuple(order),
        statistic=statistic,
        expected=expected,
        se=se,
        z=z,
        p_normal=None if z is None else math.erfc(z / math.sqrt(2)) / 2,
        p_exact=p_exact,
        notes=(
            ORDER_BEFOREHAND,
            *((TOO_LARGE,) if p_exact is None else ()),
            *((ALL_TIED,) if z is None else ()),
        ),
    )


def page_statistic(rank_sums: Sequence[float]) -> float:
    """Return Page's L of rank sums in the predicted order.

    Examples
    --------
    >>> page_statistic([8.5, 12, 17, 22.5])
    173.5
    """
    return float(sum(place * total for place, total in enumerate(rank_sums, start=1)))


def page_moments(rows: Sequence[Row]) -> tuple[float, float]:
    """Return mean and standard deviation of L if every order is equally likely.

    Examples
    --------
    >>> page_moments(untied_rows(4, 3))
    (48.0, 2.8284271247461903)
    """
    assessors, samples = len(rows), len(rows[0])
    places = samples * (samples * samples - 1) / 12
    expected = assessors * samples * (samples + 1) ** 2 / 4
    return expected, math.sqrt(places * sum_of_squares(rows) / (samples - 1))


def page_z(statistic: float, rows: Sequence[Row]) -> float | None:
    """Return the standardised L; None if every assessor tied all samples.

    Examples
    --------
    >>> round(page_z(173.5, untied_rows(6, 4)), 8)
    3.32340187
    """
    expected, se = page_moments(rows)
    return None if not se else (statistic - expected) / se


def page_p(statistic: float, rows: Sequence[Row]) -> float | None:
    """Return the exact chance of an L as large or larger; None if the test is too large.

    Parameters
    ----------
    statistic : float
        L, a multiple of 1/2.
    rows : sequence of Row, length J
        Doubled ranks of every assessor, P of them.

    Returns
    -------
    float or None
        None beyond ten samples or about a second of computing.

    Examples
    --------
    >>> round(page_p(56, untied_rows(4, 3)) * 6**4, 8)
    1.0
    """
    found = _find_distribution(tuple(sorted(rows)))
    return None if found is None else found.tail(math.ceil(2 * statistic))


def page_critical(assessors: int, samples: int, alpha: float) -> int | None:
    """Return the smallest L that is significant, by exact enumeration without ties.

    Parameters
    ----------
    assessors, samples : int
        J and P.
    alpha : float
        One-sided level, above 0 and below 1.

    Returns
    -------
    int or None
        None where not even the predicted order in all rankings reaches `alpha`.

    Raises
    ------
    ValueError
        If an argument is out of range, or the test too large for exact values.

    Examples
    --------
    >>> page_critical(4, 3, 0.05), page_critical(2, 3, 0.001)
    (54, None)
    """
    check_open_unit("alpha", alpha)
    found = _find_distribution(untied_rows(assessors, samples))
    if found is None:
        raise ValueError(
            f"assessors and samples must be fewer for exact values, not {assessors} and {samples}"
        )
    doubled = found.critical(alpha)
    return None if doubled is None else doubled // 2


def sum_in_order(rankings: Rankings, order: Sequence[str]) -> tuple[float, ...]:
    """Return rank sums in the predicted order.

    Raises
    ------
    ValueError
        If `order` does not hold every sample once.

    Examples
    --------
    >>> from server.stats.rankings import build_rankings
    >>> sum_in_order(build_rankings([[1, 2], [1, 2]], ["A", "B"]), ["B", "A"])
    (4.0, 2.0)
    """
    if sorted(order) != sorted(rankings.samples):
        raise ValueError(
            f"order must name each of {', '.join(rankings.samples)} once, not {', '.join(order)}"
        )
    sums = dict(zip(rankings.samples, rankings.rank_sums(), strict=True))
    return tuple(sums[name] for name in order)


@lru_cache(maxsize=8)
def _find_distribution(rows: tuple[Row, ...]) -> Lattice | None:
    """Return the distribution of doubled L, assessor by assessor."""
    if len(rows[0]) > MOST_SAMPLES:
        return None
    return add_up([_find_row(row) for row in rows])


@lru_cache(maxsize=64)
def _find_row(row: Row) -> Lattice:
    """Return the distribution of Σ j r_j over all orders of one assessor's doubled ranks.

    Place by place: `ways` holds, for every subset of the ranks on the places so
    far, how many orders give each sum. Tied ranks take part as if they could be
    told apart, which multiplies all numbers alike.
    """
    import numpy as np

    samples = len(row)
    smallest = sum((samples - place) * rank for place, rank in enumerate(row))
    largest = sum((place + 1) * rank for place, rank in enumerate(row))
    subsets = np.arange(2**samples)
    sizes = np.array([subset.bit_count() for subset in subsets.tolist()])
    ways = np.zeros((2**samples, largest + 1))
    ways[0, 0] = 1
    for place in range(1, samples + 1):
        for bit, rank in enumerate(row):
            before = subsets[(sizes == place - 1) & (subsets >> bit & 1 == 0)]
            step = place * rank
            ways[before | 1 << bit, step:] += ways[before, : largest + 1 - step]
    return Lattice(smallest, ways[-1, smallest:] / math.factorial(samples))
