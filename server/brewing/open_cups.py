"""What open cups before the first code add to the cost of a plan."""

from dataclasses import replace
from decimal import Decimal
from math import ceil

from server.brewing.cost import DAY_MG, SINGLE_DOSE_MG, Cost
from server.brewing.fatigue import find_most_cups


def add_open_cups(cost: Cost, *, kinds: int, seats: int, cup_ml: Decimal, pot_ml: Decimal) -> Cost:
    """Return a cost with an open cup of so many kinds before every seat.

    Each kind is brewed in pots of its own. Of an open cup as much is drunk as of any other.

    Parameters
    ----------
    cost : Cost
        Of the cups with codes.
    kinds : int
        Open cups a seat, 0 or more.
    seats : int
        Seats that are served, spare ones included.
    cup_ml, pot_ml : Decimal
        Portion of a cup and usable volume of a pot, in millilitres.

    Examples
    --------
    >>> from server.brewing.cost import estimate_cost
    >>> codes = estimate_cost(
    ...     assessors=10, spare_seats=0, rounds=4, cups_per_serving=1, cup_ml=Decimal(40),
    ...     pots=4, swallow=True,
    ... )
    >>> more = add_open_cups(codes, kinds=1, seats=10, cup_ml=Decimal(40), pot_ml=Decimal(500))
    >>> more.cups, more.pots, more.ml_per_person
    (50, 5, Decimal('200'))
    """
    grown = cost.ml_per_person + kinds * cup_ml
    upper = cost.caffeine_if_swallowed_mg * grown / cost.ml_per_person
    swallow = cost.caffeine_mg_per_person is not None
    return replace(
        cost,
        cups=cost.cups + seats * kinds,
        ml=cost.ml + seats * kinds * cup_ml,
        pots=cost.pots + kinds * ceil(seats * cup_ml / pot_ml),
        ml_per_person=grown,
        cups_per_person=cost.cups_per_person + kinds,
        caffeine_if_swallowed_mg=upper,
        caffeine_mg_per_person=upper if swallow else None,
        over_single_dose=swallow and upper > SINGLE_DOSE_MG,
        over_day=swallow and upper > DAY_MG,
        over_palate=cost.cups_per_person + kinds > find_most_cups(swallow=swallow),
    )
