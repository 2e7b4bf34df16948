"""Every method that suits a wish, side by side: what it would take, what people at hand find."""

from dataclasses import dataclass
from datetime import time
from decimal import Decimal
from math import ceil

from server.blinding.allocation import plan_pots
from server.blinding.alone import plan_sitting_pots
from server.blinding.plans import Pots
from server.brewing.cost import CAFFEINE_MG_PER_ML, DECAF_MG_PER_ML, estimate_cost
from server.brewing.schedule import count_minutes, plan_run
from server.brewing.sitting import plan_sitting
from server.methods.base import Method
from server.methods.purposes import Known, Tells, find_known, find_told, needs_familiar_sample
from server.methods.registry import METHODS
from server.methods.traits import answers_yes_or_no, asks_by_name, can_be_shuffled
from server.methods.two_kinds import can_reach, find_share
from server.stats.binomial import power
from server.stats.forced_choice import THREE_AFC, TRIANGLE_ODD_KNOWN
from server.stats.reach import describe_reach
from server.stats.thurstone import ForcedChoice, pc_from_share
from server.stats.trials import TooManyTrials, trials_for_power
from server.tastings.planning import PlanNumbers
from server.tastings.sittings import GOOD_POWER
from server.tastings.wishing import Aim, Minded, Wish

ALPHA = float(PlanNumbers.model_fields["alpha"].default)
CUP_ML: Decimal = PlanNumbers.model_fields["cup_ml"].default
POT_ML: Decimal = PlanNumbers.model_fields["pot_ml"].default
SPARE: int = PlanNumbers.model_fields["spare_seats"].default
MOST_KINDS = 120
"""Answers called one of two kinds up to which the smallest share is searched for while typing."""

TOLD = {Aim.APART: Tells.APART, Aim.MORE: Tells.MORE, Aim.LIKED: Tells.LIKED}


@dataclass(frozen=True)
class Table:
    """What the number of pots follows from."""

    assessors: int
    spare_seats: int
    cup_ml: Decimal = CUP_ML
    pot_ml: Decimal = POT_ML
    pots: Pots = Pots.SEPARATE


@dataclass(frozen=True)
class Price:
    """What so many servings of a person take; minutes and caffeine of one day.

    ``caffeine_mg`` is that of whoever drinks every cup empty.
    """

    each: int
    cups: int
    pots: int
    minutes: int
    caffeine_mg: Decimal
    over_single_dose: bool
    over_day: bool


@dataclass(frozen=True)
class Need:
    """What finds the size that matters four times in five.

    From ``wanted`` answers on it always does; ``answers`` are these, the same for everybody.
    """

    wanted: int
    answers: int
    power: float
    price: Price


@dataclass(frozen=True)
class AtHand:
    """What the people at hand find with all the servings they have time for.

    ``critical`` is the fewest right answers; where answers are called one of two kinds, all of
    them, or None if these could not reach the level.
    ``power`` is the chance to find the size that matters; None where the method cannot say.
    ``share`` and ``d_prime`` are the smallest that are found four times in five.
    """

    answers: int
    critical: int | None
    power: float | None
    share: float | None
    d_prime: float | None


@dataclass(frozen=True)
class Contender:
    """A method that suits; ``need`` is None where no number of answers is enough, or known."""

    method: Method
    model: ForcedChoice
    known: Known
    pc: float | None
    need: Need | None
    hand: AtHand
    note: str = ""

    @property
    def by_two_rates(self) -> bool:
        """Whether no number of right answers decides, but how often each kind is called so."""
        return answers_yes_or_no(self.method)

    @property
    def name(self) -> str:
        """Name in the registry."""
        return self.method.name


def list_contenders(wish: Wish) -> tuple[Contender, ...]:
    """List the methods that suit a wish, what the leader minds least of first."""
    found = [_enter(method, wish) for method in METHODS.values() if suits(method, wish)]
    return tuple(sorted(found, key=lambda one: _rank(one, wish.mind)))


def suits(method: Method, wish: Wish) -> bool:
    """Tell whether a method answers the question with what these tasters know."""
    told = TOLD.get(wish.aim)
    if told is None or told not in find_told(method):
        return False
    if wish.alone and not can_be_shuffled(method):
        return False
    if needs_familiar_sample(method) and not wish.familiar:
        return False
    ways = list(Known)
    known = find_known(method)
    if wish.aim == Aim.MORE and known == Known.NOTHING:
        return False
    return ways.index(known) <= ways.index(wish.known)


def _rank(one: Contender, mind: Minded) -> tuple[bool, float, int, bool]:
    """Rank by what is minded, then by cups; of equals what asks by name comes first."""
    unnamed = not asks_by_name(one.method)
    if one.need is None:
        return (True, 0, one.method.cups, unnamed)
    return (False, float(_weigh(one.need, mind)), one.need.price.cups, unnamed)


