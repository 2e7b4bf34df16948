"""What follows from what a plan declares beforehand, in exact numbers."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.methods.registry import get_method
from server.reports.few.facts import Declared, find_people
from server.stats.mean_power import mean_test_power
from server.stats.operating import Operating, TooLong, evaluate_plan, find_smallest_cap
from server.stats.replicated_power import replicated_power
from server.stats.sequential_plan import SequentialPlan, stop_limits
from server.stats.similarity import most_correct
from server.stats.thurstone import pc_from_share

if TYPE_CHECKING:
    from server.tastings.planning import PlanNumbers


@dataclass(frozen=True)
class FewNotice:
    """What follows from a similarity test; shares are fractions.

    Attributes
    ----------
    most_correct
        Largest number of right answers that passes; None: no conclusion can be drawn.
    passes
        Chance to pass if nobody notices.
    at_limit
        Chance to pass although the share is at the limit.
    people
        Answers from which on that chance to pass stays good; None: more than can be planned.
    """

    most_correct: int | None
    passes: float
    at_limit: float
    people: int | None


def follow_few(numbers: "PlanNumbers") -> FewNotice | None:
    """Return what follows from a similarity test; None if the plan is no such test."""
    if numbers.shows != "few":
        return None
    limit, beta = float(numbers.size_percent) / 100, float(numbers.beta)
    declared = Declared(get_method(numbers.method).model.chance, limit, beta)
    most = most_correct(numbers.trials, declared.chance, limit, beta)
    reached = 0.0 if most is None else declared.find_chance_at_limit(most, numbers.trials)
    return FewNotice(
        most, declared.find_chance_to_pass(numbers.trials), reached, find_people(declared)
    )


@dataclass(frozen=True)
class Stopping:
    """What follows from a plan that the answers may end.

    Attributes
    ----------
    block
        Answers of a block.
    guessing, midway, size
        How it ends, exactly, if nobody, half of the size that matters or all of it notices.
    first_stop
        Fewest answers after which it may end before its last round; None if it cannot.
    enough
        Fewest answers at most that keep both risks; None if none do.
    """

    block: int
    guessing: Operating
    midway: Operating
    size: Operating
    first_stop: int | None
    enough: int | None


def follow_stopping(numbers: "PlanNumbers") -> Stopping | None:
    """Return what follows from a sequential plan; None if the plan is none."""
    if numbers.stop_rule != "sequential":
        return None
    chance, share = get_method(numbers.method).model.chance, float(numbers.size_percent) / 100
    block = numbers.assessors * numbers.every
    plan = SequentialPlan(
        chance=chance,
        p_correct=pc_from_share(share, chance),
        alpha=float(numbers.alpha),
        beta=float(numbers.beta),
        block=block,
        cap=numbers.trials,
        at_cap=numbers.at_end,
    )
    midway = pc_from_share(share / 2, chance)
    guessing, half, size = evaluate_plan(plan, [chance, midway, plan.p_correct])
    ends = range(block, numbers.trials, block)
    stops = (end for end in ends if stop_limits(plan, end) != (None, None))
    return Stopping(block, guessing, half, size, next(stops, None), _find_enough(plan))


def _find_enough(plan: SequentialPlan) -> int | None:
    try:
        return find_smallest_cap(plan).cap
    except TooLong:
        return None


@dataclass(frozen=True)
class Several:
    """Chance to find the size that matters with several answers of each person.

    Attributes
    ----------
    alike, differing
        If everybody notices equally often, and if people differ (gamma `DIFFERING`); None:
        it would have to be walked through too many panels.
    by_mean
        Whether it is that of the mean of people, else of all answers together.
    """

    alike: float | None
    differing: float | None
    by_mean: bool


DIFFERING = 0.3
"""How much people differ in an example; common practice, no source."""


def follow_several(numbers: "PlanNumbers") -> Several | None:
    """Return what follows where several answers of a person count as declared."""
    if not numbers.several:
        return None
    chance, share = get_method(numbers.method).model.chance, float(numbers.size_percent) / 100
    by_mean = numbers.several == "people"
    alike, differing = (
        _find_power(numbers, chance, share, gamma, by_mean) for gamma in (0.0, DIFFERING)
    )
    return Several(alike, differing, by_mean)


def _find_power(
    numbers: "PlanNumbers", chance: float, share: float, gamma: float, by_mean: bool
) -> float | None:
    people, alpha = (numbers.assessors, numbers.rounds), float(numbers.alpha)
    if not by_mean:
        return replicated_power(*people, chance, alpha, share, gamma).power
    return mean_test_power(*people, chance, alpha, share, gamma) if alpha < 0.5 else None
