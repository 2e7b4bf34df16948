"""Bounds of every number that a bench form asks for, and how one is read as people type it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

TYPED = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)", re.ASCII)
LONGEST_SHOWN = 20


@dataclass(frozen=True)
class Bound:
    """What a number may be: from ``low`` to ``high`` in ``unit``, so many decimals at most."""

    label: str
    unit: str
    low: Decimal
    high: Decimal
    decimals: int = 2

    @property
    def range(self) -> str:
        """The range in words, such as ``from 0.5 to 2000 g``."""
        unit = f" {self.unit}" if self.unit else ""
        return f"from {self.low} to {self.high}{unit}"


def _bound(label: str, unit: str, low: str, high: str, decimals: int = 2) -> Bound:
    return Bound(label, unit, Decimal(low), Decimal(high), decimals)


BOUNDS: Mapping[str, Bound] = {
    "dose_g": _bound("Dose", "g", "0.5", "2000"),
    "water_g": _bound("Water", "g", "1", "20000"),
    "water_ml": _bound("Water", "mL", "1", "20000"),
    "beverage_g": _bound("Beverage", "g", "1", "20000"),
    "scale_g": _bound("Scale", "g", "0", "20000"),
    "rinse_g": _bound("Rinse water", "g", "0", "20000"),
    "water_c": _bound("Water temperature", "°C", "0", "100", 1),
    "tds": _bound("Strength", "%TDS", "0", "30", 4),
    "last_drops": _bound("Strength of the last drops", "%TDS", "0", "30", 4),
    "sample_c": _bound("Temperature of the sample read", "°C", "0", "100", 1),
    "temperature_c": _bound("Temperature at service", "°C", "0", "100", 1),
    "fill_g": _bound("Fill of a cup", "g", "0", "500"),
    "retained_ratio": _bound("Water kept by the coffee", "g per g", "0.1", "10"),
    "absorbed_ratio": _bound("Water taken up without solids", "g per g", "0", "5"),
    "ph": _bound("pH", "", "0", "14"),
    "hardness": _bound("Hardness", "", "0", "2000"),
    "alkalinity": _bound("Alkalinity", "", "0", "2000"),
    "colour": _bound("Roast colour", "", "0", "999"),
    "median_um": _bound("Median grind", "µm", "1", "5000", 1),
    "shots": _bound("Shots", "", "1", "12", 0),
    "brews_before": _bound("Brews made before", "", "0", "100000", 0),
    "part_g": _bound("Mass of the part", "g", "0.01", "20000"),
    "surface_cm2": _bound("Surface of the part", "cm²", "0.1", "100000", 1),
    "parts": _bound("Number of parts", "", "0", "1000", 0),
    "rating_c": _bound("Heat the part is rated for", "°C", "0", "400", 0),
    "soak_c": _bound("Soak temperature", "°C", "0", "100", 1),
    "soak_min": _bound("Soak time", "min", "0.1", "20000", 1),
    "strength_low": _bound("Lowest strength", "%TDS", "0", "30"),
    "strength_high": _bound("Highest strength", "%TDS", "0", "30"),
    "extraction_low": _bound("Lowest extraction", "%", "0", "40"),
    "extraction_high": _bound("Highest extraction", "%", "0", "40"),
}
"""Name of a field to its bound; wide enough for anything that is brewed, common practice."""


def parse_number(name: str, text: str) -> Decimal:
    """Read a number as it was typed; a comma is a decimal point.

    Parameters
    ----------
    name : str
        One of `BOUNDS`.
    text : str
        What was typed.

    Returns
    -------
    Decimal

    Raises
    ------
    ValueError
        It is no number, or lies outside its bounds; the message names label, range and unit.
    KeyError
        There is no such bound.

    Examples
    --------
    >>> parse_number("dose_g", " 20,5 ")
    Decimal('20.5')
    >>> parse_number("dose_g", "a spoon")
    Traceback (most recent call last):
    ValueError: Dose: a number from 0.5 to 2000 g with 2 decimals at most, not “a spoon”.
    """
    bound = BOUNDS[name]
    typed = text.strip().replace(",", ".")
    number = Decimal(typed) if len(typed) <= LONGEST_SHOWN and TYPED.fullmatch(typed) else None
    if number is None or not bound.low <= number <= bound.high or _count(number) > bound.decimals:
        raise ValueError(f"{_say(bound)}, not “{text.strip()[:LONGEST_SHOWN]}”.")
    return number


def parse_optional(name: str, text: str) -> Decimal | None:
    """Read a number that may be left out; nothing typed is None.

    Examples
    --------
    >>> parse_optional("ph", "")
    """
    return parse_number(name, text) if text.strip() else None


def _count(number: Decimal) -> int:
    """Count the decimals that say something."""
    exponent = number.normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _say(bound: Bound) -> str:
    if bound.decimals == 0:
        return f"{bound.label}: a whole number {bound.range}"
    decimal = "decimal" if bound.decimals == 1 else "decimals"
    return f"{bound.label}: a number {bound.range} with {bound.decimals} {decimal} at most"
