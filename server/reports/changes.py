"""What went otherwise than planned after the seal: amendments, exclusions, gaps."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol
from uuid import UUID

from server.blinding.events import Event, Kind
from server.blinding.plans import Purpose
from server.blinding.record import Record
from server.blinding.sealed import SealedTasting
from server.reports.counting import (
    find_late_answers,
    find_struck,
    list_planned,
    split_at_unsealing,
)

DECISIVE = {Kind.ANSWERED, Kind.CONTESTED, Kind.CONTEST_SETTLED, Kind.VOIDED}
"""Kinds of event that change what counts, were they not ignored after unsealing."""

ANSWER_KINDS = {Kind.ANSWERED, Kind.CONTESTED, Kind.LATE}


class Counted(Protocol):
    """An answer that counts."""

    @property
    def serving(self) -> UUID:
        """To which serving it was given."""
        ...

    @property
    def source(self) -> str:
        """``device`` or ``paper``."""
        ...


@dataclass(frozen=True)
class VoidNote:
    """A serving taken out of the count before unsealing, and whether a spare replaced it."""

    round: int
    reason: str
    answered: bool
    replaced: bool


@dataclass(frozen=True)
class Changes:
    """Amendments and exclusions of the test and its controls, as counts.

    Attributes
    ----------
    struck
        Why servings were struck off before the first one was served, one reason each.
    struck_tests
        How many of them were of the test itself.
    struck_late
        Servings struck off when serving had begun; they stay planned.
    voids
        Servings taken out by hand.
    contests_settled, contests_void
        Contested servings whose counting answer was chosen before unsealing,
        and those that stayed out because nobody could say.
    late, late_unused, late_after_unsealing
        Late answers that fill a gap; late ones for a serving already answered
        or voided; those that came when the key was open.
    erased, erased_answers
        Events whose text is gone, and how many of them were answers.
    calls, calls_open
        Servings at which the codes differed from the screen, and those never settled.
    paper, unconfirmed
        Counted answers typed in from paper, and those whose codes nobody confirmed.
    readings_after_unsealing
        Brew readings that came in when the key was open.
    ignored_after_unsealing
        Other changes that came then; they count for nothing.
    """

    struck: tuple[str, ...]
    struck_tests: int
    struck_late: int
    voids: tuple[VoidNote, ...]
    contests_settled: int
    contests_void: int
    late: int
    late_unused: int
    late_after_unsealing: int
    erased: int
    erased_answers: int
    calls: int
    calls_open: int
    paper: int
    unconfirmed: int
    readings_after_unsealing: int
    ignored_after_unsealing: int


def find_changes(
    sealed: SealedTasting,
    record: Record,
    decided: Record,
    events: Sequence[Event],
    judgements: Sequence[Counted],
) -> Changes:
    """Collect what changed; `decided` is the record before unsealing, `record` the last one."""
    struck = find_struck(events)
    off = [serving for serving in list_planned(sealed) if serving.id in struck]
    after = split_at_unsealing(events)[1]
    contested = [serving for serving in decided.contests if serving not in decided.voids]
    settled = [s for s in contested if decided.settlements.get(s) is not None]
    late = len(find_late_answers(decided))
    return Changes(
        struck=tuple(struck[serving.id] for serving in off),
        struck_tests=sum(sealed.purpose(serving) == Purpose.TEST for serving in off),
        struck_late=len(record.struck) - len(struck),
        voids=_find_voids(sealed, decided),
        contests_settled=len(settled),
        contests_void=len(contested) - len(settled),
        late=late,
        late_unused=len(decided.late) - late,
        late_after_unsealing=len(record.late) - len(decided.late),
        erased=len(record.erased),
        erased_answers=sum(e.seq in record.erased and e.kind in ANSWER_KINDS for e in events),
        calls=len(record.called),
        calls_open=len(decided.calls),
        paper=sum(one.source == "paper" for one in judgements),
        unconfirmed=sum(one.serving not in record.confirmed for one in judgements),
        readings_after_unsealing=sum(event.kind == Kind.BREWED for event in after),
        ignored_after_unsealing=sum(event.kind in DECISIVE for event in after),
    )


def _find_voids(sealed: SealedTasting, decided: Record) -> tuple[VoidNote, ...]:
    return tuple(
        VoidNote(
            serving.round,
            decided.voids[serving.id].reason,
            serving.id in decided.answers,
            decided.voids[serving.id].replacement is not None,
        )
        for serving in sealed.servings
        if serving.id in decided.voids
    )
