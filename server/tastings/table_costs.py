"""What follows from the plan of a scored table: what it takes, and what it balances."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from random import Random
from uuid import UUID

from server.blinding.balance import Aspect
from server.blinding.plans import Plan, TablePlan
from server.blinding.sealed import PlannedSample
from server.blinding.table import draw_table
from server.blinding.table_balance import Balanced, TableBalance, measure_table_balance
from server.blinding.table_plans import count_codes, get_table, is_complete
from server.blinding.table_stands import Stand, is_scored, list_stands
from server.brewing.cost import CAFFEINE_MG_PER_ML, DAY_MG, SINGLE_DOSE_MG
from server.sheets.places import list_places
from server.sheets.sheet import Sheet
from server.stats.binomial import reaches
from server.tastings.calibrating import OpenBowl, find_open_bowl
from server.tastings.table_methods import find_least_p

GRAMS_PER_LITRE = Decimal(60)
"""Dry coffee to a litre of water: common practice, no source."""

SECONDS_A_SCORE, MINUTES_TO_READY = 10, 15
"""A value given, and pouring, breaking and cooling before the first sip: common practice,
no source."""

MANY_SAMPLES = 8
"""Above so many codes a palate tires: common practice, no source."""

MINUTES_TO_CALIBRATE = 10
"""An open bowl poured, tasted and talked about: common practice, no source."""

SIP_ML = Decimal(8)
"""What one spoon or sip takes from a shared bowl, in mL: common practice, no source."""


@dataclass(frozen=True)
class TableCosts:
    """What a plan takes; volumes in millilitres, caffeine in milligrams.

    Attributes
    ----------
    codes, scores
        Codes before one seat in a sitting, and values it gives there.
    cups, brews, ml, grams
        Cups or bowls to fill, brews to make, brew in all, dry coffee for it.
    minutes
        Of a sitting, from the first pour to the last value.
    ml_per_person, caffeine_mg
        Before one person in a sitting, and the caffeine in it if it is drunk.
    is_tiring
        Whether there are more codes than a palate takes well in one go.
    open_bowl
        What each sitting needs of the open bowl; all of it is counted in the above.
    """

    plan: Plan
    codes: int
    scores: int
    cups: int
    brews: int
    ml: Decimal
    grams: Decimal
    minutes: int
    ml_per_person: Decimal
    caffeine_mg: Decimal
    is_tiring: bool
    balance: TableBalance
    open_bowl: OpenBowl | None

    @property
    def table(self) -> TablePlan:
        """What the plan says of the table."""
        return get_table(self.plan)

    @property
    def is_over_dose(self) -> bool:
        """Tell whether it is more caffeine than one go should hold, if it is swallowed."""
        return self.plan.swallow and self.caffeine_mg > SINGLE_DOSE_MG

    @property
    def is_over_day(self) -> bool:
        """Tell whether it is more than a day should hold."""
        return self.plan.swallow and self.caffeine_mg > DAY_MG

    @property
    def is_out_of_reach(self) -> bool:
        """Tell whether so few people cannot show anything, however they answer."""
        least = find_least_p(self.plan, self.balance.levels)
        return least is not None and not reaches(least, float(self.plan.alpha))

    @property
    def follows(self) -> bool:
        """Tell whether the draw sees to which sample comes after which."""
        return self.balance.design == Balanced.NEIGHBOURS

    @property
    def positions(self) -> tuple[int, int]:
        """Least and most often that a sample stands at a place."""
        return self.balance.ranges[Aspect.POSITIONS]

    @property
    def neighbours(self) -> tuple[int, int] | None:
        """Least and most often that one sample comes right after another."""
        return self.balance.ranges.get(Aspect.NEIGHBOURS)

    @property
    def is_complete(self) -> bool:
        """Tell whether every table holds all samples."""
        return is_complete(self.table, self.balance.levels)


def work_out_table(plan: Plan, levels: Sequence[str], sheet: Sheet) -> TableCosts:
    """Return what follows from a plan that can be drawn; its balance is that of one draw."""
    samples = [PlannedSample(level=level, label=level) for level in levels]
    drawn = draw_table(plan, UUID(int=0), samples, Random(1))
    table = get_table(plan)
    scored = [one for one in drawn.servings if is_scored(drawn, one)]
    stands: tuple[Stand, ...] = list_stands(scored[0])
    cups = len(drawn.key)
    if table.shared:
        cups = len({(one.round, cup.code, cup.bowl) for one in drawn.servings for cup in one.cups})
    bowl = find_open_bowl(plan)
    cups += bowl.cups * plan.sittings if bowl else 0
    scores = len(list_places(sheet, stands)) + sheet.own_words * len(stands)
    a_cup = SIP_ML if table.shared else plan.cup_ml
    in_front = a_cup * (len(scored[0].cups) + bool(table.warm_up) + (bowl is not None))
    minutes = MINUTES_TO_READY + (MINUTES_TO_CALIBRATE if bowl else 0)
    codes = count_codes(table, levels)
    return TableCosts(
        plan=plan,
        codes=codes,
        scores=scores,
        cups=cups,
        brews=sum(slot.brews for slot in drawn.slots) + (bowl.brews * plan.sittings if bowl else 0),
        ml=cups * plan.cup_ml,
        grams=cups * plan.cup_ml / 1000 * GRAMS_PER_LITRE,
        minutes=minutes + -(-scores * SECONDS_A_SCORE // 60),
        ml_per_person=in_front,
        caffeine_mg=in_front * CAFFEINE_MG_PER_ML,
        is_tiring=codes > MANY_SAMPLES,
        balance=measure_table_balance(drawn),
        open_bowl=bowl,
    )
