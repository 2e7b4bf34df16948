"""The plan of a sequential test: its two lines, and what they make of a count."""

import math
from dataclasses import dataclass
from typing import Literal, NamedTuple

from server.stats.checks import MOST_TRIALS, check_open_unit

DIFFERENCE: Literal["difference"] = "difference"
NO_DIFFERENCE: Literal["no difference of the planned size"] = "no difference of the planned size"
GO_ON: Literal["go on"] = "go on"
NO_DECISION: Literal["no decision"] = "no decision"  # only at the cap
Decision = Literal["difference", "no difference of the planned size", "go on", "no decision"]
AtCap = Literal["no decision", "nearer line"]

# Lines that meet a whole number in exact arithmetic may miss it by some last digits.
TIE = 1e-9


@dataclass(frozen=True)
class SequentialPlan:
    """A sequential test as it must be set beforehand.

    Attributes
    ----------
    chance : float
        Probability of a correct answer by guessing, above 0.
    p_correct : float
        Probability of a correct answer at the planned size of the difference,
        above `chance` and below 1.
    alpha : float
        Nominal risk of calling guessing a difference, above 0 and below 1.
    beta : float
        Nominal risk of missing a difference of the planned size; `alpha` and
        `beta` together below 1.
    block : int
        Answers of a complete round; a decision is taken only after one.
    cap : int or None
        Answers after which the test ends in any case, a multiple of `block`;
        None if it has no such end.
    at_cap : {"no decision", "nearer line"}
        What becomes of a test between the lines at the cap: no decision, or
        that of the line that is nearer; just midway, that of the lower one.

    Raises
    ------
    ValueError
        If an attribute is out of range.

    Examples
    --------
    >>> SequentialPlan(1 / 3, 2 / 3, beta=0.1).cap is None
    True
    >>> SequentialPlan(1 / 3, 2 / 3, block=6, cap=20)
    Traceback (most recent call last):
    ValueError: cap must be a multiple of block (6), not 20
    """

    chance: float
    p_correct: float
    alpha: float = 0.05
    beta: float = 0.05
    block: int = 1
    cap: int | None = None
    at_cap: AtCap = "no decision"

    def __post_init__(self) -> None:
        _check_risks(self)
        check_answers("block", self.block)
        if self.cap is not None:
            check_answers("cap", self.cap)
            if self.cap % self.block:
                raise ValueError(f"cap must be a multiple of block ({self.block}), not {self.cap}")
        if self.at_cap not in ("no decision", "nearer line"):
            raise ValueError(f"at_cap must be no decision or nearer line, not {self.at_cap}")


class Lines(NamedTuple):
    """Two parallel lines over the number of answers n: `low` + `slope` n, `high` + `slope` n.

    Examples
    --------
    >>> Lines(0.5, -1.6, 2.1).slope
    0.5
    """

    slope: float
    low: float
    high: float


class StopLimits(NamedTuple):
    """Counts of correct answers that end a test.

    Attributes
    ----------
    low : int or None
        So few or fewer: no difference of the planned size. None where not even
        0 are few enough.
    high : int or None
        So many or more: a difference. None where not even all are enough.

    Examples
    --------
    >>> StopLimits(None, 5).low is None
    True
    """

    low: int | None
    high: int | None


def plan_lines(plan: SequentialPlan) -> Lines:
    """Return the lines at which a plan ends; see `sequential.follow_path`.

    Examples
    --------
    >>> [round(x, 6) for x in plan_lines(SequentialPlan(1 / 3, 2 / 3, beta=0.1))]
    [0.5, -1.623964, 2.084963]
    """
    right, wrong = log_ratios(plan)
    scale = right + wrong
    return Lines(
        slope=wrong / scale,
        low=math.log(plan.beta / (1 - plan.alpha)) / scale,
        high=math.log((1 - plan.beta) / plan.alpha) / scale,
    )


def log_ratios(plan: SequentialPlan) -> tuple[float, float]:
    """Return what a correct answer adds to the log likelihood ratio, and a wrong one takes away.

    Examples
    --------
    >>> right, wrong = log_ratios(SequentialPlan(1 / 3, 2 / 3))
    >>> round(right, 6), round(wrong, 6)
    (0.693147, 0.693147)
    """
    more = plan.p_correct - plan.chance
    return math.log1p(more / plan.chance), math.log1p(more / (1 - plan.p_correct))


def stop_limits(plan: SequentialPlan, trials: int) -> StopLimits:
    """Return the counts of correct answers that end a test after `trials` answers.

    Parameters
    ----------
    plan : SequentialPlan
        The plan; its blocks and its cap are not looked at.
    trials : int
        Answers so far, 1 or more.

    Returns
    -------
    StopLimits
        The counts on the lines or just beyond; None where no count is.

    Raises
    ------
    ValueError
        If `trials` is out of range.

    Examples
    --------
    >>> stop_limits(SequentialPlan(1 / 3, 2 / 3, beta=0.1), 4)
    StopLimits(low=0, high=None)
    """
    check_answers("trials", trials)
    slope, low, high = plan_lines(plan)
    few = math.floor(low + slope * trials + TIE)
    many = math.ceil(high + slope * trials - TIE)
    return StopLimits(few if few >= 0 else None, many if many <= trials else None)


def judge_count(plan: SequentialPlan, correct: int, trials: int) -> Decision:
    """Return the decision that a complete round leads to.

    Parameters
    ----------
    plan : SequentialPlan
        The plan.
    correct, trials : int
        Correct answers and all answers so far.

    Returns
    -------
    {"difference", "no difference of the planned size", "go on", "no decision"}
        The last only at the cap.

    Raises
    ------
    ValueError
        If `trials` is out of range.

    Examples
    --------
    >>> judge_count(SequentialPlan(1 / 3, 2 / 3, beta=0.1), 5, 5)
    'difference'
    """
    low, high = stop_limits(plan, trials)
    if high is not None and correct >= high:
        return DIFFERENCE
    if low is not None and correct <= low:
        return NO_DIFFERENCE
    if plan.cap is None or trials < plan.cap:
        return GO_ON
    if plan.at_cap == "no decision":
        return NO_DECISION
    return DIFFERENCE if correct >= nearer_high(plan, trials) else NO_DIFFERENCE


def nearer_high(plan: SequentialPlan, trials: int) -> int:
    """Return the smallest count of correct answers nearer to the upper line than to the lower.

    Examples
    --------
    >>> nearer_high(SequentialPlan(1 / 3, 2 / 3), 10)
    6
    """
    slope, low, high = plan_lines(plan)
    return math.floor((low + high) / 2 + slope * trials + TIE) + 1


def _check_risks(plan: SequentialPlan) -> None:
    for name in ("chance", "p_correct", "alpha", "beta"):
        check_open_unit(name, getattr(plan, name))
    if plan.p_correct <= plan.chance:
        raise ValueError(
            f"p_correct must be above chance ({plan.chance:.4f}), not {plan.p_correct}"
        )
    if plan.alpha + plan.beta >= 1:
        raise ValueError(
            f"alpha and beta must together be below 1, not {plan.alpha} and {plan.beta}"
        )


def check_answers(name: str, value: int) -> None:
    """Refuse what is no number of answers.

    Raises
    ------
    ValueError
        If `value` is not a whole number from 1 to 1,000,000.

    Examples
    --------
    >>> check_answers("block", 0)
    Traceback (most recent call last):
    ValueError: block must be a whole number from 1 to 1,000,000, not 0
    """
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= MOST_TRIALS:
        raise ValueError(f"{name} must be a whole number from 1 to {MOST_TRIALS:,}, not {value}")
