"""What a plan may declare beforehand, and what follows from it."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.methods.registry import get_method
from server.methods.traits import answers_yes_or_no, is_two_sided
from server.reports.few.facts import Declared, find_people
from server.stats.operating import Operating, TooLong, evaluate_plan, find_smallest_cap
from server.stats.sequential_plan import SequentialPlan, stop_limits
from server.stats.similarity import most_correct
from server.stats.thurstone import pc_from_share
from server.tastings.refusals import Invalid

if TYPE_CHECKING:
    from server.tastings.planning import PlanNumbers

ONE_ROUND = (
    "To show that few notice, everybody answers once: plan one round, and more people. "
    "Several answers of one person carry no such claim."
)
COUNTED = "Only where an answer is right or wrong, by a forced choice, can this be planned."
NOT_BOTH = "A similarity test needs all of its answers: let it end when all are given."
NOT_ALONE = "Alone the truth lies under the cups: nobody could say when to stop."
NO_CONTROLS = "A plan that may stop early has no controls: it could end before they come."
UNEVEN = "The {rounds} planned rounds must be a multiple of the rounds of a block."
TOO_MUCH = "α and β must together be below 1."
A_PANEL = "To show that few notice takes a panel: one person tells nothing about others."


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


def refuse_what_cannot_be(numbers: "PlanNumbers") -> None:
    """Refuse a similarity test that could carry no claim, and a stop that cannot be called.

    Raises
    ------
    Invalid
        With the field that has to change.
    """
    if numbers.stop_rule == "sequential":
        _refuse_stopping(numbers)
    if numbers.shows != "few":
        return
    if not is_right_or_wrong(numbers):
        raise Invalid(shows=COUNTED)
    if numbers.alone or numbers.assessors == 1:
        raise Invalid(shows=A_PANEL)
    if numbers.rounds > 1:
        raise Invalid(rounds=ONE_ROUND)


def _refuse_stopping(numbers: "PlanNumbers") -> None:
    if numbers.shows == "few":
        raise Invalid(stop_rule=NOT_BOTH)
    if not is_right_or_wrong(numbers):
        raise Invalid(stop_rule=COUNTED)
    if numbers.alone:
        raise Invalid(stop_rule=NOT_ALONE)
    if numbers.null_control or numbers.positive_control:
        raise Invalid(stop_rule=NO_CONTROLS)
    if numbers.rounds % numbers.every:
        raise Invalid(every=UNEVEN.format(rounds=numbers.rounds))
    if numbers.alpha + numbers.beta >= 1:
        raise Invalid(beta=TOO_MUCH)


def is_right_or_wrong(numbers: "PlanNumbers") -> bool:
    """Tell whether an answer is right or wrong at a fixed chance."""
    method = get_method(numbers.method)
    return not is_two_sided(method) and not answers_yes_or_no(method)


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
