"""What was done alone: sittings, shuffles, marks under the cups; None where others poured."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from server.blinding.events import Event, Kind
from server.blinding.marks import find_lost
from server.blinding.record import Record, fold
from server.blinding.sealed import Layout, PlannedServing, SealedTasting
from server.reports.counting import Judgement, count_correct

SHORTEST_SHUFFLE_S = 20
"""Seconds that a shuffle should take; common practice, no source."""


@dataclass(frozen=True)
class SittingTally:
    """One sitting: when its first answer came (UTC; empty if none did), and what it held.

    ``lost`` counts the answered servings of which a mark could not be read; ``corrected``
    says that other marks were entered first.
    """

    number: int
    day: str
    planned: int
    answered: int
    correct: int
    lost: int
    corrected: bool
    photo: bool


@dataclass(frozen=True)
class Alone:
    """How one person poured and tasted.

    Attributes
    ----------
    sittings
        All that were planned.
    short, untimed, unshuffled
        Counted servings shuffled for less than 20 s, for nobody knows how long,
        and without a shuffle on record.
    unprepared
        Sittings with answers for which nobody said that the marks were covered.
    given_up
        Servings without an answer, given up when other marks were known already.
    stopped_knowing
        Whether it ended short of its plan when some marks were known.
    """

    sittings: tuple[SittingTally, ...]
    short: int
    untimed: int
    unshuffled: int
    unprepared: tuple[int, ...]
    given_up: int
    stopped_knowing: bool

    @property
    def lost(self) -> int:
        """Answers that nobody can judge."""
        return sum(one.lost for one in self.sittings)

    @property
    def begun(self) -> tuple[SittingTally, ...]:
        """Sittings with a counted answer."""
        return tuple(one for one in self.sittings if one.answered)

    @property
    def days(self) -> int:
        """Days on which counted answers were given."""
        return len({one.day for one in self.begun})

    @property
    def corrected(self) -> tuple[int, ...]:
        """Sittings whose marks were corrected."""
        return tuple(one.number for one in self.sittings if one.corrected)


def describe_alone(
    sealed: SealedTasting,
    decided: Record,
    events: Sequence[Event],
    judgements: Sequence[Judgement],
) -> Alone | None:
    """Describe a tasting alone; None for any other.

    Parameters
    ----------
    sealed : SealedTasting
        Plan and layout.
    decided : Record
        As it stood before unsealing.
    events : sequence of Event
        Every event since sealing.
    judgements : sequence of Judgement
        The counted answers.
    """
    if not sealed.plan.alone:
        return None
    counted = [one.serving for one in judgements]
    seconds = [decided.shuffled[one] for one in counted if one in decided.shuffled]
    sittings = _tally_sittings(sealed, decided, _find_days(events), judgements)
    return Alone(
        sittings=sittings,
        short=sum(one is not None and one < SHORTEST_SHUFFLE_S for one in seconds),
        untimed=seconds.count(None),
        unshuffled=len(counted) - len(seconds),
        unprepared=tuple(
            one.number for one in sittings if one.answered and one.number not in decided.prepared
        ),
        given_up=_count_given_up(decided, events),
        stopped_knowing=_is_stopped_knowing(sealed, events),
    )


def _tally_sittings(
    sealed: SealedTasting,
    decided: Record,
    days: Mapping[UUID, str],
    judgements: Sequence[Judgement],
) -> tuple[SittingTally, ...]:
    lost = {one.id for one in find_lost(sealed, decided) if decided.standing(one.id)}
    return tuple(
        _tally_sitting(
            number,
            [one for one in sealed.servings if one.sitting == number],
            decided,
            days,
            judgements,
            lost,
        )
        for number in sorted({one.sitting for one in sealed.servings})
    )


def _tally_sitting(
    number: int,
    servings: Sequence[PlannedServing],
    decided: Record,
    days: Mapping[UUID, str],
    judgements: Sequence[Judgement],
    lost: set[UUID],
) -> SittingTally:
    mine, reveals = {one.id for one in servings}, decided.reveals.get(number, [])
    judged = [one for one in judgements if one.serving in mine]
    return SittingTally(
        number=number,
        day=min((days[one] for one in mine if one in days), default=""),
        planned=len(mine),
        answered=len(judged),
        correct=count_correct(judged),
        lost=len(mine & lost),
        corrected=any(one.marks != reveals[-1].marks for one in reveals),
        photo=any(one.photo for one in reveals),
    )


def _find_days(events: Sequence[Event]) -> dict[UUID, str]:
    return {
        UUID(event.body["serving"]): str(event.body["at"])[:10]
        for event in events
        if event.kind == Kind.ANSWERED and event.body is not None
    }


def _count_given_up(decided: Record, events: Sequence[Event]) -> int:
    """Count servings taken out unanswered after the first marks were turned."""
    turned = next((one.seq for one in events if one.kind == Kind.REVEALED), None)
    if turned is None:
        return 0
    late = {
        UUID(event.body["serving"])
        for event in events
        if event.kind == Kind.VOIDED and event.body is not None and event.seq > turned
    }
    return len((late & decided.voids.keys()) - decided.answers.keys())


def _is_stopped_knowing(layout: Layout, events: Sequence[Event]) -> bool:
    """Tell whether it was closed short of its plan when some marks had been turned.

    What was given up last of all, just before closing, was not tasted any more either;
    neither was a sitting of which nothing was answered.
    """
    closed = next((at for at, one in enumerate(events) if one.kind in _ENDS), len(events))
    before = list(events[:closed])
    while before and before[-1].kind == Kind.VOIDED:
        before.pop()
    record = fold(before)
    done = {*record.answers, *record.voids, *record.struck}
    begun = {one.sitting for one in layout.servings if one.id in record.answers}
    left = [one for one in layout.servings if one.id not in done or one.sitting not in begun]
    erased = sum(one.kind == Kind.ANSWERED and one.body is None for one in before)
    return bool(record.reveals) and len(left) > erased


_ENDS = {Kind.CLOSED, Kind.UNSEALED, Kind.ABANDONED}
