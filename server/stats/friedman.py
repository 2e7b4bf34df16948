"""Friedman's test of whether assessors rank the samples alike, more than by chance."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.binomial import reaches
from server.stats.checks import check_open_unit
from server.stats.chi_square import build_chi_square
from server.stats.rank_sums import RankSums, find_rank_sums
from server.stats.rankings import Rankings, Row, sum_of_squares, untied_rows
from server.stats.results import ChiSquare

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

ALL_TIED = "Friedman's test has no statistic: every assessor tied all samples."
TOO_LARGE = (
    "No exact p-value of Friedman's test: there are too many assessors or samples; "
    "the chi-square p-value stands in its place."
)
NO_F_ONE_ASSESSOR = "The F form is not estimable from one assessor."
NO_F_ALL_ALIKE = "The F form is not estimable: all rankings are alike."


@dataclass(frozen=True)
class FForm:
    """The F form of Friedman's test.

    Attributes
    ----------
    statistic : float
        F.
    df : tuple of int
        Degrees of freedom of numerator and denominator.
    p_value : float
        Chance of an F as large or larger.
    """

    statistic: float
    df: tuple[int, int]
    p_value: float


@dataclass(frozen=True)
class Friedman:
    """Friedman's test.

    Attributes
    ----------
    statistic_uncorrected : float
        The statistic as if there were no ties.
    chi_square : ChiSquare or None
        The statistic, corrected for ties, with its large-sample p-value.
    p_exact : float or None
        Exact chance of a statistic as large or larger, the ties as they are.
    f_form : FForm or None
        The same statistic referred to an F distribution.
    agreement : float or None
        Kendall's coefficient of concordance W, 0 to 1, corrected for ties.
    notes : tuple of str
        Why something is None.
    """

    statistic_uncorrected: float
    chi_square: ChiSquare | None
    p_exact: float | None
    f_form: FForm | None
    agreement: float | None
    notes: tuple[str, ...]


def analyse_friedman(rankings: Rankings) -> Friedman:
    """Test whether the samples differ in their ranks.

    Parameters
    ----------
    rankings : Rankings
        Everybody's ranks, J assessors and P samples.

    Returns
    -------
    Friedman

    Notes
    -----
    X = 12 Σ (R_j - J(P+1)/2)² / (J P (P+1) - Σ (t³ - t) / (P - 1)), R_j the rank sums, t the
    sizes of the groups of ties [1]_; without ties the formula of [2]_. Large
    samples: chi-square, P - 1 degrees of freedom. Closer: F = (J - 1) X / (J (P - 1) - X)
    on P - 1 and (P - 1)(J - 1) degrees of freedom [3]_, which is the analysis of variance of
    the ranks. Exact: all orders of every assessor's ranks equally likely, ties
    kept, wherever `find_rank_sums` can go through them. W = X / (J (P - 1)).

    With two samples the exact p-value is that of the two-sided sign test.

    References
    ----------
    .. [1] Hollander, M., Wolfe, D. A. & Chicken, E. (2014). Nonparametric
       Statistical Methods, 3rd ed., section 7.1 (section from memory).
    .. [2] Friedman, M. (1937). The use of ranks to avoid the assumption of
       normality implicit in the analysis of variance. Journal of the American
       Statistical Association, 32, 675-701.
    .. [3] Iman, R. L. & Davenport, J. M. (1980). Approximations of the critical
       region of the Friedman statistic. Communications in Statistics - Theory
       and Methods, 9, 571-595.

    Examples
    --------
    >>> from server.stats.rankings import build_rankings
    >>> found = analyse_friedman(build_rankings([[1, 2, 3], [1, 2, 3], [2, 1, 3]]))
    >>> round(found.chi_square.statistic, 6), round(found.p_exact, 6)
    (4.666667, 0.194444)
    """
    rows, rank_sums = rankings.rows(), rankings.rank_sums()
    assessors, samples = len(rows), len(rank_sums)
    uncorrected = friedman_statistic(rank_sums, untied_rows(assessors, samples))
    statistic = friedman_statistic(rank_sums, rows)
    if uncorrected is None or statistic is None:
        return Friedman(0.0, None, None, None, None, (ALL_TIED,))
    p_exact = friedman_p(rank_sums, rows)
    all_alike = len(set(rankings.ranks)) == 1
    return Friedman(
        statistic_uncorrected=uncorrected,
        chi_square=build_chi_square(statistic, samples - 1),
        p_exact=p_exact,
        f_form=None if all_alike else _find_f_form(statistic, assessors, samples),
        agreement=min(1.0, statistic / (assessors * (samples - 1))),
        notes=_notes(p_exact, assessors, all_alike),
    )


def friedman_statistic(rank_sums: Sequence[float], rows: Sequence[Row]) -> float | None:
    """Return Friedman's statistic, corrected for the ties in the rows.

    Parameters
    ----------
    rank_sums : sequence of float, length P
    rows : sequence of Row, length J
        Doubled ranks of every assessor.

    Returns
    -------
    float or None
        None if every assessor tied all samples.

    Examples
    --------
    >>> round(friedman_statistic([7, 14, 21, 28, 36, 41], untied_rows(7, 6)), 8)
    34.51020408
    """
    spread = sum_of_squares(rows)
    if not spread:
        return None
    mean = len(rows) * (len(rank_sums) + 1) / 2
    return (len(rank_sums) - 1) * sum((total - mean) ** 2 for total in rank_sums) / spread


def friedman_p(rank_sums: Sequence[float], rows: Sequence[Row]) -> float | None:
    """Return the exact p-value of Friedman's test; None if it takes too long.

    Examples
    --------
    >>> round(friedman_p([5, 8, 11], untied_rows(4, 3)), 12)
    0.125
    """
    found = find_rank_sums(tuple(rows))
    if found is None:
        return None
    observed = sum(round(2 * total) ** 2 for total in rank_sums)
    as_far = _squares(found) >= observed
    return 1.0 if as_far.all() else float(found.chances[as_far].sum())


def friedman_least_p(rows: Sequence[Row]) -> float | None:
    """Return the smallest exact p-value that any orders give; None if it takes too long.

    Examples
    --------
    >>> round(friedman_least_p(untied_rows(2, 3)), 8)
    0.16666667
    """
    found = find_rank_sums(tuple(rows))
    if found is None:
        return None
    squares = _squares(found)
    return float(found.chances[squares == squares.max()].sum())


def friedman_critical(assessors: int, samples: int, alpha: float) -> float | None:
    """Return the smallest statistic that is significant, by exact enumeration without ties.

    Parameters
    ----------
    assessors, samples : int
        J, 1 or more, and P, 2 or more.
    alpha : float
        Level, above 0 and below 1.

    Returns
    -------
    float or None
        None where not even equal rankings reach `alpha`.

    Raises
    ------
    ValueError
        If an argument is out of range, or the test too large for exact values.

    Examples
    --------
    >>> round(friedman_critical(10, 3, 0.05), 6)
    6.2
    """
    import numpy as np

    check_open_unit("alpha", alpha)
    found = find_rank_sums(untied_rows(assessors, samples))
    if found is None:
        raise ValueError(
            f"assessors and samples must be fewer for exact values, not {assessors} and {samples}"
        )
    squares = _squares(found)
    for square in np.unique(squares).tolist():
        if reaches(float(found.chances[squares >= square].sum()), alpha):
            shared = assessors * (samples + 1)
            return float(3 * square / (shared * samples) - 3 * shared)
    return None


def _squares(found: RankSums) -> "NDArray[np.int64]":
    """Return the sum of squares of doubled rank sums, which orders as the statistic does."""
    squares: NDArray[np.int64] = (found.sums**2).sum(axis=1)
    return squares


def _find_f_form(statistic: float, assessors: int, samples: int) -> FForm | None:
    from scipy import special  # takes half a second to load

    if assessors == 1:
        return None
    df = (samples - 1, (samples - 1) * (assessors - 1))
    rest = assessors * (samples - 1) - statistic
    f = (assessors - 1) * statistic / rest
    return FForm(f, df, float(special.fdtrc(*df, f)))


def _notes(p_exact: float | None, assessors: int, all_alike: bool) -> tuple[str, ...]:
    reasons = {
        TOO_LARGE: p_exact is None,
        NO_F_ONE_ASSESSOR: assessors == 1,
        NO_F_ALL_ALIKE: assessors > 1 and all_alike,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
