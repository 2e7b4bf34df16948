"""Hardness and alkalinity of water in the units in which people read them."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

CALCIUM, MAGNESIUM, CARBON, OXYGEN, HYDROGEN = 40.078, 24.305, 12.011, 15.999, 1.008
"""Standard atomic weights, abridged (IUPAC 2021), in g/mol."""

LIME = CALCIUM + CARBON + 3 * OXYGEN  # CaCO3: the substance in whose mass hardness is told
QUICKLIME = CALCIUM + OXYGEN  # CaO: that of German degrees
HYDROGEN_CARBONATE = HYDROGEN + CARBON + 3 * OXYGEN
GRAIN_MG, US_GALLON_L, UK_GALLON_L = 64.79891, 3.785411784, 4.54609


class Unit(StrEnum):
    """How hardness or alkalinity is told."""

    LIME = "mg/L CaCO3"
    GERMAN = "°dH"
    FRENCH = "°fH"
    ENGLISH = "°e"
    GRAINS = "grain/gal (US)"
    MILLIMOLE = "mmol/L"  # of calcium and magnesium
    MILLIVAL = "meq/L"
    CALCIUM = "mg/L Ca"
    MAGNESIUM = "mg/L Mg"
    HYDROGEN_CARBONATE = "mg/L HCO3"


LIME_PER_UNIT: Mapping[Unit, float] = {
    Unit.LIME: 1.0,
    Unit.GERMAN: 10 * LIME / QUICKLIME,  # 10 mg/L of CaO
    Unit.FRENCH: 10.0,  # 10 mg/L of CaCO3
    Unit.ENGLISH: GRAIN_MG / UK_GALLON_L,  # a grain of CaCO3 in a gallon
    Unit.GRAINS: GRAIN_MG / US_GALLON_L,
    Unit.MILLIMOLE: LIME,
    Unit.MILLIVAL: LIME / 2,
    Unit.CALCIUM: LIME / CALCIUM,
    Unit.MAGNESIUM: LIME / MAGNESIUM,
    Unit.HYDROGEN_CARBONATE: LIME / 2 / HYDROGEN_CARBONATE,
}
"""Milligrams of CaCO3 in a litre that one of each unit stands for."""

HARDNESS = tuple(one for one in Unit if one is not Unit.HYDROGEN_CARBONATE)
ALKALINITY = tuple(one for one in Unit if one not in (Unit.MILLIMOLE, Unit.CALCIUM, Unit.MAGNESIUM))
"""Units in which each is read; a millimole of either would be another one."""


def convert(value: float, unit: Unit, to: Unit = Unit.LIME) -> float:
    """Return a hardness or an alkalinity in another unit.

    Parameters
    ----------
    value : float
        From 0.
    unit, to : Unit
        What it was read in, and what is wanted.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        The value is negative or no number.

    Notes
    -----
    Acidity (pH) stands by itself: it follows from none of them.

    References
    ----------
    Degrees by their definitions: German, 10 mg/L of CaO; French, 10 mg/L of CaCO3; English
    (Clark) and US, a grain of CaCO3 in their gallon (from memory).

    Examples
    --------
    >>> round(convert(1, Unit.GERMAN), 1), round(convert(61, Unit.HYDROGEN_CARBONATE))
    (17.8, 50)
    """
    if not 0 <= value < float("inf"):
        raise ValueError(f"value must be a number from 0, got {value}")
    return value * LIME_PER_UNIT[unit] / LIME_PER_UNIT[to]


@dataclass(frozen=True)
class WaterTarget:
    """Brewing water that somebody recommends: ranges in mg/L CaCO3, and who says so."""

    name: str
    hardness: tuple[float, float]
    alkalinity: tuple[float, float]
    ph: tuple[float, float]
    source: str


TARGETS = (
    WaterTarget(
        "Older trade target",
        (17, 85),
        (40, 40),
        (6.5, 7.5),
        "an older, widely copied trade target, seen on secondary pages; total hardness",
    ),
    WaterTarget(
        "Newer trade target",
        (50, 175),
        (40, 75),
        (6, 8),
        "a newer trade target, seen on secondary pages; calcium hardness alone",
    ),
)
"""They conflict, and neither is more than a place to begin: none is the rule."""
