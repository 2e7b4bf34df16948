"""Answers along a series of concentrations, by assessor and pooled."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from server.stats.checks import check_counts

# Concentrations outside these limits have a better unit, and powers of ten near
# them stay numbers even far beyond the ends of a series.
LEAST, MOST = 1e-15, 1e15


@dataclass(frozen=True)
class Step:
    """Answers at one concentration.

    Attributes
    ----------
    concentration : float
        In the unit of the series; above 0.
    correct, trials : int
        The counts.

    Examples
    --------
    >>> Step(0.5, 9, 24).trials
    24
    """

    concentration: float
    correct: int
    trials: int


@dataclass(frozen=True)
class Answer:
    """Answers of one assessor at one concentration; a single one unless said otherwise.

    Attributes
    ----------
    assessor : str
        Who answered.
    concentration : float
        In the unit of the series; above 0.
    correct, trials : int
        The counts.

    Examples
    --------
    >>> Answer("ann", 0.5, correct=1).trials
    1
    """

    assessor: str
    concentration: float
    correct: int
    trials: int = 1


def pool(answers: Iterable[Answer]) -> tuple[Step, ...]:
    """Return the answers summed over assessors, concentration rising.

    Raises
    ------
    ValueError
        If counts of an answer are impossible.

    Examples
    --------
    >>> pool([Answer("ann", 3, 1), Answer("bo", 1, 0), Answer("bo", 3, 0)])
    (Step(concentration=1, correct=0, trials=1), Step(concentration=3, correct=1, trials=2))
    """
    counts: dict[float, tuple[int, int]] = {}
    for answer in answers:
        check_counts(answer.correct, answer.trials)
        correct, trials = counts.get(answer.concentration, (0, 0))
        counts[answer.concentration] = correct + answer.correct, trials + answer.trials
    return tuple(Step(concentration, *counts[concentration]) for concentration in sorted(counts))


def order_steps(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return the steps, concentration rising; refuse those that make no series.

    Raises
    ------
    ValueError
        If there is no step, counts are impossible, or a concentration is out of
        range or stands there twice.

    Examples
    --------
    >>> order_steps([Step(3, 9, 9), Step(1, 5, 9)])[0]
    Step(concentration=1, correct=5, trials=9)
    """
    if not steps:
        raise ValueError("steps must hold at least one step, not none")
    logs: set[float] = set()
    for step in steps:
        check_concentration(step.concentration)
        check_counts(step.correct, step.trials)
        if (log := math.log10(step.concentration)) in logs:
            raise ValueError(
                f"concentration must rise at every step, not stay {step.concentration}"
            )
        logs.add(log)
    return tuple(sorted(steps, key=lambda step: step.concentration))


def check_concentration(concentration: float) -> None:
    """Refuse a concentration that has no logarithm, or is far from any unit's size.

    Raises
    ------
    ValueError
        If `concentration` is not from 1e-15 to 1e15; so 0 and NaN are refused.

    Examples
    --------
    >>> check_concentration(0.25)
    >>> check_concentration(0.0)
    Traceback (most recent call last):
    ValueError: concentration must be above 0, from 1e-15 to 1e+15, not 0.0
    """
    if not LEAST <= concentration <= MOST:
        raise ValueError(
            f"concentration must be above 0, from {LEAST:g} to {MOST:g}, not {concentration}"
        )
