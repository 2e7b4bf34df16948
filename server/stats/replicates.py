"""Everything that follows from several answers of each assessor in a forced-choice test."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.stats.betabinomial import BetaBinomialFit, fit_beta_binomial
from server.stats.binomial import Sides, check_sided, critical_number, p_value
from server.stats.checks import check_open_unit
from server.stats.dispersion import Dispersion, measure_dispersion
from server.stats.panel_tests import (
    DRAWS,
    GuessingTest,
    MeanTest,
    compare_mean_with_chance,
    compare_with_guessing,
)
from server.stats.replicate_likelihood import check_people
from server.stats.replicated_similarity import bound_mean_share
from server.stats.thurstone import ForcedChoice

THIS_PANEL = (
    "The pooled test is exact however much assessors differ, for it asks whether all of them "
    "guess. It speaks about this panel on these cups; people like them are a matter of the "
    "models, and of the number of assessors."
)
ONE_ANSWER_EACH = "Every assessor answered once: an analysis of counts gives exact limits."
UNEQUAL = "Assessors gave unequal numbers of answers; those with more weigh more when pooled."
NO_CRITICAL = "No number of correct answers reaches alpha: too few answers for this level."
ONE_ASSESSOR = (
    "The upper limit of the share of noticed differences among people is not estimable: "
    "one assessor."
)
TWO_SIDED = (
    "Two-sided: either choice may be counted, so there is no guessing to correct for; "
    "the beta-binomial alone is fitted."
)
FIRM_CHOICES = (
    "The pooled test is exact if every answer is even odds for every assessor. Assessors who "
    "firmly choose opposite samples make it find too much; the test of the mean allows for that."
)


@dataclass(frozen=True)
class PooledTest:
    """Exact binomial test of all answers as one count.

    Attributes
    ----------
    correct, trials : int
        Totals.
    p_value : float
        Exact if every answer is a guess, whatever replicates there are.
    critical : int or None
        Smallest number of correct answers significant at the level, two-sided
        of the larger count; None if there is none.
    detected : bool
        Whether it is reached.
    """

    correct: int
    trials: int
    p_value: float
    critical: int | None
    detected: bool


@dataclass(frozen=True)
class ReplicatesResult:
    """A replicated forced-choice test analysed from the counts of each assessor.

    What cannot be estimated is None and has a sentence in `notes`, its own or
    that of the part it belongs to.

    Attributes
    ----------
    method : str
        Name of the model.
    sided : {"one", "two"}
        Whether few correct answers count as well as many.
    chance : float
        Probability of a correct answer by guessing.
    assessors : int
        How many there were.
    correct, trials : tuple of int, length assessors
        Their counts.
    alpha : float
        Level of the pooled test.
    level : float
        Confidence level of every limit.
    seed : int
        Of the draws that `all_guessing` rests on.
    pooled : PooledTest
        Whether everybody guesses, by the total.
    all_guessing : GuessingTest or None
        The same by the pattern of counts; None two-sided.
    dispersion : Dispersion
        Whether assessors differ, by moments.
    beta_binomial : BetaBinomialFit
        Mean and spread of the shares correct.
    corrected : BetaBinomialFit or None
        Mean and spread of the shares of noticed differences; None two-sided.
    mean_against_chance : MeanTest
        Whether the mean of people like these is above chance.
    share_upper : float or None
        One-sided upper limit of the mean share of noticed differences among
        people like these; None two-sided, or for one assessor.
    notes : tuple of str
        On whom the results speak about, and why something is None.
    """

    method: str
    sided: Sides
    chance: float
    assessors: int
    correct: tuple[int, ...]
    trials: tuple[int, ...]
    alpha: float
    level: float
    seed: int
    pooled: PooledTest
    all_guessing: GuessingTest | None
    dispersion: Dispersion
    beta_binomial: BetaBinomialFit
    corrected: BetaBinomialFit | None
    mean_against_chance: MeanTest
    share_upper: float | None
    notes: tuple[str, ...]


def analyse_replicates(
    model: ForcedChoice,
    correct: Sequence[int],
    trials: Sequence[int],
    alpha: float = 0.05,
    level: float = 0.95,
    sided: Sides = "one",
    seed: int = 1,
) -> ReplicatesResult:
    """Analyse a replicated forced-choice test.

    Parameters
    ----------
    model : ForcedChoice
        The method's model.
    correct, trials : sequence of int, length assessors
        Correct answers and all answers of each assessor; 1 to 1,000 answers
        each, not necessarily equally many. Two-sided: the choices of one sample.
    alpha : float
        Level of the pooled test, above 0 and below 1.
    level : float
        Confidence level of the limits, above one half and below 1.
    sided : {"one", "two"}
        Two-sided only at chance 1/2.
    seed : int
        For the draws of guessing panels, 0 or more.

    Returns
    -------
    ReplicatesResult
        Tests, models and limits, unrounded.

    Raises
    ------
    ValueError
        If there is nobody, the lengths differ or an argument is out of range.

    References
    ----------
    .. [1] Kunert, J. & Meyners, M. (1999). On the triangle test with
       replications. Food Quality and Preference, 10, 477-482 (why the pooled
       difference test holds).
    .. [2] Brockhoff, P. B. (2003). The statistical power of replications in
       difference tests. Food Quality and Preference, 14, 405-417 (the
       chance-corrected beta-binomial).

    Examples
    --------
    >>> from server.stats.forced_choice import TRIANGLE
    >>> answers = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
    >>> result = analyse_replicates(TRIANGLE, answers, [5] * 16)
    >>> result.pooled.correct, result.pooled.trials, round(result.pooled.p_value, 8)
    (39, 80, 0.00306642)
    >>> round(result.corrected.mean, 6), round(result.corrected.gamma, 6)
    (0.217549, 0.869954)
    """
    check_people(correct, trials)
    check_open_unit("alpha", alpha)
    if not 0.5 < level < 1:
        raise ValueError(f"level must be above one half and below 1, not {level}")
    check_sided(sided, model.chance)
    if seed < 0:
        raise ValueError(f"seed must be 0 or more, not {seed}")
    one_sided = sided == "one"
    corrected = fit_beta_binomial(correct, trials, model.chance, level) if one_sided else None
    upper = bound_mean_share(correct, trials, model.chance, level) if one_sided else None
    pooled = _pool(model, sum(correct), sum(trials), alpha, sided)
    return ReplicatesResult(
        method=model.name,
        sided=sided,
        chance=model.chance,
        assessors=len(correct),
        correct=tuple(correct),
        trials=tuple(trials),
        alpha=alpha,
        level=level,
        seed=seed,
        pooled=pooled,
        all_guessing=_draw_guessing(model, correct, trials, seed) if one_sided else None,
        dispersion=measure_dispersion(correct, trials),
        beta_binomial=fit_beta_binomial(correct, trials, level=level),
        corrected=corrected,
        mean_against_chance=compare_mean_with_chance(correct, trials, model.chance, sided),
        share_upper=upper,
        notes=_notes(trials, sided, pooled.critical),
    )


def _pool(model: ForcedChoice, correct: int, trials: int, alpha: float, sided: Sides) -> PooledTest:
    critical = critical_number(trials, model.chance, alpha, sided)
    counted = correct if sided == "one" else max(correct, trials - correct)
    return PooledTest(
        correct=correct,
        trials=trials,
        p_value=p_value(correct, trials, model.chance, sided),
        critical=critical,
        detected=critical is not None and counted >= critical,
    )


def _draw_guessing(
    model: ForcedChoice, correct: Sequence[int], trials: Sequence[int], seed: int
) -> GuessingTest:
    import numpy as np

    rng = np.random.default_rng(seed)
    return compare_with_guessing(correct, trials, model.chance, rng, DRAWS)


def _notes(trials: Sequence[int], sided: Sides, critical: int | None) -> tuple[str, ...]:
    """Return on whom the results speak about, and a sentence for what is None."""
    reasons = {
        THIS_PANEL: max(trials) > 1 and sided == "one",
        FIRM_CHOICES: max(trials) > 1 and sided == "two",
        ONE_ANSWER_EACH: max(trials) == 1,
        UNEQUAL: min(trials) < max(trials),
        NO_CRITICAL: critical is None,
        TWO_SIDED: sided == "two",
        ONE_ASSESSOR: len(trials) == 1 and sided == "one",
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
