"""One brew given to two samples: servings that hold both are a null control, not the test."""

from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from server.blinding.plans import Purpose
from server.blinding.record import Record
from server.blinding.sealed import Layout, PlannedServing, SealedTasting
from server.reports.brewed_notes import read_note

if TYPE_CHECKING:
    from collections.abc import Sequence

    from server.reports.counting import Judgement


@dataclass(frozen=True)
class OneBrew:
    """Answers to servings whose cups of both samples came from one brew.

    Attributes
    ----------
    trials, correct
        Answers, and right ones among them.
    """

    trials: int
    correct: int


def list_shared_brews(layout: Layout, record: Record) -> tuple[frozenset[str], ...]:
    """List the pairs of slots of two samples that were filled from one brew.

    Of a series there are none: there a part of the base's own batch is what is asked for.
    """
    if layout.plan.series is not None:
        return ()
    samples = {slot.name: slot.sample for slot in layout.slots}
    noted = {
        name: read_note(note).same_as
        for name, note in record.brews.items()
        if "same_as" in note.brew and name in samples
    }
    return tuple(
        frozenset((name, other))
        for name, other in noted.items()
        if samples.get(other, samples[name]) != samples[name]
    )


def find_one_brew_servings(sealed: SealedTasting, record: Record) -> frozenset[UUID]:
    """Find the servings of the test in which cups of two samples came from one brew."""
    pairs = list_shared_brews(sealed, record)
    if not pairs:
        return frozenset()
    tests = (one for one in sealed.servings if sealed.purpose(one) == Purpose.TEST)
    return frozenset(one.id for one in tests if _holds_pair(sealed, one, pairs))


def _holds_pair(
    sealed: SealedTasting, serving: PlannedServing, pairs: "Sequence[frozenset[str]]"
) -> bool:
    names = {sealed.key[cup.id] for cup in serving.cups if cup.id in sealed.key}
    return any(pair <= names for pair in pairs)


def count_one_brew(judgements: "Sequence[Judgement]") -> OneBrew:
    """Count the answers to such servings."""
    return OneBrew(len(judgements), sum(one.correct for one in judgements))
