"""Sequential tests followed: after every answer, or round of answers, to stop or to go on."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from server.stats.checks import MOST_TRIALS
from server.stats.sequential_plan import (
    DIFFERENCE,
    GO_ON,
    NO_DECISION,
    NO_DIFFERENCE,
    Decision,
    Lines,
    SequentialPlan,
    judge_count,
    plan_lines,
    stop_limits,
)

PLANNED_AHEAD = (
    "The risks hold only if the plan was set before the first answer was seen, and the answers "
    "are independent of each other."
)
NO_OTHER_LIMITS = (
    "p-values and limits made for a fixed number of answers do not hold where the answers "
    "decided when to stop."
)
SMALLER_NOT_EXCLUDED = (
    "It speaks of the planned size only: a smaller difference may be there and noticed by some."
)
NOTHING_AT_CAP = "The cap came while the count was between the lines: nothing was decided."
NEARER_AT_CAP = (
    "Decided at the cap by the line that was nearer: the nominal risks do not cover that, the "
    "exact ones of the plan do."
)
BETWEEN_LOOKS = "Answers after the last complete round were not judged."
TOO_MANY_ANSWERS = "Answers after the end of the test were left out."


@dataclass(frozen=True)
class Step:
    """Where a test stands after an answer.

    Attributes
    ----------
    trials, correct : int
        Answers so far, and the correct ones of them.
    low, high : int or None
        The counts that end the test here; see `StopLimits`.
    judged : bool
        Whether a round was complete, so that a decision was taken.

    Examples
    --------
    >>> Step(5, 5, 0, 5, judged=True).high
    5
    """

    trials: int
    correct: int
    low: int | None
    high: int | None
    judged: bool


@dataclass(frozen=True)
class SequentialPath:
    """What became of a sequential test.

    Attributes
    ----------
    plan : SequentialPlan
        The plan that was followed.
    lines : Lines
        Its two lines.
    decision : {"difference", "no difference of the planned size", "go on", "no decision"}
        Where the test ended, or that it has not ended.
    decided_at : int or None
        Number of the answer it ended at; None if it has not.
    trials, correct : int
        Answers up to there, or all of them, and the correct ones.
    left_out : int
        Answers after the end.
    path : tuple of Step
        One an answer, up to the end.
    notes : tuple of str
        What the decision rests on, and what was not used.
    """

    plan: SequentialPlan
    lines: Lines
    decision: Decision
    decided_at: int | None
    trials: int
    correct: int
    left_out: int
    path: tuple[Step, ...]
    notes: tuple[str, ...]


def follow_path(
    plan: SequentialPlan, correct: Sequence[int], looks: Sequence[int] | None = None
) -> SequentialPath:
    """Follow a sequential test answer by answer to its end.

    Parameters
    ----------
    plan : SequentialPlan
        The plan, set beforehand.
    correct : sequence of bool or of 1 and 0, shape (n,)
        Whether each answer was correct, in the order of answering; 1 or more.
    looks : sequence of int, optional
        After how many answers a round was complete, rising, each from 1 to n;
        after every `plan.block` answers if left out. Rounds that lost an answer
        are given so.

    Returns
    -------
    SequentialPath
        The decision, when it was taken, and the way to it.

    Raises
    ------
    ValueError
        If there are no answers, one is neither 1 nor 0, or `looks` are
        not rising or out of range.

    Notes
    -----
    With p0 the chance and p1 the planned probability correct, the ratio of the
    likelihoods of x correct answers of n reaches (1 - beta)/alpha, or falls to
    beta/(1 - alpha), on the lines [1]_

        x = h1 + s n and x = h0 + s n,  s = ln((1-p0)/(1-p1)) / K,
        h1 = ln((1-beta)/alpha) / K,  h0 = ln(beta/(1-alpha)) / K,
        K = ln(p1 (1-p0) / (p0 (1-p1))).

    The cap is reached at the first complete round of `plan.cap` answers or more.

    References
    ----------
    .. [1] Wald, A. (1947). Sequential Analysis. Wiley, section 5.3 (section
       number from memory).
    .. [2] ISO 16820, Sensory analysis -- Methodology -- Sequential analysis.

    Examples
    --------
    >>> plan = SequentialPlan(1 / 3, 2 / 3, beta=0.1)
    >>> path = follow_path(plan, [1, 1, 0, 1, 1, 1, 0, 1, 1])
    >>> path.decision, path.decided_at
    ('difference', 9)
    """
    answers = _check_correct(correct)
    complete = _find_looks(plan, len(answers), looks)
    steps: list[Step] = []
    decision: Decision = GO_ON
    for trials, so_far in enumerate(accumulate(answers), start=1):
        steps.append(Step(trials, so_far, *stop_limits(plan, trials), judged=trials in complete))
        if steps[-1].judged:
            decision = judge_count(plan, so_far, trials)
        if decision != GO_ON:
            break
    ended, left = decision != GO_ON, len(answers) - len(steps)
    return SequentialPath(
        plan=plan,
        lines=plan_lines(plan),
        decision=decision,
        decided_at=len(steps) if ended else None,
        trials=len(steps),
        correct=steps[-1].correct,
        left_out=left,
        path=tuple(steps),
        notes=_notes(decision, steps[-1], left),
    )


def _check_correct(correct: Sequence[int]) -> list[int]:
    if not 1 <= len(correct) <= MOST_TRIALS:
        raise ValueError(f"correct must hold 1 to {MOST_TRIALS:,} answers, not {len(correct)}")
    for number, answer in enumerate(correct, start=1):
        if answer not in (0, 1):
            raise ValueError(f"correct must be 1 or 0, not {answer} (answer {number})")
    return [int(answer) for answer in correct]


def _find_looks(plan: SequentialPlan, trials: int, looks: Sequence[int] | None) -> frozenset[int]:
    if looks is None:
        return frozenset(range(plan.block, trials + 1, plan.block))
    for before, look in zip([0, *looks], looks, strict=False):
        if not before < look <= trials:
            raise ValueError(f"looks must rise and be from 1 to {trials} answers, not {look}")
    return frozenset(looks)


def _notes(decision: Decision, last: Step, left_out: int) -> tuple[str, ...]:
    reasons = {
        NOTHING_AT_CAP: decision == NO_DECISION,
        NEARER_AT_CAP: decision in (DIFFERENCE, NO_DIFFERENCE) and not _is_on_line(last),
        SMALLER_NOT_EXCLUDED: decision == NO_DIFFERENCE,
        BETWEEN_LOOKS: not last.judged,
        TOO_MANY_ANSWERS: left_out > 0,
        PLANNED_AHEAD: True,
        NO_OTHER_LIMITS: True,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)


def _is_on_line(step: Step) -> bool:
    """Tell whether a count is on a line or beyond it."""
    few = step.low is not None and step.correct <= step.low
    return few or (step.high is not None and step.correct >= step.high)
