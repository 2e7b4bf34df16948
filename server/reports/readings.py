"""Readings of one record: the planned one, and those that count other answers."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from server.blinding.marks import learn_key
from server.blinding.plans import Plan, Purpose
from server.blinding.record import Record
from server.blinding.sealed import SealedTasting
from server.methods.registry import YES_NO, get_method
from server.methods.traits import is_two_sided
from server.reports.counting import (
    Answers,
    Judgement,
    count_voided_instead,
    find_contested_answers,
    find_late_answers,
    find_voided_answers,
    judge,
    pick_purpose,
)
from server.reports.stopping.following import count_complete, follow_blocks
from server.reports.summing import (
    Count,
    analyse_count,
    analyse_kinds,
    count_answers,
    find_mean_p,
    judge_few,
    settle_neither,
)
from server.stats.binomial import reaches
from server.stats.counts import CountsResult
from server.stats.sequential_plan import DIFFERENCE, GO_ON
from server.stats.yes_no import YesNoResult

Result = CountsResult | YesNoResult | None
"""Statistics of a reading, by the family of its method; None if nothing can be tested."""


@dataclass(frozen=True)
class Reading:
    """k of n under one rule of what counts.

    Attributes
    ----------
    name
        ``planned``, ``contested_first``, ``contested_last``, ``late``, ``voided``,
        ``without_cues``; alone also ``lost_wrong``, ``lost_right``, ``given_up_wrong``,
        ``marks_first``.
    servings
        Servings that this reading treats otherwise than the planned one.
    correct, trials
        Right answers, two-sided those for sample B, and answers that count.
    p_value
        Exact p of the planned test; where the mean of people decides, that of its model.
        None if nothing counts.
    detected
        Whether p reaches the planned level.
    neither
        Answers for neither sample, which count as the plan says.
    similar
        Whether a similarity test is passed; None if there is none, or no conclusion.
    ended
        How a sequential test ended, as `stats.sequential` says it; else empty.
    """

    name: str
    servings: int
    correct: int
    trials: int
    p_value: float | None
    detected: bool
    neither: int = 0
    similar: bool | None = None
    ended: str = ""

    @property
    def outcome(self) -> tuple[bool, bool | None, str]:
        """What the planned tests say of it."""
        return self.detected, self.similar, self.ended


def read_counts(
    plan: Plan,
    judgements: Sequence[Judgement],
    level: float,
    name: str = "planned",
    servings: int = 0,
    complete: int = 0,
) -> tuple[Reading, Result]:
    """Read judgements under the planned analysis; no statistics if there are none.

    Of a sequential plan so many leading blocks are ``complete``, and judged.
    """
    if plan.method in YES_NO:
        return _read_kinds(plan, judgements, level, name, servings)
    if plan.sequential is not None:
        return _read_blocks(plan, judgements, level, name, servings, complete)
    reading, counts = _read_count(plan, count_answers(judgements), level, name, servings)
    if plan.several != "people" or not pick_purpose(judgements, Purpose.TEST):
        return reading, counts  # controls are tested exactly
    p = find_mean_p(plan, judgements)
    found = p is not None and reaches(p, float(plan.alpha))
    return replace(reading, p_value=p, detected=found), counts


def _read_blocks(
    plan: Plan,
    judgements: Sequence[Judgement],
    level: float,
    name: str,
    servings: int,
    complete: int,
) -> tuple[Reading, Result]:
    """Read answers up to where they end a sequential test, which has no p."""
    found = follow_blocks(plan, judgements, complete)
    reading, counts = _read_count(plan, count_answers(found.used), level, name, servings)
    ended = found.path.decision if found.path else GO_ON
    return replace(reading, p_value=None, detected=ended == DIFFERENCE, ended=ended), counts


def _read_kinds(
    plan: Plan, judgements: Sequence[Judgement], level: float, name: str, servings: int
) -> tuple[Reading, Result]:
    found = analyse_kinds(plan, judgements, level)
    p = found.p_value if found else None
    detected = p is not None and reaches(p, float(plan.alpha))
    right = count_answers(judgements).right
    return Reading(name, servings, right, len(judgements), p, detected), found


def _read_count(
    plan: Plan, count: Count, level: float, name: str, servings: int
) -> tuple[Reading, CountsResult | None]:
    correct, trials = settle_neither(plan, count)
    counts = analyse_count(plan, correct, trials, level)
    p, detected = (counts.p_value, counts.detected) if counts else (None, False)
    few = judge_few(plan, correct, trials)
    similar = few.similar if few else None
    return Reading(name, servings, correct, trials, p, detected, count.neither, similar), counts


def count_answered(plan: Plan, reading: Reading) -> int:
    """Count the answers of a reading, those that the plan leaves out among them."""
    return reading.trials + (reading.neither if plan.no_preference == "left_out" else 0)


def find_alternatives(
    sealed: SealedTasting,
    decided: Record,
    standing: Answers,
    level: float,
    given_up: int = 0,
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
    given_up : int
        Servings alone, given up when a part of the result was known.

    Returns
    -------
    tuple of Reading
        Only those that something on record of the test itself calls for.
    """
    return (
        *_count_others(sealed, decided, standing, level),
        *_leave_out_cues(sealed, decided, standing, level),
        *_bound_lost(sealed, decided, standing, level, given_up),
        *_go_by_first_marks(sealed, decided, standing, level),
    )


