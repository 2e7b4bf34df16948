"""What somebody alone notes between the cups: prepared, shuffled, given up, a mark seen."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from uuid import UUID

from server.blinding.events import Kind
from server.blinding.marks import find_open
from server.methods.base import N_
from server.tastings.answering import NotYet, SeatPlace, get_place, get_serving, look_again
from server.tastings.bench import Bench
from server.tastings.journal import AT_THE_TABLE, Journal, open_journal
from server.tastings.own_sitting import SEEN, is_seen
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.turning import find_unturned, list_answered, list_sittings

WHYS = {
    "seen": "a mark was seen",
    "spilt": "a cup was spilt",
    "otherwise": "it was poured otherwise than asked for",
    "stop": "the taster stopped",
}
"""Why a serving may be given up; what is chosen stands in the record, with words if there are."""

LONGEST_WHY = 120


def get_own_place(bench: Bench, token: str) -> SeatPlace:
    """Return the seat of somebody who pours and tastes alone.

    Raises
    ------
    NotFound
        No such seat, or somebody else pours for it.
    """
    place = get_place(bench, token)
    if not place.layout.plan.alone:
        raise NotFound("At this seat somebody else pours.")
    return place


def prepare_sitting(bench: Bench, token: str, sitting: int) -> None:
    """Note that the cups of a sitting are marked and covered; once.

    Raises
    ------
    NotYet
        It is not this sitting's turn, or cups of an earlier one are not turned yet.
    """
    with _open_own(bench, token) as (journal, now):
        if sitting not in list_sittings(now.layout):
            raise NotFound("There is no such sitting.")
        if sitting in now.record.prepared:
            return
        waiting = [one for one in find_unturned(now.layout, now.record) if one < sitting]
        if waiting or now.current is None or now.current.sitting != sitting:
            raise NotYet("It is not this sitting's turn.")
        journal.begin_serving()
        journal.append(Kind.PREPARED, sitting=sitting)


def record_shuffle(bench: Bench, token: str, serving_id: UUID, seconds: int | None) -> None:
    """Note that the cups of a serving were shuffled and placed, and how long it took; once.

    Raises
    ------
    NotYet
        An earlier serving is still open.
    """
    with _open_own(bench, token) as (journal, now):
        get_serving(now, serving_id)
        record = now.record
        if any(serving_id in done for done in (record.shuffled, record.answers, record.voids)):
            return
        _check_turn(now, serving_id)
        journal.begin_serving()
        journal.append(Kind.SHUFFLED, serving=str(serving_id), seconds=seconds)


def give_up_serving(bench: Bench, token: str, serving_id: UUID, form: Mapping[str, str]) -> None:
    """Take a serving out before its answer is locked; nothing takes its place.

    Raises
    ------
    Invalid
        It does not say why (field ``why``, and words in ``reason``).
    Refusal
        It is answered: its answer stays.
    """
    reason = _read_reason(form)
    with _open_own(bench, token) as (journal, now):
        get_serving(now, serving_id)
        if serving_id in now.record.voids:
            return
        if serving_id in now.record.answers:
            raise Refusal("This serving is answered, and its answer stays.")
        _check_turn(now, serving_id)
        journal.begin_serving()
        journal.append(Kind.VOIDED, serving=str(serving_id), reason=reason, replacement=None)


def note_seen_mark(bench: Bench, token: str) -> None:
    """Note that a mark of cups already answered was seen while more are to be tasted; once.

    From here on a part of the result was known: an early look, for ever on record.

    Raises
    ------
    NotYet
        No answered cups of an unfinished sitting stand there.
    """
    with _open_own(bench, token) as (journal, now):
        layout, record = now.layout, now.record
        sitting = now.current.sitting if now.current else 0
        if not list_answered(layout, record, sitting) or not find_open(layout, record, sitting):
            raise NotYet("There are no answered cups to have seen a mark of.")
        if not is_seen(record, sitting):
            journal.append(Kind.RESULTS_LOOKED, how=SEEN.format(sitting=sitting))


def _read_reason(form: Mapping[str, str]) -> str:
    why = WHYS.get(form.get("why", ""))
    if why is None:
        raise Invalid(why=N_("Say what happened."))
    words = " ".join(form.get("reason", "").split())[:LONGEST_WHY]
    return f"{why}: {words}" if words else why


def _check_turn(now: SeatPlace, serving_id: UUID) -> None:
    if now.current is None or now.current.id != serving_id:
        raise NotYet("This serving is not the one before you now.")


@contextmanager
def _open_own(bench: Bench, token: str) -> Iterator[tuple[Journal, SeatPlace]]:
    place = get_own_place(bench, token)
    with open_journal(bench, place.tasting.id, AT_THE_TABLE) as journal:
        yield journal, look_again(place, journal)
