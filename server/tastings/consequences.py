"""What follows from a plan: what it can find, and what it costs."""

from dataclasses import dataclass

from server.blinding.allocation import RoundPots, slots_per_round
from server.brewing.cost import Cost, estimate_cost
from server.methods.registry import get_method
from server.stats.binomial import critical_number, power, tail
from server.stats.thurstone import pc_from_share
from server.stats.trials import smallest_share, trials_for_power
from server.tastings.planning import PlanNumbers
from server.tastings.refusals import Invalid

GOOD_POWER = 0.8


@dataclass(frozen=True)
class Consequences:
    """Numbers beside the plan; shares are fractions.

    Attributes
    ----------
    trials
        Servings that count.
    critical
        Fewest correct answers that show a difference; None: no number would.
    achieved_alpha
        Exact level at ``critical``.
    power
        Chance to find the size that matters.
    findable
        Smallest share found with four chances in five; None: no share is.
    wanted
        Servings that would give this chance for the size that matters; None: more
        than anybody can plan for.
    """

    numbers: PlanNumbers
    trials: int
    critical: int | None
    achieved_alpha: float | None
    power: float
    findable: float | None
    wanted: int | None
    pots: RoundPots
    cost: Cost


def work_out(numbers: PlanNumbers) -> Consequences:
    """Return what follows from the numbers of a plan.

    Raises
    ------
    Invalid
        If the pots cannot serve the round.
    """
    method = get_method(numbers.method)
    chance, alpha = method.model.chance, float(numbers.alpha)
    trials = numbers.assessors * numbers.rounds
    pc = pc_from_share(float(numbers.size_percent) / 100, chance)
    critical = critical_number(trials, chance, alpha)
    pots = _plan_pots(numbers, method.orders)
    return Consequences(
        numbers=numbers,
        trials=trials,
        critical=critical,
        achieved_alpha=None if critical is None else tail(critical, trials, chance),
        power=power(trials, chance, alpha, pc),
        findable=smallest_share(trials, chance, alpha, GOOD_POWER),
        wanted=_find_wanted(chance, alpha, pc),
        pots=pots,
        cost=_cost(numbers, method.cups, pots),
    )


def _find_wanted(chance: float, alpha: float, pc: float) -> int | None:
    try:
        return trials_for_power(chance, alpha, GOOD_POWER, pc).trials_stable
    except ValueError:  # the size lies too near to guessing
        return None


def _plan_pots(numbers: PlanNumbers, orders: tuple[str, ...]) -> RoundPots:
    try:
        return slots_per_round(
            orders,
            numbers.assessors,
            numbers.spare_seats,
            numbers.cup_ml,
            numbers.pot_ml,
            numbers.blended,
        )
    except ValueError:
        raise Invalid(pot_ml="A pot has to fill at least one cup.") from None


def _cost(numbers: PlanNumbers, cups: int, pots: RoundPots) -> Cost:
    return estimate_cost(
        assessors=numbers.assessors,
        spare_seats=numbers.spare_seats,
        rounds=numbers.rounds,
        cups_per_serving=cups,
        samples=2,
        cup_ml=numbers.cup_ml,
        pots_per_sample_per_round=pots.pots,
        swallow=numbers.swallow,
    )