def _count_others(
    sealed: SealedTasting, decided: Record, standing: Answers, level: float
) -> Iterator[Reading]:
    contested = find_contested_answers(decided)
    late, voided = find_late_answers(decided), find_voided_answers(decided)
    changed: list[tuple[str, Collection[UUID], Answers]] = [
        ("contested_first", contested, {**standing, **{s: c[0] for s, c in contested.items()}}),
        ("contested_last", contested, {**standing, **{s: c[1] for s, c in contested.items()}}),
        ("late", late, {**standing, **late}),
        ("voided", voided, count_voided_instead(decided, standing)),
    ]
    tests = {s.id for s in sealed.servings if sealed.purpose(s) == Purpose.TEST}
    for name, treated, answers in changed:
        if tests.intersection(treated):
            servings = len(tests.intersection(treated))
            yield _read_test(sealed, decided, answers, level, name, servings)


def _leave_out_cues(
    sealed: SealedTasting, decided: Record, standing: Answers, level: float
) -> Iterator[Reading]:
    """Read only the answers that named nothing but smell and taste."""
    judged = pick_purpose(judge(sealed, decided, standing), Purpose.TEST)
    kept = [one for one in judged if not one.cue]
    if len(kept) < len(judged):
        out, complete = len(judged) - len(kept), count_complete(sealed, decided)
        yield read_counts(sealed.plan, kept, level, "without_cues", out, complete)[0]


def _bound_lost(
    sealed: SealedTasting, decided: Record, standing: Answers, level: float, given_up: int
) -> Iterator[Reading]:
    """Read what cannot be judged as wrong, and as right: the truth lies between."""
    judged = pick_purpose(judge(sealed, decided, standing), Purpose.TEST)
    lost = len(standing) - len(judged) if sealed.plan.alone else 0
    count = count_answers(judged)
    against = is_two_sided(get_method(sealed.plan.method))
    bounds = {
        "lost_wrong": (lost, count.add(0, lost)),
        "lost_right": (lost, count.add(lost, 0)),
        "given_up_wrong": (
            given_up,
            count.add_against(given_up) if against else count.add(0, given_up),
        ),
    }
    for name, (servings, bound) in bounds.items():
        if servings:
            yield _read_count(sealed.plan, bound, level, name, servings)[0]


def _go_by_first_marks(
    sealed: SealedTasting, decided: Record, standing: Answers, level: float
) -> Iterator[Reading]:
    """Read the marks of every sitting as they were entered first."""
    first = {number: entered[:1] for number, entered in decided.reveals.items()}
    last = {number: entered[-1].marks for number, entered in decided.reveals.items()}
    changed = [number for number, (one,) in first.items() if one.marks != last[number]]
    if changed:
        earlier = learn_key(sealed, replace(decided, reveals=first))
        servings = sum(one.sitting in changed for one in sealed.servings)
        yield _read_test(earlier, decided, standing, level, "marks_first", servings)


def _read_test(
    sealed: SealedTasting,
    decided: Record,
    answers: Answers,
    level: float,
    name: str,
    servings: int,
) -> Reading:
    judgements = pick_purpose(judge(sealed, decided, answers), Purpose.TEST)
    complete = count_complete(sealed, decided)
    return read_counts(sealed.plan, judgements, level, name, servings, complete)[0]
