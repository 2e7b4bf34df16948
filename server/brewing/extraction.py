"""Extraction yield by the form its brewer asks for; the form stays beside the number."""

from dataclasses import dataclass
from enum import StrEnum


class Brewer(StrEnum):
    """How water leaves the coffee."""

    PERCOLATION = "percolation"
    IMMERSION = "immersion"
    MIXED = "mixed"
    ESPRESSO = "espresso"  # percolation under pressure, with a strength of its own range


class Form(StrEnum):
    """Which formula made a yield; yields of two forms do not compare."""

    BEVERAGE = "beverage weighed"
    RETAINED = "beverage from a retained ratio"
    SIMPLE = "all water, solids not counted"
    SOLIDS = "all water, solids counted"
    ABSORBED = "all water less absorbed, solids counted"
    LAST_DROPS = "beverage and last drops"


@dataclass(frozen=True)
class ExtractionYield:
    """An extraction yield, and how it was worked out.

    Attributes
    ----------
    percent
        Dissolved coffee in percent of the dry dose, not rounded.
    form
        The formula used.
    beverage_g
        Beverage mass that went into it, in grams; ``None`` where the form takes all water.
    estimated
        Whether the beverage was worked out instead of weighed.
    """

    percent: float
    form: Form
    beverage_g: float | None
    estimated: bool


def find_extraction_yield(
    brewer: Brewer,
    *,
    dose_g: float,
    strength: float,
    water_g: float | None = None,
    beverage_g: float | None = None,
    retained_ratio: float | None = None,
    absorbed_ratio: float | None = None,
    last_drops: float | None = None,
    count_solids: bool = True,
) -> ExtractionYield:
    """Return the extraction yield by the form that suits the brewer.

    Neither moisture nor gas of the beans is corrected for. A percolation brew is never worked
    out from its water, nor an immersion from its beverage: either is points away from the truth.

    Parameters
    ----------
    dose_g, water_g, beverage_g
        Dry coffee, water poured and beverage, in grams.
    strength
        Dissolved solids of the beverage in percent by mass.
    retained_ratio
        Grams of water a gram of coffee keeps, for a percolation whose beverage nobody weighed.
    absorbed_ratio
        Grams of water a gram of coffee takes up without solids (immersion and mixed).
    last_drops
        Strength of the last drops in percent, of a mixed brewer.
    count_solids
        Whether an immersion's liquid includes what dissolved in it.

    Raises
    ------
    ValueError
        A number is missing for the form, not above zero, or cannot be.

    References
    ----------
    The forms of percolation and immersion are mass balances: dissolved solids are strength times
    liquid, and an immersion's liquid is its water and what dissolved in it. The mixed form is
    after J. Gagné (2019), seen second-hand; without last drops it is the percolation form, with
    last drops as strong as the beverage the immersion form.

    Examples
    --------
    >>> find_extraction_yield(
    ...     Brewer.PERCOLATION, dose_g=20, strength=1.4, beverage_g=260
    ... ).percent
    18.2
    """
    _check_positive(dose_g=dose_g, strength=strength)
    if strength >= 100:
        raise ValueError(f"strength must lie below 100 %, not {strength}")
    if brewer in (Brewer.PERCOLATION, Brewer.ESPRESSO):
        return _percolate(dose_g, strength, water_g, beverage_g, retained_ratio)
    water = _need("water_g", water_g)
    if brewer is Brewer.IMMERSION:
        return _immerse(dose_g, strength, water, absorbed_ratio, count_solids)
    beverage = _need("beverage_g", beverage_g)
    if beverage > water:
        raise ValueError(f"beverage_g must not exceed water_g {water}, not {beverage}")
    return _mix(dose_g, strength, water, beverage, last_drops, absorbed_ratio or 0.0)


def _percolate(
    dose: float, strength: float, water: float | None, beverage: float | None, ratio: float | None
) -> ExtractionYield:
    estimated = beverage is None
    if beverage is None:
        if water is None or ratio is None:
            raise ValueError("beverage_g is missing: a percolation is not worked out from water")
        beverage = water - ratio * dose
    _check_positive(beverage_g=beverage)
    if water is not None and beverage > water:
        raise ValueError(f"beverage_g must not exceed water_g {water}, not {beverage}")
    form = Form.RETAINED if estimated else Form.BEVERAGE
    return ExtractionYield(beverage * strength / dose, form, beverage, estimated)


def _immerse(
    dose: float, strength: float, water: float, absorbed: float | None, count_solids: bool
) -> ExtractionYield:
    if not count_solids:
        if absorbed is not None:
            raise ValueError("absorbed_ratio goes with solids counted")
        return ExtractionYield(water * strength / dose, Form.SIMPLE, None, False)
    free = water / dose - _check_absorbed(absorbed or 0.0, water / dose)
    form = Form.SOLIDS if absorbed is None else Form.ABSORBED
    return ExtractionYield(100 * strength / (100 - strength) * free, form, None, False)


def _mix(
    dose: float, strength: float, water: float, beverage: float, last: float | None, absorbed: float
) -> ExtractionYield:
    if last is None or not 0 <= last <= strength:
        raise ValueError(f"last_drops must lie between 0 and strength {strength}, not {last}")
    free = water / dose - _check_absorbed(absorbed, water / dose)
    passed = (strength - last) * beverage / dose
    percent = 100 * (passed + last * free) / (100 - last)
    return ExtractionYield(percent, Form.LAST_DROPS, beverage, False)


def _check_absorbed(absorbed: float, ratio: float) -> float:
    if not 0 <= absorbed < ratio:
        raise ValueError(f"absorbed_ratio must lie between 0 and {ratio}, not {absorbed}")
    return absorbed


def _need(name: str, value: float | None) -> float:
    if value is None:
        raise ValueError(f"{name} is missing")
    _check_positive(**{name: value})
    return value


def _check_positive(**values: float) -> None:
    for name, value in values.items():
        if not 0 < value < float("inf"):
            raise ValueError(f"{name} must be a number above zero, not {value}")
