"""Several rates tested for equality: chi-square, likelihood ratio, exact over all tables."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.chi_square import build_chi_square
from server.stats.results import ChiSquare
from server.stats.two_rates import EQUALLY_PROBABLE, ONE_ANSWER_ONLY, check_answers, log_choose

if TYPE_CHECKING:
    from numpy.typing import NDArray

MOST_TABLES = 1_000_000

TOO_MANY_TABLES = (
    "The exact p-value is not computed: more than a million tables have these totals. "
    "The chi-square tests are good approximations for that many answers, "
    "unless some expected counts are below 5."
)


@dataclass(frozen=True)
class SeveralRates:
    """Tests that several independent rates are equal.

    Attributes
    ----------
    rate : float
        Proportion of yes answers in all.
    pearson, likelihood_ratio : ChiSquare or None
        Chi-square test and likelihood ratio; None if all answers were the same.
    exact : float or None
        Exact p-value over all tables no more probable than this one; None if
        there are too many.
    notes : tuple of str
        Why something is None.
    """

    rate: float
    pearson: ChiSquare | None
    likelihood_ratio: ChiSquare | None
    exact: float | None
    notes: tuple[str, ...]


def compare_several_rates(yes: Sequence[int], answers: Sequence[int]) -> SeveralRates:
    """Test whether several independent rates are equal.

    Parameters
    ----------
    yes, answers : sequence of int, length k
        Yes answers and all answers of every sample, two samples or more.

    Returns
    -------
    SeveralRates
        Tests with k - 1 degrees of freedom, and the exact p-value.

    Raises
    ------
    ValueError
        If there are fewer than two samples, or a count is out of range.

    Notes
    -----
    Pearson's Σ (observed - expected)²/expected [1]_ and 2 Σ observed ln(observed/expected). The
    exact p-value adds up the probabilities, totals fixed, of all tables that are
    no more probable than the observed one: Fisher's two-sided test for more than two samples [2]_.

    References
    ----------
    .. [1] Pearson, K. (1900). On the criterion that a given system of
       deviations ... Philosophical Magazine, 50, 157-175.
    .. [2] Freeman, G. H. & Halton, J. H. (1951). Note on an exact treatment of
       contingency, goodness of fit and other problems of significance.
       Biometrika, 38, 141-149.

    Examples
    --------
    >>> found = compare_several_rates([41, 30, 50], [72, 72, 72])
    >>> round(found.pearson.statistic, 6), found.pearson.df
    (11.312049, 2)
    """
    if len(yes) != len(answers) or len(yes) < 2:
        raise ValueError(f"yes must hold as many counts as answers, two or more, not {len(yes)}")
    for one, all_of_it in zip(yes, answers, strict=True):
        check_answers("yes", one, all_of_it)
    varied = 0 < sum(yes) < sum(answers)
    exact = _exact(yes, answers)
    reasons = {ONE_ANSWER_ONLY: not varied, TOO_MANY_TABLES: exact is None}
    return SeveralRates(
        rate=sum(yes) / sum(answers),
        pearson=build_chi_square(_pearson(yes, answers), len(yes) - 1) if varied else None,
        likelihood_ratio=build_chi_square(_ratio(yes, answers), len(yes) - 1) if varied else None,
        exact=exact,
        notes=tuple(sentence for sentence, holds in reasons.items() if holds),
    )


def _pearson(yes: Sequence[int], answers: Sequence[int]) -> float:
    rate = sum(yes) / sum(answers)
    return sum(
        (one - n * rate) ** 2 / (n * rate * (1 - rate)) for one, n in zip(yes, answers, strict=True)
    )


def _ratio(yes: Sequence[int], answers: Sequence[int]) -> float:
    rate = sum(yes) / sum(answers)
    return 2 * sum(
        _part(one, n * rate) + _part(n - one, n * (1 - rate))
        for one, n in zip(yes, answers, strict=True)
    )


def _part(observed: int, expected: float) -> float:
    return observed * math.log(observed / expected) if observed else 0.0


def _exact(yes: Sequence[int], answers: Sequence[int]) -> float | None:
    """Return the exact p-value; None if there are too many tables."""
    import numpy as np

    *others, largest = sorted(answers)
    if math.prod(n + 1 for n in others) > MOST_TABLES:
        return None
    ways, taken = np.zeros(1), np.zeros(1, dtype=np.int64)
    for n in others:
        counts = np.arange(n + 1)
        ways = np.add.outer(ways, log_choose(n, counts)).ravel()
        taken = np.add.outer(taken, counts).ravel()
    left = sum(yes) - taken
    possible = (left >= 0) & (left <= largest)
    ways = ways[possible] + log_choose(largest, left[possible])
    chances: NDArray[np.float64] = np.exp(ways - ways.max())
    observed = math.exp(_observed_ways(yes, answers) - float(ways.max()))
    extreme = chances <= observed * (1 + EQUALLY_PROBABLE)
    return min(1.0, float(chances[extreme].sum() / chances.sum()))


def _observed_ways(yes: Sequence[int], answers: Sequence[int]) -> float:
    import numpy as np

    return sum(
        float(log_choose(n, np.array([one]))[0]) for one, n in zip(yes, answers, strict=True)
    )
