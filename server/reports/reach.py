"""How far a test got, and what so many answers can find."""

from dataclasses import dataclass
from functools import lru_cache

from server.blinding.plans import Plan
from server.methods import two_kinds
from server.methods.asked import Size, find_model, find_size
from server.methods.base import Sided
from server.methods.registry import YES_NO, get_method
from server.stats.binomial import critical_number, power
from server.stats.mean_power import can_be_walked, mean_test_power
from server.stats.thurstone import ForcedChoice
from server.stats.trials import smallest_share, trials_for_power

GOOD_POWER = 0.8
"""Power from which a miss means something, and that a next test is sized for.

Common practice, no source.
"""


@dataclass(frozen=True)
class Reach:
    """How far the test got, and what it could find.

    Attributes
    ----------
    planned, reached
        Planned answers, less those struck off before the first serving, and
        counted answers.
    critical_planned, critical_reached
        Fewest right answers that reach the planned level, if any number does; two-sided those
        for the sample chosen more often; of servings of two kinds all of them.
    size_d_prime, size_share
        The size that matters, as d′ (None where the method has none) and as share of
        noticing judgements; two-sided of the distance from an even split.
    power_planned, power_reached
        Chance of finding a difference of that size with so many answers.
    findable_share
        Smallest share that the reached answers find with power 0.8, if any.
    trials_needed
        Answers from which on a test finds the size that matters with power 0.8;
        None if more than a test can be planned for.
    """

    planned: int
    reached: int
    critical_planned: int | None
    critical_reached: int | None
    size_d_prime: float | None
    size_share: float
    power_planned: float
    power_reached: float | None
    findable_share: float | None
    trials_needed: int | None


def measure_reach(plan: Plan, planned: int, reached: int) -> Reach:
    """Measure what `planned` and `reached` answers of a test can find."""
    if plan.method in YES_NO:
        return _measure_kinds(plan, planned, reached)
    model, alpha, size = find_model(plan), float(plan.alpha), find_size(plan)
    sided = get_method(plan.method).sided
    return Reach(
        planned=planned,
        reached=reached,
        critical_planned=critical_number(planned, model.chance, alpha, sided) if planned else None,
        critical_reached=critical_number(reached, model.chance, alpha, sided) if reached else None,
        size_d_prime=size.d_prime,
        size_share=size.share,
        power_planned=_find_power(plan, planned, size) if planned else 0.0,
        power_reached=_find_power(plan, reached, size) if reached else None,
        findable_share=_find_share(reached, model.chance, alpha, sided) if reached else None,
        trials_needed=find_trials(model, alpha, size.pc, sided),
    )


def _measure_kinds(plan: Plan, planned: int, reached: int) -> Reach:
    """Measure what answers to servings of two kinds can find, in whole blocks."""
    name, alpha, share = plan.method, float(plan.alpha), find_size(plan).share
    return Reach(
        planned=planned,
        reached=reached,
        critical_planned=planned if two_kinds.can_reach(name, planned, alpha) else None,
        critical_reached=reached if two_kinds.can_reach(name, reached, alpha) else None,
        size_d_prime=None,
        size_share=share,
        power_planned=two_kinds.find_power(name, planned, alpha, share),
        power_reached=two_kinds.find_power(name, reached, alpha, share) if reached else None,
        findable_share=two_kinds.find_share(name, reached, alpha, GOOD_POWER),
        trials_needed=two_kinds.find_servings(name, alpha, GOOD_POWER, share),
    )


def is_mean_walked(plan: Plan, trials: int) -> bool:
    """Tell whether the chance of the mean of people is worked out for so many answers."""
    each = trials // plan.assessors
    return plan.several == "people" and can_be_walked(plan.assessors, each)


def _find_power(plan: Plan, trials: int, size: Size) -> float:
    """Return the chance that the test which decides finds the size that matters.

    Of the mean of people it is taken with as many answers of each as everybody gave; where
    there are too many panels to walk through, it is that of all answers together.
    """
    chance, alpha, sided = find_model(plan).chance, float(plan.alpha), get_method(plan.method).sided
    pooled = power(trials, chance, alpha, size.pc, sided)
    if not is_mean_walked(plan, trials):
        return pooled
    each = trials // plan.assessors
    return mean_test_power(plan.assessors, each, chance, alpha, size.share, 0.0) or 0.0


@lru_cache(maxsize=256)
def _find_share(trials: int, chance: float, alpha: float, sided: Sided) -> float | None:
    return smallest_share(trials, chance, alpha, GOOD_POWER, sided)


@lru_cache(maxsize=256)
def find_trials(model: ForcedChoice, alpha: float, pc: float, sided: Sided = "one") -> int | None:
    """Find the answers from which on the power is good, None if there are too many."""
    try:
        return trials_for_power(model.chance, alpha, GOOD_POWER, pc, sided).trials_stable
    except ValueError:
        return None