def _weigh(need: Need, mind: Minded) -> float | Decimal:
    price = need.price
    weights: dict[Minded, float | Decimal] = {
        Minded.CUPS: price.cups,
        Minded.ANSWERS: need.answers,
        Minded.POTS: price.pots,
        Minded.MINUTES: price.minutes,
        Minded.CAFFEINE: price.caffeine_mg,
    }
    return weights[mind]


def _enter(method: Method, wish: Wish) -> Contender:
    model = find_model_for(method, wish)
    pc = _find_pc(model, wish)
    need = None if pc is None else _find_need(method, model, pc, wish)
    return Contender(
        method=method,
        model=model,
        known=Known.DIRECTION if model is THREE_AFC else find_known(method),
        pc=pc,
        need=need,
        hand=_find_hand(method, model, pc, wish),
        note=model.without_d_prime if pc is None else "",
    )


def find_model_for(method: Method, wish: Wish) -> ForcedChoice:
    """Return how the answers will be read; whoever pours a triad knows the odd sample."""
    if not wish.alone or method.name != "triangle":
        return method.model
    return THREE_AFC if wish.known == Known.DIRECTION else TRIANGLE_ODD_KNOWN


def _find_pc(model: ForcedChoice, wish: Wish) -> float | None:
    """Return the proportion correct at the size that matters."""
    if wish.aim == Aim.LIKED:
        return wish.split
    return None if model.without_d_prime else float(model.pc(wish.distance))


def _find_need(method: Method, model: ForcedChoice, pc: float, wish: Wish) -> Need | None:
    try:
        wanted = trials_for_power(model.chance, ALPHA, GOOD_POWER, pc, method.sided)
    except TooManyTrials:
        return None
    each = ceil(wanted.trials_stable / wish.people)
    answers = each * wish.people
    reached = power(answers, model.chance, ALPHA, pc, method.sided)
    return Need(wanted.trials_stable, answers, reached, price(method, each, wish))


def _find_hand(method: Method, model: ForcedChoice, pc: float | None, wish: Wish) -> AtHand:
    answers = wish.people * wish.each
    if answers_yes_or_no(method):
        return _find_kinds_at_hand(method, answers)
    reach = describe_reach(model, answers, ALPHA, GOOD_POWER, method.sided)
    chance = None if pc is None else power(answers, model.chance, ALPHA, pc, method.sided)
    return AtHand(answers, reach.critical, chance, reach.share, reach.d_prime)


def _find_kinds_at_hand(method: Method, answers: int) -> AtHand:
    """Find the smallest share; what finds a distance depends on a criterion, too."""
    share = None
    if answers <= MOST_KINDS:
        share = find_share(method.name, answers, ALPHA, GOOD_POWER)
    critical = answers if can_reach(method.name, min(answers, MOST_KINDS), ALPHA) else None
    return AtHand(answers, critical, None, share, None)


def price(method: Method, each: int, wish: Wish) -> Price:
    """Work out what so many servings of a person take, spread over the days they need."""
    a_day = ceil(each / count_days(each, wish))
    sittings = ceil(each / a_day)
    spare = 0 if wish.alone else SPARE
    if wish.alone:
        pots = 2 * plan_sitting_pots(a_day, CUP_ML, POT_ML, Pots.BLEND, method.orders).pots
        steps = plan_sitting(a_day, method.cups, pots, blended=True)
        minutes, brewed = sum(step.minutes for step in steps), pots * sittings
    else:
        pots = 2 * plan_pots(Table(wish.people, spare), method.orders).pots
        run = plan_run(time(0), [["pot"] * pots] * a_day, wish.people, cups_per_seat=method.cups)
        minutes, brewed = count_minutes(run), pots * each
    cost = estimate_cost(
        assessors=wish.people,
        spare_seats=spare,
        rounds=a_day,
        cups_per_serving=method.cups,
        cup_ml=CUP_ML,
        pots=brewed,
        swallow=wish.swallow,
        mg_per_ml=DECAF_MG_PER_ML if wish.decaf else CAFFEINE_MG_PER_ML,
    )
    return Price(
        each=each,
        cups=(wish.people + spare) * each * method.cups,
        pots=brewed,
        minutes=minutes,
        caffeine_mg=cost.caffeine_if_swallowed_mg,
        over_single_dose=cost.over_single_dose,
        over_day=cost.over_day,
    )


def count_days(each: int, wish: Wish) -> int:
    """Return the days that so many servings of a person need, or all there are."""
    return min(wish.days, ceil(each / wish.rounds))


def as_percent(model: ForcedChoice, pc: float) -> Decimal:
    """Return a proportion correct as the share noticed, in percent, as a plan's form has it."""
    share = (pc - model.chance) / (1 - model.chance)
    return min(max(Decimal(100 * share).quantize(Decimal("0.01")), Decimal(1)), Decimal(99))


def from_percent(model: ForcedChoice, percent: Decimal) -> float:
    """Return the proportion correct of such a share."""
    return pc_from_share(float(percent) / 100, model.chance)
