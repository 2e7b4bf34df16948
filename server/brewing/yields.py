"""The extraction yield of a brew from what was weighed and read of it, and how well it is known."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import sqrt

from server.brewing.brewed import Brewed
from server.brewing.extraction import (
    Brewer,
    Form,
    Measured,
    find_extraction_yield,
    work_out,
)
from server.brewing.strength import USUAL, Instrument, Strength, find_strength

USUAL_RETAINED = 2.0
"""Grams of water a gram of coffee keeps in a drip filter; common practice, no source."""

LIMITS: Mapping[str, float] = {
    "dose_g": 0.1,
    "water_g": 1.0,
    "beverage_g": 1.0,
    "retained_ratio": 0.3,
    "absorbed_ratio": 0.2,
}
"""Within what each number is right, as half widths; common practice, no source."""


@dataclass(frozen=True)
class BrewYield:
    """A yield, or why there is none.

    Attributes
    ----------
    percent
        Dissolved coffee in percent of the dose, not rounded; None if it cannot be worked out.
    form
        The formula; yields by two formulas do not compare.
    strength
        What its readings gave; None if nothing was read.
    alone
        Standard uncertainty by itself, in points.
    repeat
        The same without the instrument's accuracy: what counts between brews of one form
        that were read on one instrument.
    estimated
        Whether the beverage was worked out instead of weighed.
    reason
        Why there is no yield: ``strength``, ``dose``, ``water``, ``beverage``, ``last drops``
        is missing, or ``cannot be``; empty if there is one.
    """

    percent: float | None = None
    form: Form | None = None
    strength: Strength | None = None
    alone: float = 0.0
    repeat: float = 0.0
    estimated: bool = False
    reason: str = ""

    @property
    def plus_minus(self) -> float:
        """Limits in points, of the kind that the scales' limits are: the root of 3 times."""
        return sqrt(3) * self.alone


def find_yield(
    how: Brewer,
    brewed: Brewed,
    *,
    count_solids: bool = True,
    limits: Mapping[str, float] = LIMITS,
    instrument: Instrument = USUAL,
) -> BrewYield:
    """Return the yield of a brew by the form that its brewer asks for.

    Parameters
    ----------
    how : Brewer
        How water leaves the coffee.
    brewed : Brewed
        What was weighed and read: nothing planned is taken for it.
    count_solids : bool
        Whether an immersion's liquid includes what dissolved in it.
    limits, instrument
        Within what numbers are right, where it is not the usual, and what strengths were
        read on.

    Returns
    -------
    BrewYield
        Of a percolation whose beverage nobody weighed it is estimated, with the usual retained
        ratio unless another was noted.

    Examples
    --------
    >>> brewed = Brewed.model_validate({"dose_g": 15, "beverage_g": 220, "tds": ["1.45"]})
    >>> found = find_yield(Brewer.PERCOLATION, brewed)
    >>> round(found.percent, 2), found.form.value
    (21.27, 'beverage weighed')
    """
    if not brewed.tds:
        return BrewYield(reason="strength")
    sample_c = None if brewed.sample_c is None else float(brewed.sample_c)
    strength = find_strength([float(one) for one in brewed.tds], sample_c, instrument)
    lacks = _find_lack(how, brewed)
    if lacks:
        return BrewYield(strength=strength, reason=lacks)
    numbers = _read_numbers(how, brewed, count_solids=count_solids)
    dose = float(brewed.dose_g or 0)
    try:
        found = find_extraction_yield(
            how, dose_g=dose, strength=strength.percent, count_solids=count_solids, **numbers
        )
    except ValueError:
        return BrewYield(strength=strength, reason="cannot be")
    read = {"strength": strength}
    if "last_drops" in numbers:
        read["last_drops"] = find_strength([numbers["last_drops"]], instrument=instrument)
    right = {**LIMITS, **limits}
    own = {name: right[name] / sqrt(3) for name in ("dose_g", *numbers) if name in right}
    own |= {name: one.repeat for name, one in read.items()}
    measured = Measured(dose, strength.percent, **numbers)
    return BrewYield(
        found.percent,
        found.form,
        strength,
        alone=combine(found.form, measured, own, {name: one.shift for name, one in read.items()}),
        repeat=combine(found.form, measured, own),
        estimated=found.estimated,
    )


def combine(
    form: Form,
    given: Measured,
    own: Mapping[str, float],
    shared: Mapping[str, float] | None = None,
) -> float:
    """Carry standard uncertainties through a form, to first order.

    Parameters
    ----------
    form : Form
        The formula.
    given : Measured
        Its numbers.
    own : mapping of str to float
        Name of a number to its standard uncertainty; each is independent of the others.
    shared : mapping of str to float, optional
        Likewise of what shifts all these numbers together, such as their instrument's accuracy.

    Returns
    -------
    float
        Standard uncertainty of the yield, in points.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2, of what is shared 5.2.2, note 1; the sensitivities are central
    differences, as 5.1.3, note 2.

    Examples
    --------
    >>> limits = {"dose_g": 0.1, "beverage_g": 1, "strength": 0.01}
    >>> round(combine(Form.BEVERAGE, Measured(15, 1.45, beverage_g=220), limits), 2)
    0.23
    """
    apart = sum((_find_slope(form, given, name) * doubt) ** 2 for name, doubt in own.items())
    together = sum(_find_slope(form, given, name) * u for name, u in (shared or {}).items())
    return sqrt(apart + together**2)


def _find_slope(form: Form, given: Measured, name: str) -> float:
    value: float = getattr(given, name)
    step = 1e-5 * max(1.0, abs(value))
    more, less = (work_out(form, replace(given, **{name: value + d})) for d in (step, -step))
    return (more - less) / (2 * step)


def _find_lack(how: Brewer, brewed: Brewed) -> str:
    if brewed.dose_g is None:
        return "dose"
    wants_water = how in (Brewer.IMMERSION, Brewer.MIXED)
    if wants_water and brewed.water_g is None:
        return "water"
    weighed = brewed.beverage_g is not None
    estimable = how is Brewer.PERCOLATION and brewed.water_g is not None
    if how is not Brewer.IMMERSION and not weighed and not estimable:
        return "beverage"
    return "last drops" if how is Brewer.MIXED and brewed.last_drops is None else ""


def _read_numbers(how: Brewer, brewed: Brewed, *, count_solids: bool) -> dict[str, float]:
    """Return what was weighed beside the dose, and what a form takes besides."""
    names = ["water_g", "beverage_g"]
    if how is Brewer.PERCOLATION:
        names.append("retained_ratio")
    if how is Brewer.MIXED or (how is Brewer.IMMERSION and count_solids):
        names.append("absorbed_ratio")
    if how is Brewer.MIXED:
        names.append("last_drops")
    read = {name: getattr(brewed, name) for name in names}
    if how is Brewer.PERCOLATION and brewed.retained_ratio is None:
        read["retained_ratio"] = USUAL_RETAINED
    return {name: float(value) for name, value in read.items() if value is not None}
