"""The marks under the cups of a tasting alone, as its end meets them: turned, or gone."""

from server.blinding.events import Kind
from server.blinding.marks import find_open
from server.blinding.record import Record
from server.blinding.sealed import Layout, PlannedServing
from server.tastings.journal import Journal


def list_sittings(layout: Layout) -> list[int]:
    """List the numbers of the sittings."""
    return sorted({serving.sitting for serving in layout.servings})


def list_answered(layout: Layout, record: Record, sitting: int) -> list[PlannedServing]:
    """List the servings of a sitting that have an answer, taken out or not."""
    return [s for s in layout.servings if s.sitting == sitting and s.id in record.answers]


def find_unturned(layout: Layout, record: Record) -> list[int]:
    """List the sittings with an answer whose marks are not on record; none of a panel's."""
    if not layout.plan.alone:
        return []
    begun = (n for n in list_sittings(layout) if list_answered(layout, record, n))
    return [number for number in begun if number not in record.reveals]


def give_up_rest(journal: Journal, layout: Layout, record: Record, reason: str) -> None:
    """Take out what was never tasted of the sittings begun, so that their marks may be read."""
    for number in find_unturned(layout, record):
        for serving in find_open(layout, record, number):
            journal.append(Kind.VOIDED, serving=str(serving.id), reason=reason, replacement=None)


def write_off_marks(journal: Journal, layout: Layout, record: Record) -> None:
    """Record the marks that nobody can read any more as lost, never guessed."""
    for number in find_unturned(layout, record):
        marks = {
            str(serving.id): {str(cup.id): None for cup in serving.cups}
            for serving in list_answered(layout, record, number)
        }
        journal.append(Kind.REVEALED, sitting=number, marks=marks, photo=None)


def name_marks(layout: Layout, sitting: int) -> dict[str, str]:
    """Return what is written under the cups for each brew slot of a sitting.

    Where a sample has one slot in the sitting (one pot, or one blend), its letter is enough.
    """
    poured = {s for one in layout.servings if one.sitting == sitting for s in one.pours}
    slots = [slot for slot in layout.slots if slot.name in poured]
    samples = [slot.sample for slot in slots]
    alone = len(samples) == len(set(samples))
    return {slot.name: slot.sample if alone else slot.name for slot in slots}
