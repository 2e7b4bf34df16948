"""Extraction yield by the form its brewer asks for; the form stays beside the number."""

from collections.abc import Callable, Mapping
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
class Measured:
    """What was weighed and read of a brew: masses in grams, strengths in percent."""

    dose_g: float
    strength: float
    water_g: float = 0.0
    beverage_g: float = 0.0
    retained_ratio: float = 0.0
    absorbed_ratio: float = 0.0
    last_drops: float = 0.0


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
        A number is missing for the form, not above zero, or cannot be: water below the dose,
        beverage above the water.

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
    _check_masses(dose_g, water_g, beverage_g)
    last = last_drops or 0.0
    given = Measured(
        dose_g, strength, water_g or 0.0, beverage_g or 0.0, retained_ratio or 0.0,
        absorbed_ratio or 0.0, last,
    )  # fmt: skip
    if brewer in (Brewer.PERCOLATION, Brewer.ESPRESSO):
        return _percolate(given)
    _need("water_g", water_g)
    _check_absorbed(given)
    if brewer is Brewer.IMMERSION:
        return _immerse(given, counted=count_solids, absorbs=absorbed_ratio is not None)
    _need("beverage_g", beverage_g)
    if last_drops is None or not 0 <= last <= strength:
        raise ValueError(f"last_drops must lie between 0 and strength {strength}, not {last_drops}")
    return _tell(Form.LAST_DROPS, given)


def work_out(form: Form, given: Measured) -> float:
    """Return the yield in percent by one form, unchecked: what uncertainty is carried through.

    Examples
    --------
    >>> work_out(Form.SIMPLE, Measured(20, 1.25, water_g=340))
    21.25
    """
    return _FORMULAS[form](given)


def _percolate(given: Measured) -> ExtractionYield:
    if given.beverage_g:
        return _tell(Form.BEVERAGE, given)
    if not (given.water_g and given.retained_ratio):
        raise ValueError("beverage_g is missing: a percolation is not worked out from water")
    return _tell(Form.RETAINED, given)


def _immerse(given: Measured, *, counted: bool, absorbs: bool) -> ExtractionYield:
    if not counted:
        if absorbs:
            raise ValueError("absorbed_ratio goes with solids counted")
        return _tell(Form.SIMPLE, given)
    return _tell(Form.ABSORBED if absorbs else Form.SOLIDS, given)


def _tell(form: Form, given: Measured) -> ExtractionYield:
    beverage: float | None = given.beverage_g if form in (Form.BEVERAGE, Form.LAST_DROPS) else None
    if form is Form.RETAINED:
        beverage = _estimate_beverage(given)
        _check_positive(beverage_g=beverage)
    return ExtractionYield(work_out(form, given), form, beverage, form is Form.RETAINED)


def _estimate_beverage(given: Measured) -> float:
    return given.water_g - given.retained_ratio * given.dose_g


def _count_solids(given: Measured) -> float:
    free = given.water_g / given.dose_g - given.absorbed_ratio
    return 100 * given.strength / (100 - given.strength) * free


def _count_last_drops(given: Measured) -> float:
    free = given.water_g / given.dose_g - given.absorbed_ratio
    passed = (given.strength - given.last_drops) * given.beverage_g / given.dose_g
    return 100 * (passed + given.last_drops * free) / (100 - given.last_drops)


_FORMULAS: Mapping[Form, Callable[[Measured], float]] = {
    Form.BEVERAGE: lambda given: given.beverage_g * given.strength / given.dose_g,
    Form.RETAINED: lambda given: _estimate_beverage(given) * given.strength / given.dose_g,
    Form.SIMPLE: lambda given: given.water_g * given.strength / given.dose_g,
    Form.SOLIDS: _count_solids,
    Form.ABSORBED: _count_solids,
    Form.LAST_DROPS: _count_last_drops,
}


def _check_masses(dose: float, water: float | None, beverage: float | None) -> None:
    given = {"water_g": water, "beverage_g": beverage}
    _check_positive(**{name: value for name, value in given.items() if value is not None})
    if water is not None and water < dose:
        raise ValueError(f"water_g must not lie below dose_g {dose}, got {water}")
    if water is not None and beverage is not None and beverage > water:
        raise ValueError(f"beverage_g must not exceed water_g {water}, got {beverage}")


def _check_absorbed(given: Measured) -> None:
    most = given.water_g / given.dose_g
    if not 0 <= given.absorbed_ratio < most:
        raise ValueError(
            f"absorbed_ratio must lie between 0 and {most}, got {given.absorbed_ratio}"
        )


def _need(name: str, value: float | None) -> None:
    if value is None:
        raise ValueError(f"{name} is missing")


def _check_positive(**values: float) -> None:
    for name, value in values.items():
        if not 0 < value < float("inf"):
            raise ValueError(f"{name} must be a number above zero, not {value}")
