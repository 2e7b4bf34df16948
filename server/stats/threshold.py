"""Best-estimate thresholds: one an assessor, and their geometric mean."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from server.stats.checks import check_open_unit
from server.stats.results import Interval
from server.stats.series import Answer, Step, order_steps, pool

BIASED_BY_GUESSING = (
    "A best estimate is biased by guessing: lucky answers just below the concentration that "
    "an assessor notices lower it."
)
SEVERAL_ANSWERS = "A step with several answers of an assessor counts as correct if all are."
UNEQUAL_STEPS = (
    "The steps of the series are unequal: past either end, half a step is half of the step "
    "next to that end."
)
LEFT_OUT = (
    "Some assessors left out concentrations: a best estimate rests on those the assessor tasted."
)
PAST_THE_ENDS = (
    "Some best estimates stand half a step past the series by convention: the assessor missed "
    "the highest concentration tasted, or none."
)
ONE_STEP = "No best estimate for an assessor with one concentration only: there is no step."
NO_ESTIMATE = "The group threshold is not estimable: no assessor has a best estimate."
ONE_ESTIMATE = (
    "Spread and limits of the group threshold are not estimable: one assessor has a best estimate."
)
NO_SPREAD = "The limits of the group threshold are not estimable: all best estimates are equal."

# Factors between neighbours of a series count as equal up to here, because
# concentrations are written down rounded; a convention of our own.
EQUAL_FACTORS = 1.05
EQUAL_LOGS = 1e-12


@dataclass(frozen=True)
class BestEstimate:
    """Best-estimate threshold of one assessor.

    Attributes
    ----------
    assessor : str
        Whose it is.
    threshold : float or None
        In the unit of the series; None if there is no step to take half of.
    log_threshold : float or None
        Its decadic logarithm.
    last_missed : float or None
        Highest concentration missed; None if none was.
    past : {"", "below", "above"}
        Which end of the series it stands past, if any.
    guesses : int
        Steps answered correctly below the last one missed: they count as guesses.
    left_out : tuple of float
        Concentrations of the series that the assessor did not taste.
    """

    assessor: str
    threshold: float | None
    log_threshold: float | None
    last_missed: float | None
    past: Literal["", "below", "above"]
    guesses: int
    left_out: tuple[float, ...] = ()


@dataclass(frozen=True)
class BestEstimates:
    """Best-estimate thresholds of a group.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    estimates : tuple of BestEstimate
        One an assessor, in the order in which they first answer.
    concentrations : tuple of float
        The series, rising.
    level : float
        Confidence level of the limits.
    estimated : int
        Assessors with a best estimate.
    past_below, past_above : int
        How many of them stand past the lower and the upper end.
    mean_log, sd_log : float or None
        Mean and standard deviation (n - 1) of the decadic logarithms.
    threshold : float or None
        Geometric mean of the best estimates, in the unit of the series.
    threshold_interval : Interval or None
        Its limits by Student's t on the logarithms.
    luck : float
        By how many steps guessing would lower a best estimate on average, for an
        assessor who notices nothing in this series; see `expect_luck`.
    notes : tuple of str
        Why something is None, and the conventions that were needed.
    """

    estimates: tuple[BestEstimate, ...]
    concentrations: tuple[float, ...]
    level: float
    estimated: int
    past_below: int
    past_above: int
    mean_log: float | None
    sd_log: float | None
    threshold: float | None
    threshold_interval: Interval | None
    luck: float
    notes: tuple[str, ...]


def find_best_estimate(assessor: str, steps: Sequence[Step]) -> BestEstimate:
    """Return the best-estimate threshold of one assessor.

    Parameters
    ----------
    assessor : str
        Whose it is.
    steps : sequence of Step
        The assessor's answers at each concentration tasted, in any order. A step
        is correct if all its answers are.

    Returns
    -------
    BestEstimate
        With nothing left out.

    Raises
    ------
    ValueError
        If there is no step, counts are impossible, or a concentration is out of
        range or stands there twice.

    Notes
    -----
    The best estimate is the geometric mean of the last concentration missed and
    the next higher one. The series is thought to go on by the step at its end: with
    none missed the estimate is lowest / sqrt(second / lowest), with the highest
    missed highest · sqrt(highest / next lower). Correct answers that a miss
    follows count as guesses.

    References
    ----------
    .. [1] ASTM E679 and ISO 13301 (both from memory): ascending series of forced
       choices, best-estimate thresholds.
    .. [2] Lawless, H. T. & Heymann, H. (2010). Sensory Evaluation of Food, 2nd ed.,
       chapter 6. Springer (from memory).

    Examples
    --------
    >>> answers = zip([1, 3, 9, 27, 81], [1, 0, 0, 1, 1])
    >>> found = find_best_estimate("ann", [Step(c, correct, 1) for c, correct in answers])
    >>> round(found.threshold, 6), found.last_missed, found.guesses
    (15.588457, 9, 1)
    """
    ordered = order_steps(steps)
    places = [step.concentration for step in ordered]
    missed = [i for i, step in enumerate(ordered) if step.correct < step.trials]
    last = missed[-1] if missed else -1
    guesses = last + 1 - len(missed)
    last_missed = places[last] if missed else None
    if len(places) == 1:
        return BestEstimate(assessor, None, None, last_missed, "", guesses)
    logs = [math.log10(place) for place in places]
    extended = [2 * logs[0] - logs[1], *logs, 2 * logs[-1] - logs[-2]]
    log = (extended[last + 1] + extended[last + 2]) / 2
    past: Literal["", "below", "above"] = "" if missed else "below"
    if last == len(places) - 1:
        past = "above"
    return BestEstimate(assessor, 10.0**log, log, last_missed, past, guesses)


def find_best_estimates(
    answers: Sequence[Answer], chance: float = 1 / 3, level: float = 0.95
) -> BestEstimates:
    """Return the best-estimate thresholds of a group and their geometric mean.

    Parameters
    ----------
    answers : sequence of Answer
        All answers, in any order. Answers of one assessor at one concentration
        belong to one step, which is correct if all of them are.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    level : float
        Confidence level of the limits, above 0 and below 1.

    Returns
    -------
    BestEstimates
        One estimate an assessor and the group's, unrounded.

    Raises
    ------
    ValueError
        If there is no answer, or an argument is out of range.

    Notes
    -----
    The limits speak of the mean of such assessors' best estimates, guessing
    included; not of any one person's threshold.

    Examples
    --------
    >>> answers = [Answer("ann", 1, 0), Answer("ann", 4, 1), Answer("bo", 1, 1), Answer("bo", 4, 1)]
    >>> found = find_best_estimates(answers)
    >>> [round(one.threshold, 10) for one in found.estimates], round(found.threshold, 10)
    ([2.0, 0.5], 1.0)
    """
    check_open_unit("chance", chance)
    check_open_unit("level", level)
    if not answers:
        raise ValueError("answers must hold at least one answer, not none")
    series = order_steps(pool(answers))
    concentrations = tuple(step.concentration for step in series)
    tasted = _group(answers)
    estimates = tuple(_estimate_each(tasted, concentrations))
    logs = [one.log_threshold for one in estimates if one.log_threshold is not None]
    mean, sd, interval = _summarise(logs, level)
    trials = {step.trials for steps in tasted.values() for step in steps}
    return BestEstimates(
        estimates=estimates,
        concentrations=concentrations,
        level=level,
        estimated=len(logs),
        past_below=sum(one.past == "below" for one in estimates),
        past_above=sum(one.past == "above" for one in estimates),
        mean_log=mean,
        sd_log=sd,
        threshold=None if mean is None else 10.0**mean,
        threshold_interval=interval,
        luck=expect_luck(chance ** min(trials), len(concentrations)),
        notes=_note(estimates, concentrations, logs, max(trials)),
    )


def expect_luck(chance: float, steps: int) -> float:
    """Return how many steps in a row are guessed right on average, up to a miss.

    Parameters
    ----------
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    steps : int
        Steps below the concentration that an assessor notices, 0 or more.

    Returns
    -------
    float
        chance + chance² + ... + chance^`steps`: by so many steps guessing lowers
        the best estimate of an assessor who notices every concentration above.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Examples
    --------
    >>> round(expect_luck(1 / 3, 5), 6)
    0.497942
    """
    check_open_unit("chance", chance)
    if steps < 0:
        raise ValueError(f"steps must be 0 or more, not {steps}")
    return chance * (1 - chance**steps) / (1 - chance)


def _group(answers: Sequence[Answer]) -> dict[str, tuple[Step, ...]]:
    """Return everybody's steps."""
    own: dict[str, list[Answer]] = {}
    for answer in answers:
        own.setdefault(answer.assessor, []).append(answer)
    return {assessor: pool(given) for assessor, given in own.items()}


