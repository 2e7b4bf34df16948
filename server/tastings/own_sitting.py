"""The sitting of somebody who also pours: what to mark, what to pour, which marks may be read."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from server.blinding.events import Kind, State
from server.blinding.marks import find_open
from server.blinding.plans import Direction
from server.blinding.record import Record
from server.blinding.sealed import Layout, PlannedCup, PlannedServing
from server.tastings.turning import find_unturned, list_answered, list_sittings, name_marks

SEEN = "seen under cups of sitting {sitting}"
OPEN_FOR_MARKS = (State.SEALED, State.SERVING, State.CLOSED)


@dataclass(frozen=True)
class Pour:
    """So many cups of one sample, under one mark; ``slot`` is the brew they are filled from."""

    slot: str
    mark: str
    label: str
    count: int


@dataclass(frozen=True)
class Brew:
    """What to brew for a sitting; more than one brew is poured together."""

    mark: str
    label: str
    brews: int


@dataclass(frozen=True)
class Filled:
    """A serving with its cups from left to right, and what was to be poured into them."""

    serving: UUID
    round: int
    cups: tuple[PlannedCup, ...]
    pours: tuple[Pour, ...]


@dataclass(frozen=True)
class OwnSitting:
    """The sitting at which somebody alone is, or of which they turn the cups.

    ``answered`` counts its answers, ``turned`` lists the sittings whose marks are on record
    and may still be corrected, ``corrects`` says that those of this one are. ``seen`` says
    that a mark of its answered cups was seen too early; ``single_cups``, that every cup is
    a brew of its own.
    """

    number: int
    sittings: int
    begun: bool
    answered: int
    cup_ml: str
    brews: tuple[Brew, ...]
    filled: tuple[Filled, ...]
    turned: tuple[int, ...]
    corrects: bool
    seen: bool
    home: str
    single_cups: bool

    @property
    def cups(self) -> int:
        """Cups needed, all servings together."""
        return sum(len(one.cups) for one in self.filled)

    @property
    def marks(self) -> tuple[tuple[str, int], ...]:
        """How many cups need each mark."""
        count: Counter[str] = Counter()
        for one in self.filled:
            count.update({pour.mark: pour.count for pour in one.pours})
        return tuple(sorted(count.items()))


def list_pours(layout: Layout, serving: PlannedServing) -> tuple[Pour, ...]:
    """List what is to be poured for a serving alone, sorted; nothing where others pour."""
    if not serving.pours:
        return ()
    marks, labels = name_marks(layout, serving.sitting), _label_slots(layout)
    counts = Counter(serving.pours)
    return tuple(Pour(slot, marks[slot], labels[slot], n) for slot, n in counts.items())


def find_lean(layout: Layout, serving: PlannedServing) -> str:
    """Say whether the odd cup has ``more`` or ``less`` of what the plan names; mostly neither.

    Whoever poured a triad knows it, so that its question may say so.
    """
    direction = layout.plan.direction
    if direction is None or len(serving.pours) < 3:
        return ""
    return _lean(layout, serving, direction)


def _lean(layout: Layout, serving: PlannedServing, direction: Direction) -> str:
    samples = {slot.name: slot.sample for slot in layout.slots}
    counts = Counter(samples[slot] for slot in serving.pours)
    odd = min(counts, key=counts.__getitem__)
    return "more" if odd == direction.more else "less"


def find_turnable(layout: Layout, record: Record) -> int | None:
    """Return the first sitting whose answers are all in and whose cups are not turned yet."""
    waiting = find_unturned(layout, record)
    return next((one for one in waiting if not find_open(layout, record, one)), None)


def list_correctable(layout: Layout, record: Record) -> tuple[int, ...]:
    """List the sittings whose marks are on record and may be entered once more."""
    if record.state not in OPEN_FOR_MARKS:
        return ()
    return tuple(one for one in list_sittings(layout) if one in record.reveals)


def is_seen(record: Record, sitting: int) -> bool:
    """Tell whether it is on record that answered cups of a sitting showed a mark too early."""
    how = SEEN.format(sitting=sitting)
    return any((look.kind, look.reason) == (Kind.RESULTS_LOOKED, how) for look in record.looks)


def is_begun(layout: Layout, record: Record, sitting: int) -> bool:
    """Tell whether anything was done in a sitting."""
    done = {*record.shuffled, *record.confirmed, *record.answers, *record.voids}
    mine = (one.id for one in layout.servings if one.sitting == sitting)
    return sitting in record.prepared or any(one in done for one in mine)


def describe_sitting(layout: Layout, record: Record, number: int) -> OwnSitting:
    """Describe a sitting of a tasting alone, without the servings that were given up."""
    mine = [one for one in layout.servings if one.sitting == number]
    left = [one for one in mine if one.id in record.answers or one.id not in record.voids]
    return OwnSitting(
        number=number,
        sittings=len(list_sittings(layout)),
        begun=is_begun(layout, record, number),
        answered=len(list_answered(layout, record, number)),
        cup_ml=f"{layout.plan.cup_ml:f}",
        brews=_list_brews(layout, number),
        filled=tuple(Filled(s.id, s.round, s.cups, list_pours(layout, s)) for s in left),
        turned=list_correctable(layout, record),
        corrects=number in record.reveals,
        seen=is_seen(record, number),
        home=f"/tastings/{layout.tasting}",
        single_cups=layout.plan.single_cups,
    )


def _list_brews(layout: Layout, number: int) -> tuple[Brew, ...]:
    marks, labels = name_marks(layout, number), _label_slots(layout)
    return tuple(
        Brew(marks[slot.name], labels[slot.name], slot.brews)
        for slot in layout.slots
        if slot.name in marks
    )


def _label_slots(layout: Layout) -> Mapping[str, str]:
    labels = {sample.level: sample.label for sample in layout.samples}
    return {slot.name: labels[slot.sample] for slot in layout.slots}
