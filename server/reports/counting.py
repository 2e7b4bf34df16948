"""Which answers count, and what other readings of the record would count."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from server.blinding.events import Event, Kind
from server.blinding.plans import Purpose
from server.blinding.record import GivenAnswer, Record, fold
from server.blinding.sealed import PlannedServing, SealedTasting
from server.methods.registry import get_method
from server.methods.served import SWAPPED
from server.methods.sortings import tell_sorting
from server.methods.traits import names_neither, picks_a_cup
from server.reports.one_brew import find_one_brew_servings

Answers = Mapping[UUID, GivenAnswer]
"""The answer that counts for each serving, by the serving's id."""

PLAN_STANDS = {Kind.SERVING_BEGAN, Kind.CLOSED, Kind.UNSEALED, Kind.ABANDONED}
"""From the first of these on, nothing is struck off the plan any more."""


@dataclass(frozen=True)
class Judgement:
    """One counted answer met by the key.

    Attributes
    ----------
    serving, round
        Where it was given.
    purpose
        Of the serving: the test itself, or a control.
    seat
        Number of the seat whose person tasted: of a spare serving poured in
        place of a voided one, the seat of the voided one.
    order
        What stood there from left to right; see `SealedTasting.order`.
    correct, guess
        Whether the answer is right, two-sided whether it is for sample B, and whether it was
        marked as a guess.
    picked, odd
        Positions from 1 at the left: of the picked cup and of the one that was to be
        picked (in a triad the odd one), two-sided that of sample B; None where the method
        has no such thing.
    cue
        What else than smell and taste told the taster; empty if nothing did, None if
        nobody asked.
    source
        ``device`` or ``paper``.
    neither
        Whether it is for neither sample.
    block
        The whole set of orders that the serving was drawn in: its own seat, and a number.
    sorting
        Positions of the cups that it puts together, as `tell_sorting` writes them.
    """

    serving: UUID
    round: int
    purpose: Purpose
    seat: int
    order: str
    correct: bool
    guess: bool
    picked: int | None
    odd: int | None
    source: str
    cue: str | None = None
    neither: bool = False
    block: str = ""
    sorting: str = ""


def split_at_unsealing(events: Sequence[Event]) -> tuple[Sequence[Event], Sequence[Event]]:
    """Split the events into those before the first unsealing and those from it on."""
    for place, event in enumerate(events):
        if event.kind == Kind.UNSEALED:
            return events[:place], events[place:]
    return events, ()


def fold_before_unsealing(events: Sequence[Event], seal: str) -> Record:
    """Fold what was on record when the key was opened; nothing later decides what counts."""
    return fold(split_at_unsealing(events)[0], seal)


def find_struck(events: Sequence[Event]) -> dict[UUID, str]:
    """Collect the servings struck off before the first one was served, and why.

    Whoever strikes a serving later knows more than the plan did: it stays planned.
    """
    first = (at for at, event in enumerate(events) if event.kind in PLAN_STANDS)
    return fold(events[: next(first, len(events))]).struck


def count_planned(sealed: SealedTasting, struck: Collection[UUID]) -> dict[Purpose, int]:
    """Count the planned answers of the test and of each control, without spare seats."""
    planned = Counter(
        sealed.purpose(serving) for serving in list_planned(sealed) if serving.id not in struck
    )
    return {purpose: planned[purpose] for purpose in Purpose}


def list_planned(sealed: SealedTasting) -> list[PlannedServing]:
    """List the servings of the seats that count."""
    spare = {seat.number for seat in sealed.seats if seat.spare}
    return [serving for serving in sealed.servings if serving.seat not in spare]


def pick_purpose(judgements: Sequence[Judgement], purpose: Purpose) -> tuple[Judgement, ...]:
    """Pick the judgements of the test itself, or of one control."""
    return tuple(one for one in judgements if one.purpose == purpose)


def find_standing_answers(sealed: SealedTasting, record: Record) -> dict[UUID, GivenAnswer]:
    """Collect the standing answer of every serving that has one, spare servings too."""
    standing = {serving.id: record.standing(serving.id) for serving in sealed.servings}
    return {serving: given for serving, given in standing.items() if given is not None}


def find_late_answers(record: Record) -> dict[UUID, GivenAnswer]:
    """Collect the first late answer of each serving that had none and was not taken out."""
    taken = {*record.answers, *record.voids, *record.struck}
    late: dict[UUID, GivenAnswer] = {}
    for given in record.late:
        if given.serving not in taken:
            late.setdefault(given.serving, given)
    return late


