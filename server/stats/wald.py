"""Wald's approximations to the characteristics of a sequential plan, beside the exact ones."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from server.stats.checks import check_probability
from server.stats.sequential_plan import Lines, SequentialPlan, log_ratios, plan_lines

STEEPEST = 700.0  # largest exponent of e that is still a number
SMALLEST = 1e-300  # smallest probability whose exponent is below it
FLAT = 1e-8  # exponents so near to 0 that the limit is the more exact value
HALVINGS = 60


@dataclass(frozen=True)
class WaldApproximation:
    """What a sequential plan without a cap would do if it ended exactly on a line.

    Attributes
    ----------
    p_correct : float
        True probability of a correct answer.
    no_difference : float
        Probability of ending with "no difference of the planned size".
    expected_trials : float
        Mean number of answers.

    Examples
    --------
    >>> WaldApproximation(0.5, 0.5, 20.0).expected_trials
    20.0
    """

    p_correct: float
    no_difference: float
    expected_trials: float


def approximate_plan(
    plan: SequentialPlan, p_correct: Sequence[float]
) -> tuple[WaldApproximation, ...]:
    """Return Wald's approximations for a plan judged after every answer, without a cap.

    Parameters
    ----------
    plan : SequentialPlan
        The plan; its block and its cap are not looked at.
    p_correct : sequence of float, shape (k,)
        True probabilities of a correct answer, each from 0 to 1.

    Returns
    -------
    tuple of WaldApproximation, shape (k,)
        Probability of the lower ending, and mean number of answers.

    Raises
    ------
    ValueError
        If a probability is out of range.

    Notes
    -----
    With a and b what a correct answer adds to the log likelihood ratio and a wrong
    one takes away, t the root other than 0 of

        p exp(t a) + (1 - p) exp(-t b) = 1,

    A = (1 - beta)/alpha and B = beta/(1 - alpha), the lower ending has the
    probability L = (A^t - 1)/(A^t - B^t) and the number of answers the mean
    (L ln B + (1 - L) ln A)/(p a - (1 - p) b) [1]_. On the slope s of the lines
    both are limits: L = ln A/(ln A - ln B), and -ln A ln B/(a b) answers.

    That a count passes a line by up to one answer is neglected, so that the true
    mean is mostly larger; `operating.evaluate_plan` gives it exactly.

    References
    ----------
    .. [1] Wald, A. (1947). Sequential Analysis. Wiley, sections 3.4 and 3.5
       (section numbers from memory).

    Examples
    --------
    >>> plan = SequentialPlan(1 / 3, 2 / 3, beta=0.1)
    >>> [round(x.expected_trials, 6) for x in approximate_plan(plan, [1 / 3, 0.5, 2 / 3])]
    [8.631105, 13.543614, 10.284419]
    """
    return tuple(_approximate(plan, plan_lines(plan), float(p)) for p in p_correct)


def _approximate(plan: SequentialPlan, lines: Lines, p: float) -> WaldApproximation:
    check_probability("p_correct", p)
    slope, low, high = lines
    right, wrong = log_ratios(plan)
    root = _find_root(right, wrong, p)
    if abs(root) < FLAT:
        return WaldApproximation(p, high / (high - low), -low * high / (slope * (1 - slope)))
    lower = _lower_ending(root * (right + wrong), low, high)
    return WaldApproximation(p, lower, (lower * low + (1 - lower) * high) / (p - slope))


def _lower_ending(scale: float, low: float, high: float) -> float:
    """Return the probability of the lower ending, A and B being exp of the lines times `scale`."""
    if math.isinf(scale):
        return 1.0 if scale > 0 else 0.0
    if scale > 0:
        return math.expm1(-scale * high) / math.expm1(-scale * (high - low))
    return math.exp(-scale * low) * math.expm1(scale * high) / math.expm1(scale * (high - low))


def _find_root(right: float, wrong: float, p: float) -> float:
    """Return the root other than 0; infinite where p leaves only one kind of answer.

    The left side less 1, divided by t, rises throughout and has that root alone.
    """
    if p < SMALLEST:
        return math.inf
    if p == 1:
        return -math.inf
    sign = 1.0 if p * right < (1 - p) * wrong else -1.0
    far = 1.0
    while sign * _rise(right, wrong, p, sign * far) < 0:
        far *= 2
    near = 0.0
    for _ in range(HALVINGS):
        middle = (near + far) / 2
        if sign * _rise(right, wrong, p, sign * middle) < 0:
            near = middle
        else:
            far = middle
    return sign * far


def _rise(right: float, wrong: float, p: float, t: float) -> float:
    """Return p (e^(t right) - 1)/t + (1 - p)(e^(-t wrong) - 1)/t."""
    more, less = min(t * right, STEEPEST), min(-t * wrong, STEEPEST)
    return (p * math.expm1(more) + (1 - p) * math.expm1(less)) / t
