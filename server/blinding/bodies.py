"""What an event's body must hold, and whether it names things that are there."""

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any
from uuid import UUID

from server.blinding.events import CHECKLIST, Event, Kind
from server.blinding.marks import find_reveal_problems
from server.blinding.sealed import Layout
from server.blinding.table_bodies import find_table_problems
from server.blinding.table_record import DECISIONS, STEPS

Check = Callable[[Any], bool]
DECIMAL = re.compile(r"[0-9]{1,3}(?:\.[0-9]{1,6})?", re.ASCII)


def _is_text(value: Any) -> bool:
    return isinstance(value, str)


def _is_number(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= 1


def _is_count(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= 0


def _is_yes_or_no(value: Any) -> bool:
    return isinstance(value, bool)


def _is_object(value: Any) -> bool:
    return isinstance(value, Mapping)


def _is_id(value: Any) -> bool:
    try:
        return isinstance(value, str) and str(UUID(value)) == value
    except ValueError:
        return False


def _is_decimal(value: Any) -> bool:
    return isinstance(value, str) and DECIMAL.fullmatch(value) is not None


def _are_decimals(value: Any) -> bool:
    return isinstance(value, list | tuple) and all(map(_is_decimal, value))


def _are_texts(value: Any) -> bool:
    return isinstance(value, list | tuple) and all(map(_is_text, value))


def _are_numbers(value: Any) -> bool:
    return isinstance(value, list | tuple) and all(map(_is_number, value))


def _or_null(check: Check) -> Check:
    return lambda value: value is None or check(value)


def _are_words(value: Any) -> bool:
    """Tell whether it maps words to words."""
    return _is_object(value) and all(_is_text(one) for pair in value.items() for one in pair)


def _are_marks(value: Any) -> bool:
    """Tell whether it maps ids of servings to ids of cups to slots, or null for a lost mark."""
    return _is_object(value) and all(
        _is_id(serving) and _is_object(cups) and all(map(_is_id, cups))
        and all(slot is None or _is_text(slot) for slot in cups.values())
        for serving, cups in value.items()
    )  # fmt: skip


_ANSWER: dict[str, Check] = {
    "serving": _is_id,
    "revision": _is_number,
    "answer": _is_object,
    "source": _is_text,
}

MEMBERS: dict[Kind, dict[str, Check]] = {
    Kind.STRUCK: {"serving": _is_id, "reason": _is_text},
    Kind.CHECKED: {"item": CHECKLIST.__contains__, "done": _is_yes_or_no},
    Kind.SERVING_BEGAN: {},
    Kind.SEAT_TAKEN: {"seat": _is_number},
    Kind.POURED: {"slot": _is_text, "done": _is_yes_or_no},
    Kind.SERVED: {"serving": _is_id, "done": _is_yes_or_no},
    Kind.PREPARED: {"sitting": _is_number},
    Kind.SHUFFLED: {"serving": _is_id, "seconds": _or_null(_is_count)},
    Kind.REVEALED: {"sitting": _is_number, "marks": _are_marks, "photo": _or_null(_is_text)},
    Kind.WORDS_CHOSEN: {"seat": _is_number, "words": _are_texts},
    Kind.CALIBRATED: {"sitting": _is_number, "seats": _are_numbers, "words": _is_text},
    Kind.BOWL_STEP: {
        "sitting": _is_number,
        "step": STEPS.__contains__,
        "code": _or_null(_is_text),
        "bowl": _or_null(_is_count),
        "seat": _or_null(_is_number),
        "celsius": _or_null(_is_decimal),
    },
    Kind.DISCUSSED: {"text": _is_text, "who": _is_text},
    Kind.DECIDED: {
        "decision": DECISIONS.__contains__,
        "batch": _is_text,
        "reason": _is_text,
        "name": _is_text,
    },
    Kind.CODES_CONFIRMED: {"serving": _is_id},
    Kind.CODES_DIFFER: {"serving": _is_id},
    Kind.CALL_SETTLED: {"serving": _is_id},
    Kind.BREWED: {
        "slot": _is_text,
        "tds": _are_decimals,
        "temperature_c": _or_null(_is_decimal),
        "fill_g": _or_null(_is_decimal),
        "time": _or_null(_is_text),
        "note": _is_text,
    },
    Kind.RELEASED: {"slot": _is_text, "found": _are_words, "reason": _is_text},
    Kind.ANSWERED: _ANSWER,
    Kind.CONTESTED: _ANSWER,
    Kind.CONTEST_SETTLED: {"serving": _is_id, "revision": _or_null(_is_number)},
    Kind.LATE: _ANSWER,
    Kind.VOIDED: {"serving": _is_id, "reason": _is_text, "replacement": _or_null(_is_id)},
    Kind.BLOCK_JUDGED: {"block": _is_count, "stop": _is_yes_or_no},
    Kind.KEY_LOOKED: {"who": _is_text, "reason": _is_text},
    Kind.RESULTS_LOOKED: {"how": _is_text},
    Kind.CLOSED: {"reason": _is_text, "pourer": _is_text},
    Kind.UNSEALED: {"seal_matches": _is_yes_or_no},
    Kind.ABANDONED: {"reason": _is_text},
    Kind.ERASED: {"seq": _is_number},
}
"""Members without which an event cannot be folded into the record; others may be there."""

OPTIONAL: dict[Kind, dict[str, Check]] = {Kind.BREWED: {"brew": _is_object}}
"""Members that need not be there, but are of this kind if they are."""


def find_body_problems(events: Sequence[Event], layout: Layout) -> list[str]:
    """Say what is wrong with the bodies of events.

    Parameters
    ----------
    events : sequence of Event
        In order; an erased one has no problems here.
    layout : Layout
        What they may name.

    Returns
    -------
    list of str
        A sentence for each member that is missing, is of another kind, or names
        a serving, slot, seat or sitting that is not there; if there is none, for
        each mark under a cup and each event of a scored table that cannot be.
    """
    known = _list_names(layout)
    found = []
    for event in events:
        if event.body is None:
            continue
        maybe = OPTIONAL.get(event.kind, {})
        said = {name: check for name, check in maybe.items() if name in event.body}
        for name, check in ({"at": _is_text} | MEMBERS[event.kind] | said).items():
            problem = _find_problem(event.body, name, check, known)
            if problem:
                found.append(f"Event {event.seq} ({event.kind}) {problem}.")
    return found or find_reveal_problems(events, layout) + find_table_problems(events, layout)


def _list_names(layout: Layout) -> dict[str, set[Any]]:
    spare = {seat.number for seat in layout.seats if seat.spare}
    return {
        "serving": {str(serving.id) for serving in layout.servings},
        "replacement": {None, *(str(one.id) for one in layout.servings if one.seat in spare)},
        "slot": {slot.name for slot in layout.slots},
        "seat": {None, *(seat.number for seat in layout.seats)},
        "sitting": {serving.sitting for serving in layout.servings},
    }


def _find_problem(
    body: Mapping[str, Any], name: str, check: Check, known: Mapping[str, set[Any]]
) -> str | None:
    if name not in body:
        return f"does not say {name}"
    if not check(body[name]):
        return f"says something else than a {name}"
    if name in known and body[name] not in known[name]:
        return f"names a {name} that is not there"
    return None
