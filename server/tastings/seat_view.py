"""All that a seat may see: codes, a neutral question, where it stands. Nothing of the key."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import timedelta
from enum import StrEnum
from math import ceil
from typing import Any
from uuid import UUID

from server.methods.base import N_
from server.methods.registry import get_method
from server.storage import queries
from server.tastings import answering
from server.tastings.answering import SeatPlace
from server.tastings.bench import Bench
from server.tastings.journal import OVER
from server.tastings.refusals import NotFound

REST = timedelta(minutes=1)  # between a locked answer and the next sip
REOPENED = "reopened"  # mark in a draft that its writer wants to change
CHOOSE_VERDICT = N_("Say whether these codes stand in front of you.")


class StepKind(StrEnum):
    """What a seat does next."""

    INSTRUCTIONS = "instructions"
    CODES = "codes"
    CALLED = "called"
    BALLOT = "ballot"
    REVIEW = "review"
    DONE = "done"
    OVER = "over"


@dataclass(frozen=True)
class Upcoming:
    """A serving still to be answered."""

    serving: UUID
    round: int
    codes: tuple[str, ...]


@dataclass(frozen=True)
class SeatView:
    """A seat as its own screen shows it; ``serving`` is None when nothing is left to answer.

    ``contested`` lists the rounds with two different answers that nobody has settled,
    ``late`` says that an answer came after closing. ``seal`` is published to everybody
    before the first sip; ``head`` and ``seal_matches`` are shown once the tasting is over.
    ``rest`` is how many seconds of the minute after the last locked answer are left,
    ``ahead`` what is still to be answered, the current serving first.
    """

    kind: StepKind
    tasting: str
    state: str
    number: int
    rounds: int
    round: int
    serving: UUID | None
    codes: tuple[str, ...]
    form: str
    question: str
    instruction: str
    swallow: bool
    locked: int
    contested: tuple[int, ...]
    late: bool
    seal: str
    head: str
    seal_matches: bool | None
    rest: int
    ahead: tuple[Upcoming, ...]
    draft: Mapping[str, Any] = field(default_factory=dict)


def look_ahead(view: SeatView) -> Iterator[SeatView]:
    """Yield the seat as it will stand before each serving still to be answered."""
    for one in view.ahead:
        yield replace(view, kind=StepKind.CODES, locked=0, draft={}, **vars(one))


def find_seat_view(bench: Bench, token: str) -> SeatView | None:
    """Return what the seat behind a link sees now."""
    place = answering.find_place(bench, token)
    if place is None:
        return None
    draft = _find_unsent(bench, place)
    current, method = place.current, get_method(place.tasting.method)
    return SeatView(
        kind=_choose_step(place, draft),
        tasting=place.tasting.name,
        state=place.tasting.state,
        number=place.seat.number,
        rounds=place.layout.plan.total_rounds,
        round=current.round if current else place.layout.plan.total_rounds,
        serving=current.id if current else None,
        codes=current.codes if current else (),
        form=method.form,
        question=method.question,
        instruction=method.instruction,
        swallow=place.layout.plan.swallow,
        locked=sum(one.id in place.record.answers for one in place.queue),
        contested=tuple(one.round for one in place.queue if one.id in place.record.open_contests),
        seal=place.seal,
        head=place.record.head,
        seal_matches=place.record.seal_matches,
        late=any(one.serving in {mine.id for mine in place.queue} for one in place.record.late),
        rest=_count_rest(bench, place),
        ahead=_list_ahead(place),
        draft={name: value for name, value in draft.items() if name != REOPENED},
    )


def _count_rest(bench: Bench, place: SeatPlace) -> int:
    """Return how many seconds the mouth should still rest."""
    locked_at = place.locked_at
    left = (locked_at + REST - bench.clock()).total_seconds() if locked_at else 0
    return max(ceil(left), 0)


def _list_ahead(place: SeatPlace) -> tuple[Upcoming, ...]:
    if place.tasting.state in OVER:
        return ()
    return tuple(Upcoming(one.id, one.round, one.codes) for one in place.ahead)


def _find_unsent(bench: Bench, place: SeatPlace) -> Mapping[str, Any]:
    """Return the unlocked answer, unless one to the same serving came late already."""
    sent_late = {one.serving for one in place.record.late}
    if place.current is None or place.current.id in sent_late:
        return {}
    return answering.find_draft(bench, place) or {}


def _choose_step(place: SeatPlace, draft: Mapping[str, Any]) -> StepKind:
    current, record = place.current, place.record
    if place.tasting.state in OVER:
        return StepKind.OVER
    if place.seat.instructed_at is None:
        return StepKind.INSTRUCTIONS
    if current is None:
        return StepKind.DONE
    if current.id in record.calls:
        return StepKind.CALLED
    if current.id not in record.confirmed:
        return StepKind.CODES
    return StepKind.REVIEW if draft and not draft.get(REOPENED) else StepKind.BALLOT


def reopen_draft(bench: Bench, token: str, serving_id: UUID) -> None:
    """Take an unlocked answer back to change it; what was typed stays.

    Raises
    ------
    NotFound
        No such seat.
    """
    with bench.writing() as db:
        found = queries.find_seat(db, token)
        if found is None:
            raise NotFound("There is no such seat.")
        draft = queries.find_draft(db, found[0].id, serving_id)
        if draft is not None:
            draft.body = draft.body | {REOPENED: True}
            db.add(draft)
        db.commit()
