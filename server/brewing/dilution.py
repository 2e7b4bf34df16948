"""Make two brews equally strong with water, or say that one has to be brewed anew."""

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

from server.brewing.yields import BrewYield

WIDEST_YIELDS = 1.0
"""Points of yield beyond which water does not make brews alike; common practice, no source."""


def find_water_to_add(beverage_g: float, strength: float, target: float) -> float:
    """Return the water that brings a beverage down to a strength, in grams.

    Parameters
    ----------
    beverage_g : float
        What there is, in grams.
    strength, target : float
        Of it, and wanted, in %TDS.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        A number is not above zero, or the target is not below the strength: nothing is
        ever made stronger.

    Notes
    -----
    Solids stay as they are, so the extraction yield of a diluted brew does. Use the same water
    at the same temperature, stir, and read again.

    Examples
    --------
    >>> round(find_water_to_add(200, 1.48, 1.30), 1)
    27.7
    """
    for name, value in (("beverage_g", beverage_g), ("target", target)):
        if not 0 < value < float("inf"):
            raise ValueError(f"{name} must be a number above zero, got {value}")
    if not target < strength < 100:
        raise ValueError(f"strength must lie above target {target} and below 100, got {strength}")
    return beverage_g * (strength / target - 1)


def find_uncertainty_to_add(
    beverage_g: float,
    strength: float,
    target: float,
    u_beverage: float,
    u_strength: float,
    u_target: float,
) -> float:
    """Return the standard uncertainty of the water to add, in grams.

    Parameters
    ----------
    beverage_g, strength, target : float
        As `find_water_to_add` takes them; the target is another brew's strength, read on the
        same instrument.
    u_beverage, u_strength, u_target : float
        Standard uncertainties of the mass, and of the strengths from repeating alone.

    Returns
    -------
    float
        To first order (JCGM 100:2008, 5.1.2).

    Examples
    --------
    >>> round(find_uncertainty_to_add(200, 1.48, 1.30, 0.6, 0.006, 0.006), 1)
    1.4
    """
    find_water_to_add(beverage_g, strength, target)
    parts = (
        (strength / target - 1) * u_beverage,
        beverage_g / target * u_strength,
        beverage_g * strength / target**2 * u_target,
    )
    return sqrt(sum(part**2 for part in parts))


class Advice(StrEnum):
    """What to do about two brews that differ."""

    NOTHING = "nothing"  # as strong as each other, within the limit
    DILUTE = "dilute"
    REDIAL = "re-dial"  # extraction differs: grind, time or temperature, not water
    READ = "read"  # something was not read
    FORMS = "forms"  # their yields do not compare: one strength, but who knows of the other


@dataclass(frozen=True)
class DilutionAdvice:
    """What to do: ``stronger`` is the brew that gets ``water_g`` grams to 100 g of it.

    ``plus_minus_g`` are the limits that the readings leave it, of the kind a scale has.
    """

    advice: Advice
    stronger: str = ""
    water_g: float = 0.0
    plus_minus_g: float = 0.0


def advise_dilution(brews: dict[str, BrewYield], limit: float) -> DilutionAdvice:
    """Say how two brews become alike: always the stronger one is diluted.

    Parameters
    ----------
    brews : dict of str to BrewYield
        Two of them by name.
    limit : float
        Largest difference of strengths that counts as matched, %TDS.

    Returns
    -------
    DilutionAdvice
        Where yields differ by more than a point, water would match strength alone.

    Raises
    ------
    ValueError
        There are not two brews.

    Examples
    --------
    >>> from server.brewing.strength import find_strength
    >>> brews = {one: BrewYield(strength=find_strength([tds])) for one, tds in
    ...          (("A", 1.30), ("B", 1.48))}
    >>> found = advise_dilution(brews, 0.05)
    >>> found.advice.value, found.stronger, round(found.water_g, 1)
    ('dilute', 'B', 13.8)
    """
    if len(brews) != 2:
        raise ValueError(f"brews must be two, got {len(brews)}")
    strengths = {name: one.strength for name, one in brews.items() if one.strength}
    if len(strengths) < 2:
        return DilutionAdvice(Advice.READ)
    weaker, stronger = sorted(strengths, key=lambda name: strengths[name].percent)
    low, high = strengths[weaker].percent, strengths[stronger].percent
    first, second = brews[weaker], brews[stronger]
    if first.percent is not None and second.percent is not None:
        if first.form is not second.form:
            return DilutionAdvice(Advice.FORMS, stronger)
        if abs(first.percent - second.percent) > WIDEST_YIELDS:
            return DilutionAdvice(Advice.REDIAL, stronger)
    if high - low <= limit + 1e-9 or low <= 0:
        return DilutionAdvice(Advice.NOTHING)
    repeats = strengths[stronger].repeat, strengths[weaker].repeat
    doubt = find_uncertainty_to_add(100, high, low, 0, *repeats)
    return DilutionAdvice(
        Advice.DILUTE, stronger, find_water_to_add(100, high, low), sqrt(3) * doubt
    )
