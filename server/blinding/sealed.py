"""What a seal covers: the plan, the layout of the table and the key."""

from decimal import Decimal
from enum import StrEnum
from string import ascii_uppercase
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


class Pots(StrEnum):
    """Where the like cups of a serving come from."""

    SEPARATE = "separate"  # from different brews of the sample
    BLEND = "blend"  # every pour is a blend of at least two brews
    SINGLE = "single"  # one pot a sample and round: pots may be told apart, not samples


class Purpose(StrEnum):
    """Why a serving compares what it compares."""

    TEST = "test"  # the question itself: sample A against B
    NULL = "null"  # two brews of sample A: what brews alone do
    POSITIVE = "positive"  # sample A against C, a small known difference


class PositiveControl(Frozen):
    """A known difference to sample A, and how large it is declared to be, as d′."""

    label: str
    size_d_prime: Number


class LookCheck(Frozen):
    """Servings judged by eye before sealing: positions, from 1, of odd and of picked cups."""

    odd: tuple[int, ...]
    picked: tuple[int, ...]
    cue: str = ""

    @property
    def found(self) -> int:
        """How often the odd cup was found by looking."""
        return sum(one == other for one, other in zip(self.odd, self.picked, strict=False))


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
        Seats that count, servings of the test a seat, and seats drawn in reserve.
    null_control, positive_control
        Controls; each adds one round, drawn among the others.
    swallow
        Everybody swallows, or everybody spits.
    cup_ml, pot_ml
        Portion of a cup and usable volume of a pot, in millilitres.
    pots
        Where the like cups of a serving come from.
    tds_limit, temperature_limit, fill_limit
        Largest difference between samples that still counts as matched,
        in %TDS, °C and g a cup.
    look_check
        What looking alone could tell, if that was tried.
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
    null_control: bool = False
    positive_control: PositiveControl | None = None
    pourer: Pourer
    swallow: bool
    cup_ml: Number
    pot_ml: Number
    pots: Pots
    tds_limit: Number
    temperature_limit: Number
    fill_limit: Number = Decimal(2)
    look_check: LookCheck | None = None
    stop_rule: Literal["fixed"] = "fixed"

    @property
    def trials(self) -> int:
        """Planned number of servings of the test itself."""
        return self.assessors * self.rounds

    @property
    def controls(self) -> tuple[Purpose, ...]:
        """Planned controls, one round each."""
        null = (Purpose.NULL,) if self.null_control else ()
        return null if self.positive_control is None else (*null, Purpose.POSITIVE)

    @property
    def total_rounds(self) -> int:
        """Servings a seat, controls included."""
        return self.rounds + len(self.controls)


class PlannedSample(Frozen):
    """What is compared: a level (``A``, ``B``) and the leader's label for it."""

    level: str
    label: str


class PlannedComparison(Frozen):
    """Which samples a serving compares, and why."""

    name: str
    samples: tuple[str, ...]
    purpose: Purpose


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

    def purpose(self, serving: PlannedServing) -> Purpose:
        """Why a serving was served."""
        return next(one.purpose for one in self.comparisons if one.name == serving.comparison)

    def order(self, serving: PlannedServing) -> str:
        """Return the serving order from left to right, such as ``AAB``.

        ``A`` is the comparison's first sample and ``B`` its second; in a null control,
        whose cups are all of one sample, they are its earlier and its later brew.
        """
        kinds = self._list_kinds(serving)
        ranks = sorted(set(kinds))
        return "".join(ascii_uppercase[ranks.index(kind)] for kind in kinds)

    def _list_kinds(self, serving: PlannedServing) -> list[tuple[str, int]]:
        slots = {slot.name: slot for slot in self.slots}
        mine = [slots[self.key[cup.id]] for cup in serving.cups]
        if self.purpose(serving) == Purpose.NULL:
            return [("", slot.n) for slot in mine]
        return [(slot.sample, 0) for slot in mine]