def find_contested_answers(record: Record) -> dict[UUID, tuple[GivenAnswer, GivenAnswer]]:
    """Collect first and last answer of every contested serving that was not taken out."""
    return {
        serving: (record.answers[serving], later[-1])
        for serving, later in record.contests.items()
        if serving in record.answers and serving not in {*record.voids, *record.struck}
    }


def find_voided_answers(record: Record) -> dict[UUID, GivenAnswer]:
    """Collect the first answers of servings that were taken out although answered."""
    out = {*record.voids, *record.struck}
    return {serving: given for serving, given in record.answers.items() if serving in out}


def count_voided_instead(record: Record, standing: Answers) -> dict[UUID, GivenAnswer]:
    """Count voided answers, and leave out the spare servings poured in their place."""
    voided = find_voided_answers(record)
    replaced = {spare for serving, spare in record.replacements.items() if serving in voided}
    kept = {serving: given for serving, given in standing.items() if serving not in replaced}
    return kept | voided


def judge(
    sealed: SealedTasting, record: Record, answers: Answers, *, one_brew: bool = False
) -> tuple[Judgement, ...]:
    """Meet answers with the key, in the order of the sealed servings.

    An answer to a serving with a lost mark is left out: nobody knows whether it is right.
    So is one of the test where one brew filled cups of both samples; with ``one_brew`` these
    are judged, and no others.
    """
    seats, apart = map_tasting_seats(sealed, record), find_one_brew_servings(sealed, record)
    return tuple(
        _judge_one(sealed, serving, answers[serving.id], seats[serving.id])
        for serving in sealed.servings
        if serving.id in answers and sealed.is_known(serving) and (serving.id in apart) == one_brew
    )


def count_correct(judgements: Sequence[Judgement]) -> int:
    """Count the right answers, two-sided those for sample B."""
    return sum(judgement.correct for judgement in judgements)


def _judge_one(
    sealed: SealedTasting, serving: PlannedServing, given: GivenAnswer, seat: int
) -> Judgement:
    order = sealed.order(serving)
    pick, right = given.answer.get("pick"), _find_right(sealed, serving, order)
    return Judgement(
        serving=serving.id,
        round=serving.round,
        purpose=sealed.purpose(serving),
        seat=seat,
        order=order,
        correct=_is_right(sealed, given.answer, serving.codes, order),
        guess=bool(given.answer.get("guess")),
        picked=serving.codes.index(pick) + 1 if pick in serving.codes else None,
        odd=right,
        source=given.source,
        cue=_find_cue(given),
        neither=names_neither(given.answer),
        block=f"{serving.seat}.{(serving.round - 1) // len(get_method(sealed.plan.method).orders)}",
        sorting=tell_sorting(given.answer, serving.codes),
    )


def _find_right(sealed: SealedTasting, serving: PlannedServing, order: str) -> int | None:
    """Return the position, from 1, of the cup to be picked, if one is."""
    if not picks_a_cup(get_method(sealed.plan.method)):
        return None
    codes = serving.codes
    places = (n for n, one in enumerate(codes, 1) if _is_right(sealed, {"pick": one}, codes, order))
    return next(places, None)


def _is_right(
    sealed: SealedTasting, answer: Mapping[str, Any], codes: Sequence[str], order: str
) -> bool:
    """Judge an answer; of a directional question the method's B is the sample with more."""
    direction = sealed.plan.direction
    roles = order.translate(SWAPPED) if direction and direction.more == "A" else order
    return get_method(sealed.plan.method).is_correct(answer, codes, roles)


def _find_cue(given: GivenAnswer) -> str | None:
    cue = given.answer.get("cue")
    return cue.strip() if isinstance(cue, str) else None


def map_tasting_seats(sealed: SealedTasting, record: Record) -> dict[UUID, int]:
    """Map every serving to the seat whose person tasted it: a spare one to the voided one's."""
    stood_in_for = {spare: voided for voided, spare in record.replacements.items()}
    seat_of = {serving.id: serving.seat for serving in sealed.servings}
    return {
        serving: seat_of.get(_find_origin(serving, stood_in_for), seat_of[serving])
        for serving in seat_of
    }


def _find_origin(serving: UUID, stood_in_for: Mapping[UUID, UUID]) -> UUID:
    for _ in range(len(stood_in_for)):
        serving = stood_in_for.get(serving, serving)
    return serving
