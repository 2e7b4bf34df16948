"""A brew: what was really done, and what was read of it."""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import Field, field_validator

from server.brewing.recipe import MOST_STEPS, Celsius, Figure, Grams, Plain, StepKind, Words

Strength = Annotated[Decimal, Field(ge=0, le=30, decimal_places=4), Figure]
Ratio = Annotated[Decimal, Field(ge=0, le=20, decimal_places=3), Figure]


class PartState(StrEnum):
    """In what state a part is brewed with."""

    NEW = "new"  # never brewed with, cleaned as its maker says
    WASHED = "washed"  # new, washed or boiled out beyond that
    USED = "used"
    DESCALED = "descaled"  # used, and descaled or treated with a cleaner since
    AS_FOUND = "as found"  # used, nothing known of its care


class PartUsed(Plain):
    """The specimen a brew was made with, its state, and how many brews it had made before."""

    specimen: Words
    part: Words = ""
    state: PartState | Literal[""] = ""
    brews_before: Annotated[int, Field(ge=0, le=100_000)] | None = None


class StepDone(Plain):
    """A step as it happened: seconds from the first water, and what the scale showed.

    ``planned`` is its place among the steps of the recipe, from 0; None if it was not planned.
    """

    kind: StepKind
    at_s: Annotated[int, Field(ge=0, le=86_400)]
    water_g: Grams | None = None
    planned: Annotated[int, Field(ge=0, lt=MOST_STEPS)] | None = None


class Brewed(Plain):
    """What was done and read of one brew; all of it may be missing.

    Attributes
    ----------
    started
        When the first water touched the coffee: ISO 8601 in UTC by the server's clock.
    ended_s
        Seconds from then to the end of the brew.
    steps
        As they happened, in order of time.
    dose_g, water_g, beverage_g
        Dry coffee, water poured, beverage, in grams.
    retained_ratio, absorbed_ratio
        Grams of water a gram of coffee keeps, and takes up without solids.
    last_drops
        Strength of the last drops of a mixed brewer, %TDS.
    tds
        Refractometer readings in %TDS, as they were read.
    sample_c, filtered, zero, instrument
        Of these readings: the sample's temperature, °C; whether it was filtered, None if
        nobody said; what the instrument was set to zero with; which one it was.
    temperature_c, fill_g
        Of a check cup poured from the brew: °C at service, grams.
    shots
        Brews poured together into this one.
    part
        The specimen of the part under test.
    same_as
        The slot of another sample that was filled from this very brew.
    note
        In words.
    """

    started: str | None = None
    ended_s: Annotated[int, Field(ge=0, le=86_400)] | None = None
    steps: Annotated[tuple[StepDone, ...], Field(max_length=MOST_STEPS)] = ()
    dose_g: Grams | None = None
    water_g: Grams | None = None
    beverage_g: Grams | None = None
    retained_ratio: Ratio | None = None
    absorbed_ratio: Ratio | None = None
    last_drops: Strength | None = None
    tds: Annotated[tuple[Strength, ...], Field(max_length=20)] = ()
    sample_c: Celsius | None = None
    filtered: bool | None = None
    zero: Literal["", "distilled water", "brew water", "air"] = ""
    instrument: Words = ""
    temperature_c: Celsius | None = None
    fill_g: Grams | None = None
    shots: Annotated[int, Field(ge=1, le=12)] = 1
    part: PartUsed | None = None
    same_as: Annotated[str, Field(pattern=r"^([A-Z][1-9][0-9]{0,3})?$")] = ""
    note: Words = ""

    @field_validator("started")
    @classmethod
    def _check_started(cls, started: str | None) -> str | None:
        if started is not None and datetime.fromisoformat(started).tzinfo is None:
            raise ValueError("must have a time zone")
        return started


TOLD_APART = frozenset({"tds", "temperature_c", "fill_g", "note"})
"""What a `brewed` event says in members of its own; the rest stands in its member ``brew``."""


def read_brewed(data: Mapping[str, Any]) -> Brewed:
    """Return a brew from plain JSON; pydantic says what is wrong with it."""
    return Brewed.model_validate(data)


def write_brewed(brewed: Brewed) -> dict[str, Any]:
    """Return a brew as plain JSON, without what nobody said."""
    return brewed.model_dump(mode="json", exclude_defaults=True)


def write_for_event(brewed: Brewed) -> dict[str, Any]:
    """Return what a `brewed` event holds in its member ``brew``."""
    whole = write_brewed(brewed)
    return {name: value for name, value in whole.items() if name not in TOLD_APART}
