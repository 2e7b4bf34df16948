"""Does what was typed of a brew make sense? What to ask, warn of, or refuse."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from server.brewing.brewed import Brewed
from server.brewing.extraction import Brewer
from server.brewing.hot_water import weigh_hot_water
from server.brewing.strength import find_strength
from server.brewing.yields import find_yield

FILTER = (Decimal("0.5"), Decimal(3))
PLAUSIBLE = {
    Brewer.PERCOLATION: FILTER,
    Brewer.IMMERSION: FILTER,
    Brewer.MIXED: FILTER,
    Brewer.ESPRESSO: (Decimal(4), Decimal(20)),
}
"""Strengths of ordinary brews, %TDS; common practice, no source."""

RETAINED = (Decimal("1.5"), Decimal("3.5"))
"""Grams of water that a gram of coffee keeps; common practice, no source."""

YIELDS = (5.0, 30.0)
"""Yields in percent beyond which something was weighed wrong; common practice, no source."""

BREWING_C = Decimal(93)
POWERS = (Decimal("0.1"), Decimal("0.01"), Decimal(10), Decimal(100))


class Weight(StrEnum):
    """What a remark asks for."""

    REFUSE = "refuse"  # it cannot be
    ASK = "ask"  # it may be a slip: is it right?
    WARN = "warn"  # it may be, and it matters
    NOTE = "note"  # how a number came about


class Remark(StrEnum):
    """What is remarked."""

    BEVERAGE_ABOVE_WATER = "beverage above water"
    WATER_BELOW_DOSE = "water below dose"
    POINT = "point"  # the decimal point of a strength may have slipped
    STRENGTH_FAR = "strength far"
    SPREAD = "spread"
    WARM = "warm"
    NOT_FILTERED = "not filtered"
    ZERO_AIR = "zero air"
    RETAINED_FAR = "retained far"
    HOT_ML = "hot millilitres"
    YIELD_FAR = "yield far"
    ESTIMATED = "estimated"
    NOT_FROM_BEVERAGE = "not from beverage"


@dataclass(frozen=True)
class Finding:
    """One remark on a field of a brew.

    Attributes
    ----------
    field
        The member of `Brewed` it stands at.
    weight, remark
        What it asks for, and what it says.
    value, instead
        The number remarked on, and the one that may be meant or held against it.
    usual
        From where to where such a number usually lies; None if nothing is said of that.
    """

    field: str
    weight: Weight
    remark: Remark
    value: Decimal
    instead: Decimal | None = None
    usual: tuple[Decimal, Decimal] | None = None


def check_brew(how: Brewer, brewed: Brewed, water_c: Decimal | None = None) -> tuple[Finding, ...]:
    """List what is to be remarked on a brew.

    Parameters
    ----------
    how : Brewer
        How water leaves the coffee.
    brewed : Brewed
        What was noted.
    water_c : Decimal, optional
        Temperature of the brewing water, °C; 93 if nobody said.

    Returns
    -------
    tuple of Finding
        The gravest first; empty if nothing strikes.

    Examples
    --------
    >>> found = check_brew(Brewer.PERCOLATION, Brewed.model_validate({"tds": ["13.6"]}))
    >>> [(one.weight.value, one.remark.value, str(one.instead)) for one in found]
    [('ask', 'point', '1.36')]
    """
    found = [
        *_check_masses(brewed),
        *_check_readings(how, brewed),
        *_check_retained(how, brewed, BREWING_C if water_c is None else water_c),
        *_check_yield(how, brewed),
    ]
    return tuple(sorted(found, key=lambda one: list(Weight).index(one.weight)))


def _check_masses(brewed: Brewed) -> Iterator[Finding]:
    water, beverage, dose = brewed.water_g, brewed.beverage_g, brewed.dose_g
    if water is not None and beverage is not None and beverage > water:
        yield Finding("beverage_g", Weight.REFUSE, Remark.BEVERAGE_ABOVE_WATER, beverage, water)
    if water is not None and dose is not None and water < dose:
        yield Finding("water_g", Weight.REFUSE, Remark.WATER_BELOW_DOSE, water, dose)


def _check_readings(how: Brewer, brewed: Brewed) -> Iterator[Finding]:
    odd = next((one for one in brewed.tds if not _is_plausible(how, one)), None)
    if odd is not None:
        meant = find_meant(how, odd)
        remark = Remark.STRENGTH_FAR if meant is None else Remark.POINT
        yield Finding("tds", Weight.ASK, remark, odd, meant, PLAUSIBLE[how])
    if not brewed.tds:
        return
    sample_c = None if brewed.sample_c is None else float(brewed.sample_c)
    strength = find_strength([float(one) for one in brewed.tds], sample_c)
    if strength.is_spread_wide:
        spread = max(brewed.tds) - min(brewed.tds)
        yield Finding("tds", Weight.WARN, Remark.SPREAD, spread)
    if strength.is_warm and brewed.sample_c is not None:
        yield Finding("sample_c", Weight.WARN, Remark.WARM, brewed.sample_c)
    middle = Decimal(str(strength.percent))
    if brewed.filtered is False:
        yield Finding("filtered", Weight.WARN, Remark.NOT_FILTERED, middle)
    if brewed.zero == "air":
        yield Finding("zero", Weight.WARN, Remark.ZERO_AIR, middle)


def find_meant(how: Brewer, strength: Decimal) -> Decimal | None:
    """Return the strength that a slipped decimal point would have come from, if one is plausible.

    Examples
    --------
    >>> find_meant(Brewer.PERCOLATION, Decimal("13.6")), find_meant(Brewer.ESPRESSO, Decimal(9))
    (Decimal('1.36'), None)
    """
    if _is_plausible(how, strength):
        return None
    moved = (strength * power for power in POWERS)
    return next((one.normalize() for one in moved if _is_plausible(how, one)), None)


def _is_plausible(how: Brewer, strength: Decimal) -> bool:
    low, high = PLAUSIBLE[how]
    return low <= strength <= high


def _check_retained(how: Brewer, brewed: Brewed, water_c: Decimal) -> Iterator[Finding]:
    water, beverage, dose = brewed.water_g, brewed.beverage_g, brewed.dose_g
    if how is Brewer.ESPRESSO or water is None or beverage is None or not dose:
        return
    low, high = RETAINED
    ratio = (water - beverage) / dose
    if beverage > water or low <= ratio <= high:
        return
    if how is Brewer.IMMERSION and beverage == water:  # nothing was poured off its grounds
        return
    yield Finding(
        "beverage_g", Weight.WARN, Remark.RETAINED_FAR, _round(ratio, "0.01"), usual=RETAINED
    )
    grams = _round(weigh_hot_water(float(water), float(water_c)), "1")
    if ratio > high and low <= (grams - beverage) / dose <= high:
        yield Finding("water_g", Weight.ASK, Remark.HOT_ML, water, grams)


def _check_yield(how: Brewer, brewed: Brewed) -> Iterator[Finding]:
    found = find_yield(how, brewed)
    if found.percent is None or found.strength is None or brewed.dose_g is None:
        return
    percent = _round(found.percent, "0.1")
    if not YIELDS[0] <= found.percent <= YIELDS[1]:
        yield Finding("tds", Weight.WARN, Remark.YIELD_FAR, percent)
    strength, dose = Decimal(str(found.strength.percent)), brewed.dose_g
    if found.estimated and brewed.water_g is not None:
        wrong = _round(brewed.water_g * strength / dose, "0.1")
        yield Finding("beverage_g", Weight.NOTE, Remark.ESTIMATED, percent, wrong)
    if how is Brewer.IMMERSION and brewed.beverage_g is not None:
        wrong = _round(brewed.beverage_g * strength / dose, "0.1")
        yield Finding("beverage_g", Weight.NOTE, Remark.NOT_FROM_BEVERAGE, percent, wrong)


def _round(value: Decimal | float, to: str) -> Decimal:
    return Decimal(str(value)).quantize(Decimal(to))
