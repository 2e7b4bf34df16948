"""What a seal covers: the plan, the layout of the table and the key."""

from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Literal
from uuid import UUID

from pydantic import BaseModel, ConfigDict, PlainSerializer, StringConstraints

SCHEMA_NO: Literal[1] = 1

Number = Annotated[Decimal, PlainSerializer(str, return_type=str, when_used="json")]
"""A number that matters: a decimal string in the sealed text, so no program rounds it."""

SlotName = Annotated[str, StringConstraints(pattern=r"^[A-Z][1-9][0-9]*$")]
"""A sample's level and the running number of the brew, such as ``A1``."""


class Frozen(BaseModel):
    """Plain data that never changes and knows no extra members."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Pourer(StrEnum):
    """Who pours, and whether they stay; each stands for one blinding level."""

    TASTER = "taster"  # somebody who tastes also pours: open, level 0
    PRESENT = "present"  # pours, does not taste, stays in the room: level 2
    ABSENT = "absent"  # pours, does not taste, leaves before the first sip: level 3
    RELAY = "relay"  # one person fills, another who knows only codes serves: level 4


class Plan(Frozen):
    """The planned test and its planned analysis.

    Attributes
    ----------
    question, difference
        The leader's own words; they reach no assessor.
    method
        Name in ``methods.registry``.
    alpha
        Planned one-sided level of the test.
    size_d_prime
        The size that matters, as d′.
    assessors, rounds, spare_seats
        Seats that count, servings a seat, and seats drawn in reserve.
    swallow
        Everybody swallows, or everybody spits.
    cup_ml, pot_ml
        Portion of a cup and usable volume of a pot, in millilitres.
    blended
        Every pour comes from a blend of at least two brews.
    tds_limit, temperature_limit
        Largest difference between samples that still counts as matched,
        in %TDS and °C.
    stop_rule
        ``fixed``: all planned servings, then close.
    """

    question: str
    difference: str
    method: str
    standard: str
    alpha: Number
    size_d_prime: Number
    assessors: int
    rounds: int
    spare_seats: int
    pourer: Pourer
    swallow: bool
    cup_ml: Number
    pot_ml: Number
    blended: bool
    tds_limit: Number
    temperature_limit: Number
    stop_rule: Literal["fixed"] = "fixed"

    @property
    def trials(self) -> int:
        """Planned number of servings that count."""
        return self.assessors * self.rounds


class PlannedSample(Frozen):
    """What is compared: a level (``A``, ``B``) and the leader's label for it."""

    level: str
    label: str


class PlannedComparison(Frozen):
    """Which samples a serving compares, and why."""

    name: str
    samples: tuple[str, ...]
    purpose: Literal["test"]


class PlannedSlot(Frozen):
    """The n-th brew of a sample, made in one round; ``brews`` > 1 is a blend."""

    name: SlotName
    sample: str
    n: int
    round: int
    brews: int


class PlannedSeat(Frozen):
    """An assessor's place."""

    number: int
    spare: bool


class PlannedCup(Frozen):
    """One coded portion; it says nothing of sample, brew or role."""

    id: UUID
    code: str
    position: int


class PlannedServing(Frozen):
    """The cups put before one seat at once, left to right."""

    id: UUID
    seat: int
    sitting: int
    round: int
    comparison: str
    cups: tuple[PlannedCup, ...]

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes from left to right."""
        return tuple(cup.code for cup in self.cups)


class Layout(Frozen):
    """All that is sealed except salt and key: what stands where, never what it is."""

    schema_no: Literal[1] = SCHEMA_NO
    tasting: UUID
    plan: Plan
    samples: tuple[PlannedSample, ...]
    comparisons: tuple[PlannedComparison, ...]
    slots: tuple[PlannedSlot, ...]
    seats: tuple[PlannedSeat, ...]
    servings: tuple[PlannedServing, ...]


class SealedTasting(Layout):
    """The whole sealed object: layout, 32-byte salt (hex) and key (cup to brew slot)."""

    salt: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
    key: dict[UUID, SlotName]

    def order(self, serving: PlannedServing) -> str:
        """Sample levels from left to right, such as ``AAB``."""
        sample_of = {slot.name: slot.sample for slot in self.slots}
        return "".join(sample_of[self.key[cup.id]] for cup in serving.cups)
