"""All that a seat may see: codes, a neutral question, where it stands. Nothing of the key."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import timedelta
from math import ceil
from typing import Any
from uuid import UUID

from server.blinding.plans import Relief
from server.blinding.sealed import PlannedServing
from server.methods.asked import find_method
from server.methods.base import N_
from server.tastings import answering
from server.tastings.answering import SeatPlace
from server.tastings.bench import Bench
from server.tastings.journal import OVER
from server.tastings.marking import write_form
from server.tastings.own_sitting import (
    OwnSitting,
    Pour,
    describe_sitting,
    find_lean,
    find_turnable,
    list_correctable,
    list_pours,
)
from server.tastings.scoring_view import TableView, find_manner, look_at_table
from server.tastings.steps import AT_CUPS, REOPENED, StepKind, choose_step, find_turned, find_unsent

REST = timedelta(minutes=1)  # between a locked answer and the next sip
SMELL = N_(
    "Smell the cups from left to right; you may smell them again. "
    "If you cannot tell, choose all the same and tick that you guessed."
)
CHOOSE_VERDICT = N_("Say whether these codes stand in front of you.")


@dataclass(frozen=True)
class Upcoming:
    """A serving still to be answered; alone with what to pour, and how its odd cup differs."""

    serving: UUID
    round: int
    codes: tuple[str, ...]
    pours: tuple[Pour, ...]
    lean: str
    table: TableView | None


@dataclass(frozen=True)
class SeatView:
    """A seat as its own screen shows it; ``serving`` is None when nothing is left to answer.

    ``contested`` lists the rounds with two different answers that nobody has settled,
    ``late`` says that an answer came after closing. ``seal`` is published to everybody
    before the first sip; ``head`` and ``seal_matches`` are shown once the tasting is over.
    ``rest`` is how many seconds of the minute after the last locked answer are left,
    ``ahead`` what is still to be answered, the current serving first; alone in this sitting.
    ``attribute`` is what the question names, if it names something; ``reference`` says that
    the left cup is an open reference, ``takes_neither`` that neither cup is an answer, too;
    ``open_cups`` are tasted before the first code, ``told_shares`` says that half are of each kind;
    ``own`` is the sitting
    of somebody alone, and None where others pour; ``table`` is what is scored, and None
    where one cup is picked. ``sips`` says that no cup is drunk up,
    ``smell_only`` that none is drunk.
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
    verdict: str
    instruction: str
    attribute: str
    reference: bool
    takes_neither: bool
    open_cups: str
    told_shares: bool
    swallow: bool
    locked: int
    contested: tuple[int, ...]
    late: bool
    seal: str
    head: str
    seal_matches: bool | None
    rest: int
    ahead: tuple[Upcoming, ...]
    pours: tuple[Pour, ...] = ()
    lean: str = ""
    own: OwnSitting | None = None
    table: TableView | None = None
    sips: bool = False
    smell_only: bool = False
    draft: Mapping[str, Any] = field(default_factory=dict)

    @property
    def at_cups(self) -> bool:
        """Whether this step is about one serving."""
        return self.kind in AT_CUPS and self.serving is not None


def look_ahead(view: SeatView) -> Iterator[SeatView]:
    """Yield the seat as it will stand before each serving still to be answered."""
    for one in view.ahead:
        yield replace(view, kind=StepKind.CODES, locked=0, draft={}, **vars(one))


def find_seat_view(bench: Bench, token: str, begin: int = 0) -> SeatView | None:
    """Return what the seat behind a link sees now.

    Somebody alone leaves the pause before a sitting by asking to begin that one.
    """
    place = answering.find_place(bench, token)
    if place is None:
        return None
    view = _look(bench, place)
    if view.kind == StepKind.PAUSE and view.own and view.own.number == begin:
        return replace(view, kind=StepKind.PREPARE)
    return view


def find_marks_view(bench: Bench, token: str, sitting: int) -> SeatView | None:
    """Return what somebody alone sees who corrects the marks of a sitting, or enters them."""
    place = answering.find_place(bench, token)
    if place is None or not place.layout.plan.alone:
        return None
    turned = list_correctable(place.layout, place.record)
    if sitting not in (*turned, find_turnable(place.layout, place.record)):
        return None
    own = describe_sitting(place.layout, place.record, sitting)
    known = write_form(place.layout, place.record, sitting)
    return replace(_look(bench, place), kind=StepKind.MARKS, own=own, ahead=(), draft=known)


def _look(bench: Bench, place: SeatPlace) -> SeatView:
    draft = find_unsent(bench, place)
    current, plan = place.current, place.layout.plan
    asked = find_manner(plan) if plan.table else find_method(plan)
    table = look_at_table(place, current, draft)
    return SeatView(
        kind=choose_step(place, draft),
        tasting=place.tasting.name,
        state=place.tasting.state,
        number=place.seat.number,
        rounds=plan.total_rounds,
        round=current.round if current else plan.total_rounds,
        serving=current.id if current else None,
        codes=table.codes if table else current.codes if current else (),
        form=asked.form,
        question=asked.question,
        verdict=asked.verdict,
        instruction=SMELL if plan.smell_only else asked.instruction,
        attribute=plan.asked_for,
        reference=asked.reference,
        takes_neither=plan.no_preference != "forced",
        open_cups=plan.open_cups,
        told_shares=plan.told_shares,
        swallow=plan.swallow,
        locked=sum(one.id in place.record.answers for one in place.queue),
        contested=tuple(one.round for one in place.queue if one.id in place.record.open_contests),
        seal=place.seal,
        head=place.record.head,
        seal_matches=place.record.seal_matches,
        late=any(one.serving in {mine.id for mine in place.queue} for one in place.record.late),
        rest=_count_rest(bench, place),
        ahead=_list_ahead(place),
        pours=list_pours(place.layout, current) if current else (),
        lean=find_lean(place.layout, current) if current else "",
        own=_find_own(place),
        table=table,
        sips=plan.relief == Relief.SIPS,
        smell_only=plan.smell_only,
        draft=table.fields if table else _leave_out_mark(draft),
    )


def _leave_out_mark(draft: Mapping[str, Any]) -> Mapping[str, Any]:
    return {name: value for name, value in draft.items() if name != REOPENED}


def _count_rest(bench: Bench, place: SeatPlace) -> int:
    """Return how many seconds the mouth should still rest."""
    locked_at = place.locked_at
    left = (locked_at + REST - bench.clock()).total_seconds() if locked_at else 0
    return max(ceil(left), 0)


def _list_ahead(place: SeatPlace) -> tuple[Upcoming, ...]:
    if place.tasting.state in OVER or find_turned(place):
        return ()
    plan = place.layout.plan
    by_sitting = plan.alone or plan.table is not None
    return tuple(
        _look_at(place, one)
        for one in place.ahead
        if not by_sitting or one.sitting == place.ahead[0].sitting
    )


def _look_at(place: SeatPlace, serving: PlannedServing) -> Upcoming:
    table = look_at_table(place, serving, {})
    return Upcoming(
        serving.id,
        serving.round,
        table.codes if table else serving.codes,
        list_pours(place.layout, serving),
        find_lean(place.layout, serving),
        table,
    )


def _find_own(place: SeatPlace) -> OwnSitting | None:
    """Describe the sitting that somebody alone is at, or whose cups they turn."""
    if not place.layout.plan.alone:
        return None
    last = place.queue[-1].sitting if place.queue else place.layout.plan.sittings
    now = place.current.sitting if place.current else last
    return describe_sitting(place.layout, place.record, find_turned(place) or now)
