"""What follows from the plan of a rising series: cups, pots, caffeine, and what luck does."""

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from server.blinding.plans import Plan
from server.blinding.series import count_batch
from server.brewing.cost import Cost, estimate_cost
from server.methods.ascending import ASCENDING
from server.stats.threshold import EQUAL_FACTORS, expect_luck

FEW_PEOPLE = 8
"""With fewer, one person moves the group's threshold a lot (common practice, no source)."""


@dataclass(frozen=True)
class SeriesCosts:
    """Numbers beside the plan of a series.

    Attributes
    ----------
    plan
        The plan.
    batch
        Pots that make up the one batch of a round.
    cost
        Cups, volumes, caffeine if it is coffee.
    least, most
        Smallest and largest factor from one step to the next.
    luck
        By how many steps guessing lowers a best estimate, for somebody who notices only the
        step above the last.
    """

    plan: Plan
    batch: int
    cost: Cost
    least: Decimal
    most: Decimal
    luck: float

    @property
    def is_uneven(self) -> bool:
        """Whether the steps rise by different factors."""
        return float(self.most) > EQUAL_FACTORS * float(self.least)

    @property
    def is_small(self) -> bool:
        """Whether few people taste."""
        return self.plan.assessors < FEW_PEOPLE


def work_out_series(plan: Plan) -> SeriesCosts:
    """Return what follows from the plan of a series."""
    assert plan.series is not None
    steps, seats = plan.series.steps, plan.assessors + plan.spare_seats
    batch = count_batch(seats, plan.cup_ml, plan.pot_ml)
    factors = [high / low for low, high in pairwise(steps)]
    cost = estimate_cost(
        assessors=plan.assessors,
        spare_seats=plan.spare_seats,
        rounds=len(steps),
        cups_per_serving=ASCENDING.cups,
        cup_ml=plan.cup_ml,
        pots=batch * len(steps),
        swallow=plan.swallow,
    )
    luck = expect_luck(ASCENDING.model.chance, len(steps))
    return SeriesCosts(plan, batch, cost, min(factors), max(factors), luck)
