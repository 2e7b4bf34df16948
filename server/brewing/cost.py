"""What a plan costs: cups, pots, millilitres and caffeine."""

from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from server.brewing.fatigue import find_most_cups

CAFFEINE_MG_PER_ML = Decimal(95) / Decimal(237)
"""Brewed coffee, 95 mg in a cup of 237 mL: about 0.40 mg/mL (from memory of common food tables)."""

DECAF_MG_PER_ML = Decimal(15) / Decimal(237)
"""Decaffeinated: up to 15 mg in a cup of 237 mL (from memory of common food tables)."""

ESPRESSO_MG_PER_ML = Decimal(63) / Decimal(30)
"""Espresso, 63 mg in 30 mL: about 2.1 mg/mL (from memory of common food tables)."""

LARGEST_ESPRESSO_ML = Decimal(70)
"""What is brewed by the cup and no larger is taken for espresso; common practice, no source."""

SIP_ML = Decimal(10)
"""What small sips take of a cup, all together; common practice, no source."""

SINGLE_DOSE_MG, DAY_MG = Decimal(200), Decimal(400)
"""Adults: no safety concern up to here, as a single dose and over a day.

EFSA, Scientific Opinion on the safety of caffeine, EFSA Journal 13(5):4102, 2015.
"""


@dataclass(frozen=True)
class Cost:
    """What a plan takes; volumes in millilitres, caffeine in milligrams.

    Attributes
    ----------
    cups
        Cups to fill, spare seats and all sittings included.
    ml
        Volume poured into them.
    pots
        Pots to brew.
    ml_per_person
        Volume in front of one person over all rounds of a sitting, or of a day.
    cups_per_person
        Cups in front of one person meanwhile.
    caffeine_if_swallowed_mg
        Estimate for one person who drinks every cup of a sitting empty, or what was said
        of it: an upper bound for whoever sips or spits.
    caffeine_mg_per_person
        The same if the plan says swallow; None (not estimated) if it says spit.
    over_single_dose, over_day
        Whether ``caffeine_mg_per_person`` lies above 200 mg or 400 mg; False if
        it is not estimated.
    over_palate
        Whether ``cups_per_person`` tire the palate.
    """

    cups: int
    ml: Decimal
    pots: int
    ml_per_person: Decimal
    cups_per_person: int
    caffeine_if_swallowed_mg: Decimal
    caffeine_mg_per_person: Decimal | None
    over_single_dose: bool
    over_day: bool
    over_palate: bool


def estimate_cost(
    *,
    assessors: int,
    spare_seats: int,
    rounds: int,
    cups_per_serving: int,
    cup_ml: Decimal,
    pots: int,
    swallow: bool,
    sittings: int = 1,
    days: int = 1,
    drunk_ml: Decimal | None = None,
    mg_per_ml: Decimal = CAFFEINE_MG_PER_ML,
) -> Cost:
    """Work out what a plan takes.

    Parameters
    ----------
    assessors, spare_seats, rounds : int
        Seats that count, seats in reserve (poured for as well), servings a seat
        and sitting, controls included.
    cups_per_serving : int
        Cups set before a seat at once.
    cup_ml : Decimal
        Portion of a cup, in millilitres.
    pots : int
        Pots to brew in all, from the same count of brew slots that the draw uses.
    swallow : bool
        Everybody swallows, or everybody spits.
    sittings : int
        How often everybody sits down.
    days : int
        Days over which the rounds of a sitting are spread.
    drunk_ml : Decimal, optional
        What is drunk of a cup, in millilitres; all of it if nothing is said.
    mg_per_ml : Decimal
        Caffeine of the coffee.

    Returns
    -------
    Cost

    Raises
    ------
    ValueError
        If a number is below 1 (``spare_seats``: below 0) or the portion not above 0.

    Examples
    --------
    >>> cost = estimate_cost(
    ...     assessors=18, spare_seats=0, rounds=1, cups_per_serving=3,
    ...     cup_ml=Decimal(40), pots=10, swallow=True,
    ... )
    >>> cost.cups, cost.ml, round(cost.caffeine_if_swallowed_mg)
    (54, Decimal('2160'), 48)
    """
    _check(
        cup_ml,
        assessors=assessors,
        spare_seats=spare_seats,
        rounds=rounds,
        cups_per_serving=cups_per_serving,
        pots=pots,
        sittings=sittings,
        days=days,
    )
    cups = (assessors + spare_seats) * rounds * sittings * cups_per_serving
    cups_per_person = ceil(rounds / days) * cups_per_serving
    drunk = cup_ml if drunk_ml is None else min(cup_ml, drunk_ml)
    upper = cups_per_person * drunk * mg_per_ml
    return Cost(
        cups=cups,
        ml=cups * cup_ml,
        pots=pots,
        ml_per_person=cups_per_person * cup_ml,
        cups_per_person=cups_per_person,
        caffeine_if_swallowed_mg=upper,
        caffeine_mg_per_person=upper if swallow else None,
        over_single_dose=swallow and upper > SINGLE_DOSE_MG,
        over_day=swallow and upper > DAY_MG,
        over_palate=cups_per_person > find_most_cups(swallow=swallow),
    )


def _check(cup_ml: Decimal, **numbers: int) -> None:
    for name, value in numbers.items():
        least = 0 if name == "spare_seats" else 1
        if value < least:
            raise ValueError(f"{name} must be at least {least}, got {value}")
    if not cup_ml > 0:
        raise ValueError(f"cup_ml must be above 0, got {cup_ml}")
