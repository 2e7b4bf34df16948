"""Beta-binomial models of several answers a person, plain and corrected for guessing."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.stats.checks import check_open_unit
from server.stats.profile_limits import find_limits
from server.stats.replicate_likelihood import ReplicateLikelihood, build_likelihood
from server.stats.replicate_maximum import (
    Maximum,
    Parameter,
    build_deviance,
    maximise,
    maximise_given,
)
from server.stats.results import Interval

ONE_ANSWER_EACH = (
    "How much people differ (gamma) is not estimable: one answer a person. "
    "The model is then the binomial one."
)
ONE_PERSON = "How much people differ (gamma) is not estimable: one person."
NOBODY_NOTICED = (
    "How much people differ (gamma) is not estimable: the mean is estimated at its lowest, 0."
)
EVERYBODY_NOTICED = (
    "How much people differ (gamma) is not estimable: the mean is estimated at its highest, 1."
)
NO_EXCESS = (
    "Gamma is estimated at 0: people differ no more than chance alone makes them. "
    "No standard errors at such an edge; the likelihood limits hold."
)
ALL_OR_NONE = (
    "Gamma is estimated at 1: each person notices always or never. "
    "No standard errors at such an edge; the likelihood limits hold."
)
NO_TEST = (ONE_ANSWER_EACH, ONE_PERSON)


@dataclass(frozen=True)
class BinomialComparison:
    """Likelihood-ratio test of a beta-binomial model against the binomial one.

    Attributes
    ----------
    log_likelihood : float
        Of the binomial model (gamma 0).
    statistic : float
        Twice the difference of the log-likelihoods.
    p_chi_square : float
        Tail of chi-square with one degree of freedom, for comparison with
        tables that have it; too large by a factor of two.
    p_value : float
        Half of it, 1 at a statistic of 0: gamma 0 is an edge, where the
        statistic is 0 in half of all panels.
    """

    log_likelihood: float
    statistic: float
    p_chi_square: float
    p_value: float


@dataclass(frozen=True)
class BetaBinomialFit:
    """A beta-binomial model fitted by maximum likelihood.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    chance : float
        Guessing floor of the model; 0 for the plain beta-binomial.
    mean : float
        Mean over people: of the share correct if `chance` is 0, else of the
        share of answers that noticed the difference.
    mean_se : float or None
        Standard error by observed information.
    mean_interval : Interval
        Two-sided limits by profile likelihood.
    gamma : float or None
        Correlation of two answers of a person, 1 / (a + b + 1); of noticing
        if `chance` is not 0.
    gamma_se : float or None
        Standard error by observed information.
    gamma_interval : Interval or None
        Two-sided limits by profile likelihood.
    a, b : float or None
        Parameters of the beta distribution; None where gamma is 0 or 1.
    log_likelihood : float
        Binomial coefficients included.
    against_binomial : BinomialComparison or None
        Test of whether people differ; None for one person or one answer each.
    level : float
        Confidence level of every limit.
    notes : tuple of str
        Why something is None.
    """

    chance: float
    mean: float
    mean_se: float | None
    mean_interval: Interval
    gamma: float | None
    gamma_se: float | None
    gamma_interval: Interval | None
    a: float | None
    b: float | None
    log_likelihood: float
    against_binomial: BinomialComparison | None
    level: float
    notes: tuple[str, ...]


def fit_beta_binomial(
    correct: Sequence[int], trials: Sequence[int], chance: float = 0.0, level: float = 0.95
) -> BetaBinomialFit:
    """Fit the beta-binomial model, or its form corrected for guessing.

    Parameters
    ----------
    correct, trials : sequence of int, length people
        Correct answers and all answers of each person; 1 to 1,000 answers
        each, not necessarily equally many.
    chance : float
        Probability of a correct answer by guessing, 0 or more and below 1.
        Above 0 each person's share correct is chance + (1 - chance) u with u
        beta distributed; at 0 it is u itself, which may lie below guessing.
    level : float
        Confidence level of the limits, above 0 and below 1.

    Returns
    -------
    BetaBinomialFit
        Estimates, limits and the test against the binomial model, unrounded.

    Raises
    ------
    ValueError
        If there is nobody, the lengths differ or a number is out of range.

    Notes
    -----
    Likelihood limits are where twice the log-likelihood, at the best value of
    the other parameter, is a chi-square quantile (one degree of freedom) below
    the top. A dozen people who differ leave limits of the mean that miss a little
    more often than the level says; `replicated_similarity` allows for it.

    References
    ----------
    .. [1] Griffiths, D. A. (1973). Biometrics, 29, 637-648 (maximum likelihood).
    .. [2] Self, S. G. & Liang, K.-Y. (1987). Asymptotic properties of maximum
       likelihood estimators and likelihood ratio tests under nonstandard
       conditions. Journal of the American Statistical Association, 82, 605-610
       (the halved chi-square at an edge).

    Examples
    --------
    >>> answers = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
    >>> fit = fit_beta_binomial(answers, [5] * 16)
    >>> round(fit.mean, 6), round(fit.gamma, 6), round(fit.against_binomial.p_value, 5)
    (0.497245, 0.22746, 0.00748)
    >>> fit_beta_binomial([1, 0, 1], [1, 1, 1]).gamma is None
    True
    """
    check_open_unit("level", level)
    likelihood = build_likelihood(correct, trials, chance)
    top = maximise(likelihood)
    reason = _find_reason(top, len(correct), max(trials))
    known = not reason
    mean_se, gamma_se = _standard_errors(likelihood, top) if known else (None, None)
    a, b = _shape(top) if known else (None, None)
    return BetaBinomialFit(
        chance=chance,
        mean=top.mean,
        mean_se=mean_se,
        mean_interval=_limits(likelihood, top, "mean", level),
        gamma=top.gamma if known else None,
        gamma_se=gamma_se,
        gamma_interval=_limits(likelihood, top, "gamma", level) if known else None,
        a=a,
        b=b,
        log_likelihood=top.log_likelihood,
        against_binomial=None if reason in NO_TEST else _compare_with_binomial(likelihood, top),
        level=level,
        notes=_notes(top, reason),
    )


def _find_reason(top: Maximum, people: int, most_trials: int) -> str:
    """Return why gamma is not estimable; an empty sentence if it is."""
    reasons = {
        ONE_ANSWER_EACH: most_trials == 1,
        ONE_PERSON: people == 1,
        NOBODY_NOTICED: top.mean == 0,
        EVERYBODY_NOTICED: top.mean == 1,
    }
    return next((sentence for sentence, holds in reasons.items() if holds), "")


def _notes(top: Maximum, reason: str) -> tuple[str, ...]:
    if reason:
        return (reason,)
    edges = {0.0: NO_EXCESS, 1.0: ALL_OR_NONE}
    return (edges[top.gamma],) if top.gamma in edges else ()


def _standard_errors(
    likelihood: ReplicateLikelihood, top: Maximum
) -> tuple[float, float] | tuple[None, None]:
    import numpy as np

    if top.gamma in (0.0, 1.0):
        return None, None
    _, _, hessian = likelihood.expand(top.mean, top.gamma)
    mean, gamma = np.sqrt(np.diag(np.linalg.inv(-hessian)))
    return float(mean), float(gamma)


def _shape(top: Maximum) -> tuple[float, float] | tuple[None, None]:
    if top.gamma in (0.0, 1.0):
        return None, None
    size = (1 - top.gamma) / top.gamma
    return top.mean * size, (1 - top.mean) * size


def _limits(
    likelihood: ReplicateLikelihood, top: Maximum, which: Parameter, level: float
) -> Interval:
    best = top.mean if which == "mean" else top.gamma
    limits = find_limits(build_deviance(likelihood, top, which), best, 0.0, 1.0, level)
    return Interval(*(limit for limit in limits if limit is not None))  # neither side is open


def _compare_with_binomial(likelihood: ReplicateLikelihood, top: Maximum) -> BinomialComparison:
    from scipy import special  # takes half a second to load

    binomial = maximise_given(likelihood, "gamma", 0.0).log_likelihood
    at_edge = top.gamma == 0 or top.mean in (0.0, 1.0)
    statistic = 0.0 if at_edge else max(0.0, 2 * (top.log_likelihood - binomial))
    tail = float(special.chdtrc(1, statistic))
    return BinomialComparison(binomial, statistic, tail, tail / 2 if statistic > 0 else 1.0)
