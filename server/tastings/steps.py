"""Which step a seat is at; alone also what comes before and after the cups."""

from collections.abc import Mapping
from enum import StrEnum
from typing import Any
from uuid import UUID

from server.blinding.sealed import PlannedServing
from server.blinding.table_stands import is_scored
from server.storage import queries
from server.tastings import answering
from server.tastings.answering import SeatPlace
from server.tastings.bench import Bench
from server.tastings.journal import OVER
from server.tastings.own_sitting import OPEN_FOR_MARKS, find_turnable, is_begun
from server.tastings.refusals import NotFound
from server.tastings.scoring import is_table
from server.tastings.scoring_words import is_asked_for_words

REOPENED = "reopened"  # mark in a draft that its writer wants to change


class StepKind(StrEnum):
    """What a seat does next."""

    INSTRUCTIONS = "instructions"
    PAUSE = "pause"  # the next four alone: between sittings
    PREPARE = "prepare"  # mark, cover, brew
    POUR = "pour"  # pour and shuffle
    MARKS = "marks"  # turn the cups
    MARKS_REVIEW = "marks_review"
    WORDS = "words"  # a scored table: words of one's own
    CODES = "codes"
    CALLED = "called"
    BALLOT = "ballot"
    REVIEW = "review"
    WARM_UP = "warm_up"  # these three at a scored table
    SCORE = "score"
    SCORE_REVIEW = "score_review"
    DONE = "done"
    OVER = "over"


AT_TABLE = (StepKind.WARM_UP, StepKind.SCORE, StepKind.SCORE_REVIEW)
AT_CUPS = (
    StepKind.POUR,
    StepKind.CODES,
    StepKind.CALLED,
    StepKind.BALLOT,
    StepKind.REVIEW,
    *AT_TABLE,
)


def choose_step(place: SeatPlace, draft: Mapping[str, Any]) -> StepKind:
    """Return what a seat does next; ``draft`` is its unlocked answer."""
    if place.tasting.state in OPEN_FOR_MARKS and find_turned(place):
        return StepKind.MARKS
    if place.tasting.state in OVER:
        return StepKind.OVER
    if place.seat.instructed_at is None:
        return StepKind.INSTRUCTIONS
    if place.current is None:
        return StepKind.DONE
    return _choose_before_cups(place, place.current) or _choose_at_cups(place, draft)


def _choose_before_cups(place: SeatPlace, current: PlannedServing) -> StepKind | None:
    """Return what has to be done before these cups stand there: alone, or at a table."""
    record, layout = place.record, place.layout
    if is_table(place):
        return StepKind.WORDS if is_asked_for_words(place) else None
    if not layout.plan.alone or current.id in record.confirmed:
        return None
    if not is_begun(layout, record, current.sitting):
        return StepKind.PAUSE if current.sitting > 1 else StepKind.PREPARE
    return None if current.id in record.shuffled else StepKind.POUR


def _choose_at_cups(place: SeatPlace, draft: Mapping[str, Any]) -> StepKind:
    assert place.current
    current, record = place.current.id, place.record
    if current in record.calls:
        return StepKind.CALLED
    if current not in record.confirmed:
        return StepKind.CODES
    if is_table(place) and not is_scored(place.layout, place.current):
        return StepKind.WARM_UP
    is_finished = bool(draft) and not draft.get(REOPENED)
    if is_table(place):
        return StepKind.SCORE_REVIEW if is_finished else StepKind.SCORE
    return StepKind.REVIEW if is_finished else StepKind.BALLOT


def find_turned(place: SeatPlace) -> int | None:
    """Return the sitting whose cups somebody alone turns now."""
    return find_turnable(place.layout, place.record) if place.layout.plan.alone else None


def find_unsent(bench: Bench, place: SeatPlace) -> Mapping[str, Any]:
    """Return the unlocked answer, unless one to the same serving came late already."""
    sent_late = {one.serving for one in place.record.late}
    if place.current is None or place.current.id in sent_late:
        return {}
    return answering.find_draft(bench, place) or {}


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
