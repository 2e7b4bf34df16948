"""What a seal covers: the plan, the layout of the table and the key."""

from string import ascii_uppercase
from typing import Annotated, Literal
from uuid import UUID

from pydantic import StringConstraints

from server.blinding.plain import Frozen, Growing, SlotName
from server.blinding.plans import Plan, Purpose

SCHEMA_NO: Literal[1] = 1


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


class PlannedCup(Growing):
    """One coded portion; it says nothing of sample, brew or role.

    On a scored table bowls may share a code: then ``bowl`` numbers them from 1. It is 0
    where a code has one cup. Cups of several seats may be one shared bowl: then code and
    bowl are the same.
    """

    ADDED = frozenset({"bowl"})

    id: UUID
    code: str
    position: int
    bowl: int = 0


class PlannedServing(Growing):
    """The cups put before one seat at once, left to right.

    ``round`` counts the servings of a seat through all sittings, a warm-up cup's among
    them; without warm-up cups a scored table's round is its sitting. ``pours`` are the brew
    slots to fill the cups from, sorted, where whoever tastes also pours: how many cups of
    what, and never which cup. Everywhere else it is empty, and the key says more.
    """

    ADDED = frozenset({"pours"})

    id: UUID
    seat: int
    sitting: int
    round: int
    comparison: str
    cups: tuple[PlannedCup, ...]
    pours: tuple[SlotName, ...] = ()

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes from left to right."""
        return tuple(cup.code for cup in self.cups)

    def find_cup(self, code: str, bowl: int = 0) -> PlannedCup | None:
        """Return the cup under a code; of several bowls under it, the one of that number."""
        return next((cup for cup in self.cups if (cup.code, cup.bowl) == (code, bowl)), None)


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

    def purpose(self, serving: PlannedServing) -> Purpose:
        """Why a serving was served."""
        return next(one.purpose for one in self.comparisons if one.name == serving.comparison)


class SealedTasting(Layout):
    """The whole sealed object: layout, 32-byte salt (hex) and key (cup to brew slot).

    Alone, nobody knows the key when this is sealed: it is empty, and `alone.learn_key`
    fills it from the marks under the cups.
    """

    salt: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
    key: dict[UUID, SlotName]

    def is_known(self, serving: PlannedServing) -> bool:
        """Tell whether the key says what stood in every cup of a serving."""
        return all(cup.id in self.key for cup in serving.cups)

    def list_brews(self, serving: PlannedServing) -> list[SlotName]:
        """List the brew slot that stood in each cup of a serving, which the key must know."""
        return [self.key[cup.id] for cup in serving.cups]

    def get_slot(self, serving: PlannedServing, code: str, bowl: int = 0) -> PlannedSlot:
        """Return the brew that stood at a code and bowl of a serving.

        Raises
        ------
        LookupError
            If there is no such cup, or the key does not know it.
        """
        cup = serving.find_cup(code, bowl)
        if cup is None:
            raise LookupError(f"Serving {serving.id} has no bowl {bowl} of code {code}.")
        return next(slot for slot in self.slots if slot.name == self.key[cup.id])

    def get_sample(self, serving: PlannedServing, code: str) -> str:
        """Return the level of the sample that stood under a code, whatever its bowls.

        Raises
        ------
        LookupError
            If there is no such code, or the key does not know it.
        """
        cup = next((cup for cup in serving.cups if cup.code == code), None)
        if cup is None:
            raise LookupError(f"Serving {serving.id} has no code {code}.")
        return next(slot.sample for slot in self.slots if slot.name == self.key[cup.id])

    def order(self, serving: PlannedServing) -> str:
        """Return the serving order from left to right, such as ``AAB``.

        ``A`` is the comparison's first sample and ``B`` its second, also where all cups are
        of one; in a null control, whose cups all are, they are its earlier and its later brew.

        Raises
        ------
        ValueError
            If it is a scored table: ask `get_slot` and `get_sample` what stood where.
        """
        if self.plan.table is not None:
            raise ValueError("a scored table has no serving order of letters")
        slots = {slot.name: slot for slot in self.slots}
        mine = [slots[name] for name in self.list_brews(serving)]
        if self.purpose(serving) == Purpose.NULL:
            brews = sorted({slot.n for slot in mine})
            return "".join(ascii_uppercase[brews.index(slot.n)] for slot in mine)
        samples = next(one.samples for one in self.comparisons if one.name == serving.comparison)
        return "".join(ascii_uppercase[samples.index(slot.sample)] for slot in mine)
