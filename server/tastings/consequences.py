"""What follows from a plan: what it can find, and what it costs."""

from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from server.blinding.allocation import RoundPots, plan_null_pots, plan_pots
from server.blinding.alone import plan_sitting_pots
from server.blinding.plans import Pots, Relief
from server.brewing.cost import (
    CAFFEINE_MG_PER_ML,
    DECAF_MG_PER_ML,
    ESPRESSO_MG_PER_ML,
    LARGEST_ESPRESSO_ML,
    SIP_ML,
    Cost,
    estimate_cost,
)
from server.brewing.open_cups import add_open_cups
from server.brewing.sitting import plan_single_sitting, plan_sitting
from server.methods.base import Method
from server.methods.registry import get_method
from server.methods.traits import answers_yes_or_no, is_two_sided
from server.methods.two_kinds import can_reach, find_power, find_servings, find_share
from server.reports.relief_words import say_relief
from server.stats.binomial import critical_number, p_value, power
from server.stats.thurstone import pc_from_share
from server.stats.trials import smallest_share
from server.tastings.declared import (
    FewNotice,
    Several,
    Stopping,
    follow_few,
    follow_several,
    follow_stopping,
)
from server.tastings.grouping import GroupPower, follow_groups
from server.tastings.planning import PlanNumbers
from server.tastings.refusals import Invalid
from server.tastings.sittings import GOOD_POWER, find_wanted

TOO_SMALL = "A pot has to fill its cups: take larger pots, smaller cups or several pots."


