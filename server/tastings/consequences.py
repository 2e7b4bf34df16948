"""What follows from a plan: what it can find, and what it costs."""

from dataclasses import dataclass

from server.blinding.allocation import RoundPots, plan_null_pots, plan_pots
from server.brewing.cost import Cost, estimate_cost
from server.methods.registry import get_method
from server.stats.binomial import critical_number, power, tail
from server.stats.thurstone import pc_from_share
from server.stats.trials import smallest_share, trials_for_power
from server.tastings.planning import PlanNumbers
from server.tastings.refusals import Invalid

GOOD_POWER = 0.8
TOO_SMALL = "A pot has to fill its cups: take larger pots, smaller cups or several pots."


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
    control_power
        Chance that the positive control is found; None: there is none.
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
    control_power: float | None


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
        cost=_cost(numbers, method.cups, pots, _plan_null_pots(numbers, method.orders)),
        control_power=_find_control_power(numbers, chance, alpha),
    )


def _find_control_power(numbers: PlanNumbers, chance: float, alpha: float) -> float | None:
    if not numbers.positive_control:
        return None
    pc = pc_from_share(float(numbers.positive_percent) / 100, chance)
    return power(numbers.assessors, chance, alpha, pc)


def _find_wanted(chance: float, alpha: float, pc: float) -> int | None:
    try:
        return trials_for_power(chance, alpha, GOOD_POWER, pc).trials_stable
    except ValueError:  # the size lies too near to guessing
        return None


def _plan_pots(numbers: PlanNumbers, orders: tuple[str, ...]) -> RoundPots:
    try:
        return plan_pots(numbers, orders)
    except ValueError:
        raise Invalid(pot_ml=TOO_SMALL) from None


def _plan_null_pots(numbers: PlanNumbers, orders: tuple[str, ...]) -> RoundPots | None:
    if not numbers.null_control:
        return None
    try:
        return plan_null_pots(numbers, orders)
    except ValueError:
        raise Invalid(pot_ml=TOO_SMALL) from None


def _cost(numbers: PlanNumbers, cups: int, pots: RoundPots, null: RoundPots | None) -> Cost:
    rounds_of_two = numbers.rounds + numbers.positive_control
    return estimate_cost(
        assessors=numbers.assessors,
        spare_seats=numbers.spare_seats,
        rounds=numbers.total_rounds,
        cups_per_serving=cups,
        cup_ml=numbers.cup_ml,
        pots=2 * pots.pots * rounds_of_two + (2 * null.pots if null else 0),
        swallow=numbers.swallow,
    )
