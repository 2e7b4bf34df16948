"""Exact power of a test whose assessors answer several times each and differ among themselves."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.binomial import critical_number, tail
from server.stats.checks import check_open_unit, check_probability
from server.stats.overdispersed import log_pmf
from server.stats.thurstone import pc_from_share

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_ANSWERS = 20_000

ABOUT_THIS_PANEL = (
    "Pooled answers tell of these assessors on these cups; how many other people "
    "would notice is a matter of the number of assessors."
)
NO_CRITICAL = "The level and the power are not estimable: too few answers for this alpha."
NOTHING_TO_INFLATE = "The variance inflation is not estimable: every answer would be correct."


@dataclass(frozen=True)
class ReplicatedPower:
    """Power of the pooled test of a panel that answers several times.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    assessors, replicates : int
        Number of assessors, and answers of each.
    chance, alpha : float
        Probability of a correct answer by guessing, and level of the test.
    share, gamma : float
        Mean share of noticed differences and over-dispersion that are supposed
        true.
    trials : int
        All answers.
    critical : int or None
        Critical number of the pooled, binomial test.
    achieved_alpha : float or None
        Exact level of that test; over-dispersion does not change it, as
        assessors who only guess do not differ.
    power : float or None
        Exact power of the test at `share` and `gamma`.
    binomial_power : float or None
        Power if the assessors did not differ, or answered once each.
    variance_inflation : float or None
        Variance of the number of correct answers over that without
        over-dispersion.
    notes : tuple of str
        Whom the test speaks about, and why something is None.
    """

    assessors: int
    replicates: int
    chance: float
    alpha: float
    share: float
    gamma: float
    trials: int
    critical: int | None
    achieved_alpha: float | None
    power: float | None
    binomial_power: float | None
    variance_inflation: float | None
    notes: tuple[str, ...]


def replicated_power(
    assessors: int, replicates: int, chance: float, alpha: float, share: float, gamma: float
) -> ReplicatedPower:
    """Return the exact power of the pooled one-sided test.

    Parameters
    ----------
    assessors : int
        Number of assessors, 1 or more.
    replicates : int
        Answers of each, 1 to 1,000; of all together at most 20,000.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    alpha : float
        One-sided level of the test, above 0 and below 1.
    share : float
        Mean over assessors of the share of answers that notice the difference,
        0 to 1.
    gamma : float
        Over-dispersion of that share, 0 to 1, as in `overdispersed.log_pmf`.

    Returns
    -------
    ReplicatedPower
        Power, level and variance inflation, unrounded.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    All answers are counted as if independent, which is exact under guessing: an
    assessor who only guesses has no share of his own, whatever the panel [1]_. The
    power is that of the sum of `assessors` over-dispersed numbers, see
    `pooled_distribution`. With p the mean proportion correct and g the chance, the
    correlation of two answers of one assessor and the variance inflation of R
    replicates are

        r = gamma (p - g)(1 - p) / (p (1 - p)) = gamma (p - g) / p,    1 + (R - 1) r.

    References
    ----------
    .. [1] Kunert, J. & Meyners, M. (1999). On the triangle test with replications.
       Food Quality and Preference, 10, 477-482.

    Examples
    --------
    >>> found = replicated_power(12, 6, 1 / 3, 0.05, 0.3, 0.3)
    >>> found.critical, round(found.power, 4), round(found.binomial_power, 4)
    (32, 0.9037, 0.9483)
    >>> round(found.variance_inflation, 10)
    1.5625
    """
    check_open_unit("chance", chance)
    check_open_unit("alpha", alpha)
    counts = pooled_distribution(assessors, replicates, chance, share, gamma)
    trials = assessors * replicates
    critical = critical_number(trials, chance, alpha)
    pc = pc_from_share(share, chance)
    inflation = 1 + (replicates - 1) * gamma * (pc - chance) / pc if pc < 1 else None
    return ReplicatedPower(
        assessors=assessors,
        replicates=replicates,
        chance=chance,
        alpha=alpha,
        share=share,
        gamma=gamma,
        trials=trials,
        critical=critical,
        achieved_alpha=None if critical is None else tail(critical, trials, chance),
        power=None if critical is None else min(1.0, float(counts[critical:].sum())),
        binomial_power=None if critical is None else tail(critical, trials, pc),
        variance_inflation=inflation,
        notes=_notes(critical, inflation),
    )


def pooled_distribution(
    assessors: int, replicates: int, chance: float, share: float, gamma: float
) -> "NDArray[np.float64]":
    """Return the probability of every number of correct answers of a panel.

    Parameters
    ----------
    assessors, replicates, chance, share, gamma
        As in `replicated_power`, except that `chance` may be 0.

    Returns
    -------
    ndarray of float, shape (assessors * replicates + 1,)
        P(X = 0), P(X = 1), ... of the sum over assessors.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    The sum of independent numbers is distributed as the convolution of their
    distributions, here of equal ones, so that squaring takes log2(`assessors`)
    steps. All terms are positive: no digits are lost in the tails.

    Examples
    --------
    >>> pooled_distribution(2, 1, 0.0, 0.5, 0.3).round(10).tolist()
    [0.25, 0.5, 0.25]
    """
    import numpy as np

    _check_panel(assessors, replicates)
    check_probability("share", share)
    power = np.exp(log_pmf(replicates, chance, share, gamma))
    total = np.ones(1)
    while assessors:
        if assessors % 2:
            total = np.convolve(total, power)
        assessors //= 2
        if assessors:
            power = np.convolve(power, power)
    return total


def _check_panel(assessors: int, replicates: int) -> None:
    for name, value in (("assessors", assessors), ("replicates", replicates)):
        if not isinstance(value, int) or isinstance(value, bool) or value < 1:
            raise ValueError(f"{name} must be a whole number, 1 or more, not {value}")
    if assessors * replicates > MOST_ANSWERS:
        raise ValueError(
            f"assessors times replicates must be at most {MOST_ANSWERS:,}, "
            f"not {assessors * replicates}"
        )


def _notes(critical: int | None, inflation: float | None) -> tuple[str, ...]:
    reasons = {
        ABOUT_THIS_PANEL: True,
        NO_CRITICAL: critical is None,
        NOTHING_TO_INFLATE: inflation is None,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