def _estimate_each(
    tasted: Mapping[str, Sequence[Step]], concentrations: Sequence[float]
) -> Iterator[BestEstimate]:
    for assessor, steps in tasted.items():
        own = {step.concentration for step in steps}
        left_out = tuple(one for one in concentrations if one not in own)
        yield replace(find_best_estimate(assessor, steps), left_out=left_out)


def _summarise(
    logs: Sequence[float], level: float
) -> tuple[float | None, float | None, Interval | None]:
    """Return mean and standard deviation of the logarithms, and limits of 10^mean."""
    from scipy import special  # takes half a second to load

    n = len(logs)
    if not n:
        return None, None, None
    mean = math.fsum(logs) / n
    if n == 1:
        return mean, None, None
    if _are_equal(logs):
        return mean, 0.0, None
    sd = math.sqrt(math.fsum((log - mean) ** 2 for log in logs) / (n - 1))
    reach = float(special.stdtrit(n - 1, (1 + level) / 2)) * sd / math.sqrt(n)
    return mean, sd, Interval(10.0 ** (mean - reach), 10.0 ** (mean + reach))


def _are_equal(logs: Sequence[float]) -> bool:
    return max(logs) - min(logs) < EQUAL_LOGS


def _note(
    estimates: Sequence[BestEstimate],
    concentrations: Sequence[float],
    logs: Sequence[float],
    most_trials: int,
) -> tuple[str, ...]:
    reasons = {
        BIASED_BY_GUESSING: True,
        SEVERAL_ANSWERS: most_trials > 1,
        UNEQUAL_STEPS: _has_unequal_steps(concentrations),
        LEFT_OUT: any(one.left_out for one in estimates),
        PAST_THE_ENDS: any(one.past for one in estimates),
        ONE_STEP: len(logs) < len(estimates),
        NO_ESTIMATE: not logs,
        ONE_ESTIMATE: len(logs) == 1,
        NO_SPREAD: len(logs) > 1 and _are_equal(logs),
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)


def _has_unequal_steps(concentrations: Sequence[float]) -> bool:
    factors = [high / low for low, high in pairwise(concentrations)]
    return bool(factors) and max(factors) > EQUAL_FACTORS * min(factors)
