"""A recipe: what is to be brewed, with what, and when."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    PlainSerializer,
    StringConstraints,
    field_validator,
    model_validator,
)

from server.brewing.extraction import Brewer
from server.brewing.water import ALKALINITY, HARDNESS, Unit

LONGEST_STEP_S = 86_400
MOST_STEPS = 40
LAST_VERSION = 9999

Words = Annotated[str, StringConstraints(strip_whitespace=True, max_length=300)]
Name = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=120)]


def _check_day(text: str) -> str:
    try:
        known = not text or date.fromisoformat(text).isoformat() == text
    except ValueError:
        known = False
    if not known:
        raise ValueError("must be a day such as 2026-03-31")
    return text


Day = Annotated[str, AfterValidator(_check_day)]
"""A day such as 2026-03-31, or nothing."""

Figure = PlainSerializer(str, return_type=str, when_used="json")
"""Numbers are written as decimal strings, so that no program rounds them."""


Grams = Annotated[Decimal, Field(ge=0, le=20_000, decimal_places=2), Figure]
Dose = Annotated[Decimal, Field(ge=Decimal("0.5"), le=2_000, decimal_places=2), Figure]
Celsius = Annotated[Decimal, Field(ge=0, le=100, decimal_places=1), Figure]
Hardness = Annotated[Decimal, Field(ge=0, le=2_000, decimal_places=2), Figure]
Acidity = Annotated[Decimal, Field(ge=0, le=14, decimal_places=2), Figure]
Shade = Annotated[Decimal, Field(ge=0, le=999, decimal_places=2), Figure]
Micron = Annotated[Decimal, Field(ge=1, le=5_000, decimal_places=1), Figure]


class Plain(BaseModel):
    """Plain data that never changes and knows no extra members."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class StepKind(StrEnum):
    """What is done at a step of a brew."""

    POUR = "pour"
    STIR = "stir"
    STEEP = "steep"
    BREAK = "break"  # the crust of a cupping bowl
    OPEN = "open"  # the valve of an immersion brewer, or the plunger pressed
    OTHER = "other"
    END = "end"  # the brew is over: what is served is weighed


class Step(Plain):
    """One thing to do, so many seconds after the first water touches the coffee.

    Attributes
    ----------
    kind
        What is done.
    at_s
        Seconds from the first pour.
    water_g
        Of a pour: what the scale shows when it is over, all pours so far, in grams.
    note
        In the leader's words; may be empty.
    """

    kind: StepKind
    at_s: Annotated[int, Field(ge=0, le=LONGEST_STEP_S)]
    water_g: Grams | None = None
    note: Words = ""


class Colour(Plain):
    """A roast colour as it was read; numbers of two instruments or scales do not compare."""

    value: Shade
    instrument: Words = ""
    scale: Words = ""
    of: Literal["", "whole bean", "ground"] = ""


class Coffee(Plain):
    """The coffee, as far as somebody wrote it down."""

    name: Words = ""
    process: Words = ""
    roasted: Day = ""
    colour: Colour | None = None
    note: Words = ""


class BrewWater(Plain):
    """The water: hardness and alkalinity in the unit in which they were read."""

    name: Words = ""
    hardness: Hardness | None = None
    hardness_unit: Unit = Unit.LIME
    alkalinity: Hardness | None = None
    alkalinity_unit: Unit = Unit.LIME
    ph: Acidity | None = None
    note: Words = ""

    @field_validator("hardness_unit")
    @classmethod
    def _check_hardness(cls, unit: Unit) -> Unit:
        return _check_unit(unit, HARDNESS)

    @field_validator("alkalinity_unit")
    @classmethod
    def _check_alkalinity(cls, unit: Unit) -> Unit:
        return _check_unit(unit, ALKALINITY)


def _check_unit(unit: Unit, known: tuple[Unit, ...]) -> Unit:
    if unit not in known:
        raise ValueError(f"must not be {unit.value}: this is never told in it")
    return unit


class Device(Plain):
    """What brews: its name, how water leaves the coffee in it, and the part under test."""

    name: Words = ""
    how: Brewer = Brewer.PERCOLATION
    part: Words = ""
    filter: Words = ""
    rinse_g: Grams | None = None


class Grinder(Plain):
    """Grinder and setting; no names of grinds, which nobody agrees about."""

    name: Words = ""
    setting: Words = ""
    median_um: Micron | None = None
    method: Words = ""


class Recipe(Plain):
    """What is to be brewed.

    Attributes
    ----------
    title, version
        For people; versions count from 1.
    dose_g, water_g, water_c
        Dry coffee and water poured, in grams; the water's temperature, °C. Only an espresso
        may leave its water open: nobody weighs it.
    beverage_g
        What should come out, in grams; None if it is not aimed at.
    single
        Every cup is a brew of its own (an espresso, a bowl), so no pot is shared.
    shots
        Brews poured together into one cup, where it is a single.
    steps
        In order of time, the last one the end; empty if nothing is timed.

    Examples
    --------
    >>> Recipe(title="Filter", dose_g=Decimal(20), water_g=Decimal(340)).steps
    ()
    """

    title: Name
    version: Annotated[int, Field(ge=1, le=LAST_VERSION)] = 1
    coffee: Coffee = Coffee()
    water: BrewWater = BrewWater()
    device: Device = Device()
    grinder: Grinder = Grinder()
    dose_g: Dose
    water_g: Grams | None = None
    water_c: Celsius | None = None
    beverage_g: Grams | None = None
    single: bool = False
    shots: Annotated[int, Field(ge=1, le=12)] = 1
    steps: Annotated[tuple[Step, ...], Field(max_length=MOST_STEPS)] = ()
    note: Annotated[str, StringConstraints(strip_whitespace=True, max_length=1000)] = ""

    @model_validator(mode="after")
    def _check(self) -> "Recipe":
        if self.water_g is None and self.device.how is not Brewer.ESPRESSO:
            raise ValueError("water_g must be given, but of an espresso")
        if self.water_g is not None and self.water_g < self.dose_g:
            raise ValueError("water_g must not be less than dose_g")
        if self.water_g is not None and (self.beverage_g or 0) > self.water_g:
            raise ValueError("beverage_g must not be more than water_g")
        times = [step.at_s for step in self.steps]
        if times != sorted(times):
            raise ValueError("steps must be in order of time")
        if any(step.kind is StepKind.END for step in self.steps[:-1]):
            raise ValueError("steps must have the end last")
        scale = [step.water_g for step in self.steps if step.water_g is not None]
        if scale != sorted(scale):
            raise ValueError("steps must not have the scale fall: it shows all pours so far")
        return self


def read_recipe(data: Mapping[str, Any]) -> Recipe:
    """Return a recipe from plain JSON as `write_recipe` returns it; pydantic says what is wrong."""
    return Recipe.model_validate(data)


def write_recipe(recipe: Recipe) -> dict[str, Any]:
    """Return a recipe as plain JSON: what is sealed with a plan, and kept."""
    return recipe.model_dump(mode="json")
