"""Readings of one record: the planned one, and those that count other answers."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from uuid import UUID

from server.blinding.record import Record
from server.blinding.sealed import Plan, Purpose, SealedTasting
from server.methods.asked import find_model
from server.reports.counting import (
    Answers,
    Judgement,
    count_correct,
    count_voided_instead,
    find_contested_answers,
    find_late_answers,
    find_voided_answers,
    judge,
    pick_purpose,
)
from server.stats.counts import CountsResult, analyse_counts


@dataclass(frozen=True)
class Reading:
    """k of n under one rule of what counts.

    Attributes
    ----------
    name
        ``planned``, ``contested_first``, ``contested_last``, ``late``, ``voided``.
    servings
        Servings that this reading treats otherwise than the planned one.
    correct, trials
        Right answers, and answers that count.
    p_value
        Exact one-sided p; None if nothing counts.
    detected
        Whether p reaches the planned level.
    """

    name: str
    servings: int
    correct: int
    trials: int
    p_value: float | None
    detected: bool


def read_counts(
    plan: Plan,
    judgements: Sequence[Judgement],
    level: float,
    name: str = "planned",
    servings: int = 0,
) -> tuple[Reading, CountsResult | None]:
    """Read judgements under the planned analysis; no statistics if there are none."""
    correct, trials = count_correct(judgements), len(judgements)
    if not trials:
        return Reading(name, servings, correct, trials, None, False), None
    counts = analyse_counts(find_model(plan), correct, trials, float(plan.alpha), level)
    return Reading(name, servings, correct, trials, counts.p_value, counts.detected), counts


def find_alternatives(
    sealed: SealedTasting, decided: Record, standing: Answers, level: float
) -> tuple[Reading, ...]:
    """Read the test in every other way that its exclusions and amendments allow.

    Parameters
    ----------
    sealed : SealedTasting
        Plan, layout and key.
    decided : Record
        The record as it stood before unsealing.
    standing : mapping of UUID to GivenAnswer
        What the planned reading counts.
    level : float
        Confidence level.

    Returns
    -------
    tuple of Reading
        Only those that something on record of the test itself calls for.
    """
    contested = find_contested_answers(decided)
    late, voided = find_late_answers(decided), find_voided_answers(decided)
    changed: list[tuple[str, Collection[UUID], Answers]] = [
        ("contested_first", contested, {**standing, **{s: c[0] for s, c in contested.items()}}),
        ("contested_last", contested, {**standing, **{s: c[1] for s, c in contested.items()}}),
        ("late", late, {**standing, **late}),
        ("voided", voided, count_voided_instead(decided, standing)),
    ]
    tests = {s.id for s in sealed.servings if sealed.purpose(s) == Purpose.TEST}
    return tuple(
        _read_test(sealed, decided, answers, level, name, len(tests.intersection(treated)))
        for name, treated, answers in changed
        if tests.intersection(treated)
    )


def _read_test(
    sealed: SealedTasting,
    decided: Record,
    answers: Answers,
    level: float,
    name: str,
    servings: int,
) -> Reading:
    judgements = pick_purpose(judge(sealed, decided, answers), Purpose.TEST)
    return read_counts(sealed.plan, judgements, level, name, servings)[0]
