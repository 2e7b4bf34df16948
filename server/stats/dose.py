"""Threshold of a panel from a logistic curve with guessing, by maximum likelihood."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from server.stats.chi_square import build_chi_square, normal_quantile
from server.stats.guessed_logistic import (
    FARTHEST,
    GuessedLogistic,
    Peak,
    find_peak,
    information,
    profile,
)
from server.stats.midpoint_limits import find_limits
from server.stats.results import ChiSquare, OpenInterval
from server.stats.series import Step, order_steps

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

ONE_STEP = "The curve is not estimable: there is one concentration only."
NO_MORE_THAN_GUESSING = (
    "The curve is not estimable: no more correct answers than guessing gives; "
    "look for a threshold at or above the end of the series, if there is one."
)
ALL_CORRECT = (
    "The curve is not estimable: every answer was correct; look for the threshold at or "
    "below the beginning of the series."
)
NO_RISE = (
    "The curve is not estimable: correct answers do not become more frequent with concentration."
)
JUMP = (
    "The curve is not estimable: the answers jump from guessing to correct, so that no slope "
    "is too steep for them; limits, if there are any, say where the threshold may lie."
)
FAR_AWAY = (
    "The threshold is not estimable: so shallow a curve would put it more than ten widths of "
    "the series away from its middle."
)
NO_LOW = (
    "The lower limit of the threshold is not estimable: even one far below the series fits the "
    "answers well enough."
)
NO_HIGH = (
    "The upper limit of the threshold is not estimable: even one far above the series fits the "
    "answers well enough."
)
NO_FIT_TEST = "The fit is not tested: a curve passes through two concentrations in any case."
FEW_EXPECTED = (
    "The p-value of the fit is rough: fewer than 5 correct or wrong answers are expected "
    "at some concentrations."
)

# Likelihoods that differ by less are equal: the peak is then no better than the
# level curve or the jump that it approaches.
NO_BETTER = 1e-8


@dataclass(frozen=True)
class DoseFit:
    """A logistic curve with guessing, fitted to answers along a series.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    chance : float
        Probability of a correct answer by guessing.
    steps : tuple of Step
        The answers, concentration rising.
    level : float
        Confidence level of the limits.
    log_threshold : float or None
        Decadic logarithm of the concentration at which the proportion correct is
        half way between `chance` and 1.
    log_threshold_se_expected, log_threshold_se_observed : float or None
        Its standard error by expected and by observed information.
    log_threshold_interval : OpenInterval or None
        Its profile-likelihood limits. They may stand where the estimate does not.
    threshold : float or None
        The concentration itself, in the unit of the series.
    threshold_interval : OpenInterval or None
        Its limits.
    slope : float or None
        Rate of the logistic per decade of concentration, above 0.
    slope_se_expected, slope_se_observed : float or None
        Its standard errors.
    fitted : tuple of float or None
        Proportion correct on the curve, at each step.
    log_likelihood : float or None
        Of the curve, without binomial coefficients.
    fit : ChiSquare or None
        Deviance from the proportions observed, on steps - 2 degrees of freedom.
    notes : tuple of str
        Why something is None, and what is rough.
    """

    chance: float
    steps: tuple[Step, ...]
    level: float
    log_threshold: float | None = None
    log_threshold_se_expected: float | None = None
    log_threshold_se_observed: float | None = None
    log_threshold_interval: OpenInterval | None = None
    threshold: float | None = None
    threshold_interval: OpenInterval | None = None
    slope: float | None = None
    slope_se_expected: float | None = None
    slope_se_observed: float | None = None
    fitted: tuple[float, ...] | None = None
    log_likelihood: float | None = None
    fit: ChiSquare | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Scale:
    """Decadic logarithms of a series, brought to the range from -1 to 1."""

    middle: float
    half: float

    def to_log(self, place: float) -> float:
        return self.middle + self.half * place

    def to_place(self, log_concentration: float) -> float:
        return (log_concentration - self.middle) / self.half


def fit_dose(steps: Sequence[Step], chance: float = 1 / 3, level: float = 0.95) -> DoseFit:
    """Fit the logistic curve with guessing and read the threshold off it.

    Parameters
    ----------
    steps : sequence of Step
        Answers at each concentration, in any order; no concentration twice.
    chance : float
        Probability of a correct answer by guessing, from 0 to below 1.
    level : float
        Confidence level of the limits, above 0 and below 1.

    Returns
    -------
    DoseFit
        Curve, threshold and limits, unrounded.

    Raises
    ------
    ValueError
        If there is no step, a concentration is not above 0 and finite or stands
        there twice, counts are impossible, or another argument is out of range.

    Notes
    -----
    With x the decadic logarithm of the concentration,

        p(x) = g + (1 - g) / (1 + exp(-b (x - t))),    b > 0,

    so that p(t) = (1 + g)/2: at t the difference is noticed in half of the
    judgements, by the guessing model. The likelihood takes all answers for
    independent. Its supremum may lie at no curve at all: at a level line (b -> 0)
    or at a jump (b -> infinity); then nothing but limits is given.

    The limits are the outermost t whose largest likelihood over b lies within half
    the chi-square quantile of the supremum. A side is open where that holds even
    ten widths of the series away from its middle.

    References
    ----------
    .. [1] Abbott, W. S. (1925). A method of computing the effectiveness of an
       insecticide. Journal of Economic Entomology, 18, 265-267: the guessing floor.
    .. [2] Finney, D. J. (1971). Probit analysis, 3rd ed. Cambridge University
       Press (from memory): curves with natural response.
    .. [3] ISO 13301 (from memory): the logistic curve for threshold data from
       three-alternative forced choices.

    Examples
    --------
    >>> counts = [9, 11, 12, 17, 21, 24]
    >>> found = fit_dose([Step(2.0**i, correct, 24) for i, correct in enumerate(counts)])
    >>> round(found.log_threshold, 7), round(found.slope, 5), round(found.threshold, 5)
    (0.8247647, 4.60802, 6.67982)
    """
    _check_chance(chance)
    allowed = normal_quantile(level) ** 2 / 2
    ordered = order_steps(steps)
    if len(ordered) == 1:
        return DoseFit(chance, ordered, level, notes=(ONE_STEP,))
    answers, scale = _scale(ordered, chance)
    peak = find_peak(answers)
    limits = find_limits(answers, peak, _supremum(answers, peak) - allowed)
    low, high = (None if one is None else scale.to_log(one) for one in limits)
    bare = DoseFit(
        chance,
        ordered,
        level,
        log_threshold_interval=OpenInterval(low, high),
        threshold_interval=OpenInterval(_power_of_ten(low), _power_of_ten(high)),
        notes=_note_open_sides(low, high),
    )
    reason = _why_no_curve(answers, peak)
    if reason:
        return replace(bare, notes=(reason, *bare.notes))
    return _add_curve(bare, answers, peak, scale)


def threshold_deviance(steps: Sequence[Step], chance: float, log_threshold: float) -> float:
    """Return by how much a supposed threshold worsens the fit, as a deviance.

    Parameters
    ----------
    steps : sequence of Step
        Answers at each concentration; two concentrations or more.
    chance : float
        Probability of a correct answer by guessing, from 0 to below 1.
    log_threshold : float
        Decadic logarithm of the supposed threshold.

    Returns
    -------
    float
        Twice the loss of log-likelihood, 0 or more; about chi-square with one
        degree of freedom if the supposition holds.

    Raises
    ------
    ValueError
        As `fit_dose`, or if there is one step only, or `log_threshold` not finite.

    Examples
    --------
    >>> steps = [Step(1, 9, 24), Step(4, 12, 24), Step(16, 24, 24)]
    >>> low, high = fit_dose(steps).log_threshold_interval
    >>> round(threshold_deviance(steps, 1 / 3, high), 6)
    3.841459
    """
    import numpy as np

    _check_chance(chance)
    if len(steps) < 2:
        raise ValueError(f"steps must be two or more, not {len(steps)}")
    if not math.isfinite(log_threshold):
        raise ValueError(f"log_threshold must be finite, not {log_threshold}")
    answers, scale = _scale(order_steps(steps), chance)
    supposed = profile(answers, np.array([scale.to_place(log_threshold)]))
    return max(0.0, 2 * (_supremum(answers, find_peak(answers)) - float(supposed[0])))


def _check_chance(chance: float) -> None:
    if not 0 <= chance < 1:
        raise ValueError(f"chance must be from 0 to below 1, not {chance}")


def _scale(ordered: Sequence[Step], chance: float) -> tuple[GuessedLogistic, _Scale]:
    import numpy as np

    logs = np.log10([step.concentration for step in ordered])
    scale = _Scale(float(logs[0] + logs[-1]) / 2, float(logs[-1] - logs[0]) / 2)
    counts = np.array([(step.correct, step.trials) for step in ordered], dtype=np.float64)
    places = (logs - scale.middle) / scale.half
    return GuessedLogistic(places, counts[:, 0], counts[:, 1], chance), scale


def _why_no_curve(answers: GuessedLogistic, peak: Peak) -> str:
    """Return why the supremum is at no curve; nothing if it is at the peak."""
    level, jump = answers.level_peak(answers.chance, 1.0), answers.jump_peak()
    if peak.log_likelihood > max(level, jump) + NO_BETTER:
        return ""
    right, answered = float(answers.correct.sum()), float(answers.trials.sum())
    if right == answered:
        return ALL_CORRECT
    if jump > level + NO_BETTER:
        return JUMP
    return NO_MORE_THAN_GUESSING if right <= answered * answers.chance else NO_RISE


def _supremum(answers: GuessedLogistic, peak: Peak) -> float:
    edges = answers.level_peak(answers.chance, 1.0), answers.jump_peak()
    return max(peak.log_likelihood, *edges)


def _power_of_ten(log: float | None) -> float | None:
    return None if log is None else 10.0**log


def _note_open_sides(low: float | None, high: float | None) -> tuple[str, ...]:
    sides = ((low, NO_LOW), (high, NO_HIGH))
    return tuple(sentence for limit, sentence in sides if limit is None)


def _add_curve(bare: DoseFit, answers: GuessedLogistic, peak: Peak, scale: _Scale) -> DoseFit:
    """Add a curve that has a peak, and what follows from it."""
    near = abs(peak.midpoint) <= FARTHEST
    place = scale.to_log(peak.midpoint) if near else None
    place_expected, slope_expected = _find_errors(answers, peak, scale, observed=False)
    place_observed, slope_observed = _find_errors(answers, peak, scale, observed=True)
    fitted = answers.pc(peak.midpoint, peak.slope)
    return replace(
        bare,
        log_threshold=place,
        log_threshold_se_expected=place_expected if near else None,
        log_threshold_se_observed=place_observed if near else None,
        threshold=_power_of_ten(place),
        slope=peak.slope / scale.half,
        slope_se_expected=slope_expected,
        slope_se_observed=slope_observed,
        fitted=tuple(fitted.tolist()),
        log_likelihood=peak.log_likelihood,
        fit=_test_fit(answers, peak),
        notes=(*(() if near else (FAR_AWAY,)), *bare.notes, *_note_fit(answers, fitted)),
    )


def _find_errors(
    answers: GuessedLogistic, peak: Peak, scale: _Scale, observed: bool
) -> tuple[float, float]:
    """Return the standard errors of log threshold and slope."""
    import numpy as np

    variances = np.diag(np.linalg.inv(information(answers, peak, observed)))
    place, slope = np.sqrt(variances).tolist()
    return place * scale.half, slope / scale.half


def _test_fit(answers: GuessedLogistic, peak: Peak) -> ChiSquare | None:
    from scipy import special

    df = len(answers.x) - 2
    if not df:
        return None
    missed, share = answers.trials - answers.correct, answers.correct / answers.trials
    best = special.xlogy(answers.correct, share) + special.xlog1py(missed, -share)
    return build_chi_square(2 * (float(best.sum()) - peak.log_likelihood), df)


def _note_fit(answers: GuessedLogistic, fitted: "Floats") -> tuple[str, ...]:
    if len(answers.x) == 2:
        return (NO_FIT_TEST,)
    rarer = answers.trials * (0.5 - abs(fitted - 0.5))
    return (FEW_EXPECTED,) if rarer.min() < 5 else ()
