"""Skillings and Mack's test of whether samples differ in rank, whoever rated which of them."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from server.stats.block_design import describe_design, tell_groups
from server.stats.block_orders import block_p
from server.stats.block_ranks import find_covariance, invert_covariance, rank_blocks, sum_weighted
from server.stats.chi_square import build_chi_square
from server.stats.ratings import Ratings
from server.stats.results import ChiSquare

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Distribution = Literal["exact", "chi-square"]

ONE_SAMPLE = "There is one sample only: nothing to compare."
ALL_TIED = "The test has no statistic: nobody told any two samples apart."
LEFT_OUT = "Rated one sample only, which compares nothing; left out: {}."
REPEATED = "Several values of one assessor for one sample count as one, their mean."
TIES_COST = (
    "Ties leave {} degrees of freedom instead of {}: some samples were told apart by nobody."
)
TOO_LARGE = (
    "No exact p-value: there are too many assessors or samples; the chi-square p-value "
    "stands in its place."
)


@dataclass(frozen=True)
class SkillingsMack:
    """Skillings and Mack's test.

    Attributes
    ----------
    assessors : tuple of str
        Who rated two samples or more.
    samples : tuple of str, length t
    weighted_sums : tuple of float, length t
        Weighted sums of ranks less their mean; the lowest value has rank 1.
    statistic_uncorrected : float or None
        The statistic as if there were no ties.
    chi_square : ChiSquare or None
        The statistic, corrected for ties, with its large-sample p-value.
    p_exact : float or None
        Exact chance of a statistic as large or larger, ties and gaps as they are.
    p_value : float or None
        The one to report.
    distribution : {"exact", "chi-square"} or None
        Where `p_value` comes from: exact wherever that is feasible.
    notes : tuple of str
        How to read it, and why something is None.
    """

    assessors: tuple[str, ...]
    samples: tuple[str, ...]
    weighted_sums: tuple[float, ...]
    statistic_uncorrected: float | None
    chi_square: ChiSquare | None
    p_exact: float | None
    p_value: float | None
    distribution: Distribution | None
    notes: tuple[str, ...]


def analyse_skillings_mack(ratings: Ratings) -> SkillingsMack:
    """Test whether samples differ, from whatever part of them each assessor rated.

    Parameters
    ----------
    ratings : Ratings
        One attribute, or ranks. An assessor who compared at several sittings
        should have a label for each of them.

    Returns
    -------
    SkillingsMack

    Notes
    -----
    Everybody's values are ranked among themselves and weighted by √(12 / (k + 1)),
    k being how many samples this assessor rated. With A the weighted sums of ranks
    less their means, the statistic is A' Σ⁻ A, chi-square on rank(Σ) = t - 1
    degrees of freedom, where -Σ_ij, i ≠ j, counts the assessors who rated both i
    and j [1]_. Corrected for ties, an assessor counts there with 12 S / (k (k² - 1))
    in place of 1, S being the squared deviations of the own ranks: the variance
    which the ranks have over all orders. Without gaps it is Friedman's statistic,
    in a balanced incomplete block design without ties Durbin's.

    Gaps must have nothing to do with the values: cups not served, not cups refused.

    References
    ----------
    .. [1] Skillings, J. H. & Mack, G. A. (1981). On the use of a Friedman-type
       statistic in balanced and unbalanced block designs. Technometrics, 23,
       171-177.

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["a", "a", "b", "b", "b", "c", "c"], ["X", "Y", "X", "Y", "Z", "Y", "Z"]
    >>> found = analyse_skillings_mack(build_ratings(people, names, [1, 2, 1, 2, 3, 1, 2]))
    >>> round(found.chi_square.statistic, 6), found.chi_square.df, round(found.p_exact, 6)
    (3.732051, 2, 0.25)
    """
    import numpy as np

    table = ratings.means()
    several = (~np.isnan(table)).sum(axis=1) > 1
    kept = table[several]
    blocks, count = rank_blocks(kept), len(ratings.samples)
    sums = sum_weighted(blocks, count)
    notes = _find_notes(ratings, several)
    reason = _find_reason(ratings, kept)
    statistic = uncorrected = p_exact = None
    if reason is None:
        inverse, df = invert_covariance(find_covariance(blocks, count))
        plain, _ = invert_covariance(find_covariance(blocks, count, untied=True))
        uncorrected = float(sums @ plain @ sums)
        statistic = build_chi_square(float(sums @ inverse @ sums), df) if df else None
        p_exact = block_p(blocks, inverse, statistic.statistic) if statistic else None
        notes += _explain(statistic, p_exact, count)
    p_value, distribution = _choose(statistic, p_exact)
    return SkillingsMack(
        assessors=tuple(np.array(ratings.assessors)[several].tolist()),
        samples=ratings.samples,
        weighted_sums=tuple(sums.tolist()),
        statistic_uncorrected=uncorrected,
        chi_square=statistic,
        p_exact=p_exact,
        p_value=p_value,
        distribution=distribution,
        notes=notes if reason is None else (*notes, reason),
    )


def _choose(
    statistic: ChiSquare | None, p_exact: float | None
) -> tuple[float | None, Distribution | None]:
    if p_exact is not None:
        return p_exact, "exact"
    return (statistic.p_value, "chi-square") if statistic else (None, None)


def _find_reason(ratings: Ratings, kept: "NDArray[np.float64]") -> str | None:
    """Return why there is nothing to test, or None."""
    import numpy as np

    if len(ratings.samples) == 1:
        return ONE_SAMPLE
    design = describe_design(~np.isnan(kept)) if len(kept) else None
    if design is None:
        return ALL_TIED
    return None if design.connected else tell_groups(design, ratings.samples)


def _find_notes(ratings: Ratings, several: "NDArray[np.bool_]") -> tuple[str, ...]:
    alone = [name for name, kept in zip(ratings.assessors, several, strict=True) if not kept]
    reasons = {
        LEFT_OUT.format(", ".join(alone)): bool(alone) and len(ratings.samples) > 1,
        REPEATED: bool((ratings.counts() > 1).any()),
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)


def _explain(statistic: ChiSquare | None, p_exact: float | None, samples: int) -> tuple[str, ...]:
    if statistic is None:
        return (ALL_TIED,)
    reasons = {
        TIES_COST.format(statistic.df, samples - 1): statistic.df < samples - 1,
        TOO_LARGE: p_exact is None,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
