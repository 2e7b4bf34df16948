"""What the sentences and numbers of a sequential test are filled with."""

from dataclasses import dataclass
from functools import lru_cache

from server.blinding.plans import Plan
from server.reports.analysis import Analysis
from server.reports.display import show_chance, show_share
from server.reports.facts import fill
from server.reports.stopping import words
from server.reports.stopping.following import make_sequential
from server.stats.sequential import SequentialPath, Step
from server.stats.sequential_plan import SequentialPlan

NONE = "none"
MOST_ROUNDS = 12
"""Rounds that a plan can have."""


@dataclass(frozen=True)
class Risks:
    """Exact risks of a sequential plan.

    Attributes
    ----------
    false_alarm
        Chance to find a difference by guessing alone.
    miss
        Chance not to find a difference of the planned size, an end without a decision
        counted among them.
    mean_guessing, mean_size
        Answers on average.
    """

    false_alarm: float
    miss: float
    mean_guessing: float
    mean_size: float


@lru_cache(maxsize=256)
def find_risks(plan: SequentialPlan) -> Risks:
    """Work out the exact risks of a plan over all its endings."""
    from server.stats.operating import evaluate_plan

    guessing, size = evaluate_plan(plan, [plan.chance, plan.p_correct])
    return Risks(
        guessing.difference, 1 - size.difference, guessing.expected_trials, size.expected_trials
    )


def find_rounds(plan: Plan) -> int | None:
    """Find the fewest rounds, more than planned, in which both risks are kept; None if none do."""
    from server.stats.operating import TooLong, find_smallest_cap

    try:
        cap = find_smallest_cap(make_sequential(plan)).cap
    except TooLong:
        return None
    rounds = cap // plan.assessors if cap else 0
    return rounds if plan.rounds < rounds <= MOST_ROUNDS else None


def get_path(analysis: Analysis) -> SequentialPath:
    """Return the way of the count.

    Raises
    ------
    ValueError
        If no answer counts.
    """
    if analysis.sequence is None:
        raise ValueError("analysis must have a sequential test with answers")
    return analysis.sequence


def list_looks(path: SequentialPath) -> list[Step]:
    """List where the count stood after each block that was judged."""
    return [step for step in path.path if step.judged]


def say_sequence(template: str, analysis: Analysis, **more: str) -> str:
    """Fill a sentence with the facts of a sequential test."""
    path, risks = get_path(analysis), find_risks(make_sequential(analysis.plan))
    last = path.path[-1]
    facts = {
        "why": words.WHY.get(path.decision, ""),
        "low": NONE if last.low is None else str(last.low),
        "high": NONE if last.high is None else str(last.high),
        "alpha": show_chance(risks.false_alarm),
        "missed": show_chance(risks.miss),
        "size": show_share(analysis.reach.size_share),
    }
    return fill(template, analysis, **facts | more)