@dataclass(frozen=True)
class Consequences:
    """Numbers beside the plan; shares are fractions.

    Attributes
    ----------
    trials
        Servings that count.
    critical
        Fewest correct answers that show a difference, two-sided of the sample chosen more
        often, of two kinds of servings all of them; None: no number would.
    achieved_alpha
        Exact level at ``critical``.
    power
        Chance to find the size that matters.
    findable
        Smallest share found with four chances in five; None: no share is.
    control_power
        Chance that the positive control is found; None: there is none.
    control_wanted
        Answers that would find it with four chances in five; None: more than anybody can plan
        for, or there is no such control.
    wanted
        Servings that would give this chance for the size that matters; None: more
        than anybody can plan for.
    pots
        Of one sample: for a round, alone for a sitting.
    minutes
        Of a sitting alone, from marking to the last mark read; None for a panel, whose
        run card says more.
    few
        What follows from a similarity test; None if the plan is none.
    stopping
        What follows from stopping as the answers decide; None if they do not.
    several
        What follows where several answers of a person count as declared; None if not.
    groups
        What each group that is looked at besides could find.
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
    control_wanted: int | None
    minutes: int | None
    few: FewNotice | None = None
    stopping: Stopping | None = None
    several: Several | None = None
    groups: tuple[GroupPower, ...] = ()

    @property
    def lacks_relief(self) -> bool:
        """Whether so many cups are too much for one person, and nothing helps enough."""
        unrelieved = self.cost.over_palate and not self.numbers.relief
        return self.cost.over_single_dose or unrelieved

    @property
    def relief_words(self) -> str:
        """What was chosen against that, in words."""
        return say_relief(self.numbers.relief, self.numbers.days)

    @property
    def espresso(self) -> bool:
        """Whether caffeine is counted as that of espresso."""
        return is_espresso(self.numbers)

    @property
    def two_sided(self) -> bool:
        """Whether either sample may be chosen more often."""
        return is_two_sided(get_method(self.numbers.method))

    @property
    def yes_or_no(self) -> bool:
        """Whether servings of two kinds are called one or the other."""
        return answers_yes_or_no(get_method(self.numbers.method))

    @property
    def control_rounds_wanted(self) -> int | None:
        """Rounds in which everybody gives so many answers to the positive control."""
        wanted = self.control_wanted
        return None if wanted is None else ceil(wanted / self.numbers.assessors)


def work_out(numbers: PlanNumbers) -> Consequences:
    """Return what follows from the numbers of a plan.

    Raises
    ------
    Invalid
        If the pots cannot serve the round, alone the sitting.
    """
    method = get_method(numbers.method)
    chance, alpha = method.model.chance, float(numbers.alpha)
    trials = numbers.trials
    pc = pc_from_share(float(numbers.size_percent) / 100, chance)
    if answers_yes_or_no(method):
        return _work_out_kinds(numbers, method)
    critical = critical_number(trials, chance, alpha, method.sided)
    pots = _plan_pots(numbers, method.orders)
    null = _plan_null_pots(numbers, method.orders)
    return Consequences(
        numbers=numbers,
        trials=trials,
        critical=critical,
        achieved_alpha=_find_level(method, trials, critical),
        power=power(trials, chance, alpha, pc, method.sided),
        findable=smallest_share(trials, chance, alpha, GOOD_POWER, method.sided),
        wanted=find_wanted(method, alpha, pc),
        pots=pots,
        cost=_cost(numbers, method.cups, pots, null),
        control_power=_find_control_power(numbers, chance, alpha),
        control_wanted=_find_control_wanted(numbers, method),
        minutes=_count_minutes(numbers, method, pots),
        few=follow_few(numbers),
        stopping=follow_stopping(numbers),
        several=follow_several(numbers),
        groups=follow_groups(numbers),
    )


def _work_out_kinds(numbers: PlanNumbers, method: Method) -> Consequences:
    """Return what follows where servings of two kinds are called one or the other."""
    trials, alpha, share = numbers.trials, float(numbers.alpha), float(numbers.size_percent) / 100
    pots = _plan_pots(numbers, method.orders)
    cost = add_open_cups(
        _cost(numbers, method.cups, pots, None),
        kinds=len(numbers.open_cups),
        seats=numbers.assessors + numbers.spare_seats,
        cup_ml=numbers.cup_ml,
        pot_ml=numbers.pot_ml,
    )
    return Consequences(
        numbers=numbers,
        trials=trials,
        critical=trials if can_reach(method.name, trials, alpha) else None,
        achieved_alpha=None,
        power=find_power(method.name, trials, alpha, share),
        findable=find_share(method.name, trials, alpha, GOOD_POWER),
        wanted=find_servings(method.name, alpha, GOOD_POWER, share),
        pots=pots,
        cost=cost,
        control_power=None,
        control_wanted=None,
        minutes=None,
        few=follow_few(numbers),
    )


def _find_level(method: Method, trials: int, critical: int | None) -> float | None:
    if critical is None:
        return None
    return p_value(critical, trials, method.model.chance, method.sided)


def _find_control_power(numbers: PlanNumbers, chance: float, alpha: float) -> float | None:
    if not numbers.positive_control:
        return None
    pc = pc_from_share(float(numbers.positive_percent) / 100, chance)
    return power(numbers.assessors * numbers.known_rounds, chance, alpha, pc)


def _find_control_wanted(numbers: PlanNumbers, method: Method) -> int | None:
    if not numbers.positive_control:
        return None
    pc = pc_from_share(float(numbers.positive_percent) / 100, method.model.chance)
    return find_wanted(method, float(numbers.alpha), pc)


def _count_minutes(numbers: PlanNumbers, method: Method, pots: RoundPots) -> int | None:
    if not numbers.alone:
        return None
    if numbers.single_cups:
        steps = plan_single_sitting(numbers.rounds, method.cups)
        return sum(step.minutes for step in steps)
    blended = numbers.pots == Pots.BLEND
    steps = plan_sitting(numbers.rounds, method.cups, 2 * pots.pots, blended=blended)
    return sum(step.minutes for step in steps)


def _plan_pots(numbers: PlanNumbers, orders: tuple[str, ...]) -> RoundPots:
    try:
        if numbers.alone:
            return plan_sitting_pots(
                numbers.rounds, numbers.cup_ml, numbers.pot_ml, numbers.pots, orders
            )
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
    of_two = numbers.sittings if numbers.alone else numbers.rounds + numbers.known_rounds
    sips = numbers.relief == Relief.SIPS
    return estimate_cost(
        assessors=numbers.assessors,
        spare_seats=numbers.spare_seats,
        rounds=numbers.sitting_rounds,
        cups_per_serving=cups,
        cup_ml=numbers.cup_ml,
        pots=2 * pots.pots * of_two + (2 * null.pots if null else 0),
        swallow=numbers.swallow,
        sittings=numbers.sittings,
        days=numbers.days,
        drunk_ml=SIP_ML if sips else None,
        mg_per_ml=_find_caffeine(numbers),
    )


def _find_caffeine(numbers: PlanNumbers) -> Decimal:
    """Return the caffeine of what is brewed, in mg/mL; espresso is taken as strong as it is."""
    espresso = is_espresso(numbers)
    if numbers.smell_only or numbers.contrast == "soak":
        return Decimal(0)  # nothing is drunk, or it is water
    if numbers.relief == Relief.DECAF:
        times = ESPRESSO_MG_PER_ML / CAFFEINE_MG_PER_ML if espresso else Decimal(1)
        return DECAF_MG_PER_ML * times
    return ESPRESSO_MG_PER_ML if espresso else CAFFEINE_MG_PER_ML


def is_espresso(numbers: PlanNumbers) -> bool:
    """Tell whether cups are brewed one by one, and are as small as an espresso is."""
    return numbers.single_cups and numbers.cup_ml <= LARGEST_ESPRESSO_ML
