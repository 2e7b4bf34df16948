"""Whether the events of a scored table fit it: its bowls, its seats, its order of things."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from server.blinding.events import Event, Kind
from server.blinding.sealed import Layout

AT_TABLES = (
    Kind.CALIBRATED,
    Kind.WORDS_CHOSEN,
    Kind.BOWL_STEP,
    Kind.DISCUSSED,
    Kind.DECIDED,
)
"""Kinds of event that only a scored table has."""

READ_BY = "checked"
"""The step that must say how hot the check bowl was."""


def find_table_problems(events: Sequence[Event], layout: Layout) -> list[str]:
    """Say where events of a scored table cannot be.

    Parameters
    ----------
    events : sequence of Event
        In order, with bodies that hold what `bodies.MEMBERS` asks for; erased ones are
        passed over.
    layout : Layout
        What they may name.

    Returns
    -------
    list of str
        A sentence each: such an event where nothing is scored, a bowl that does not stand
        on the table of its sitting, a check without a reading, words of a seat chosen
        twice, an open bowl that was not planned or came after an answer of its sitting, a
        discussion before anything was locked or a decision before unsealing.
    """
    sittings = {str(serving.id): serving.sitting for serving in layout.servings}
    bowls = {
        (serving.sitting, cup.code, cup.bowl) for serving in layout.servings for cup in serving.cups
    }
    found, past = [], set[Kind]()
    worded: set[int] = set()
    answered: set[int] = set()
    for event in events:
        if event.body is not None and event.kind in AT_TABLES:
            problems = [
                *_find_disorder(event.kind, past, layout),
                *_find_strange_step(event, event.body, bowls),
                *_find_second_words(event, event.body, worded),
                *_find_strange_bowl(event, event.body, layout, answered),
            ]
            found += [f"Event {event.seq} ({event.kind}) {problem}." for problem in problems]
        if event.body is not None and event.kind == Kind.ANSWERED:
            answered.add(sittings[event.body["serving"]])
        past.add(event.kind)
    return found


def _find_disorder(kind: Kind, past: set[Kind], layout: Layout) -> Iterator[str]:
    if layout.plan.table is None:
        yield "is of a scored table, which this is not"
    if kind == Kind.DISCUSSED and not past & {Kind.ANSWERED, Kind.CLOSED}:
        yield "comes before anything was locked"
    if kind == Kind.DECIDED and Kind.UNSEALED not in past:
        yield "comes before unsealing"


def _find_strange_step(
    event: Event, body: Mapping[str, Any], bowls: set[tuple[int, str, int]]
) -> Iterator[str]:
    if event.kind != Kind.BOWL_STEP:
        return
    code, bowl = body["code"], body["bowl"]
    if (code is None) != (bowl is None):
        yield "names a code or a bowl without the other"
    elif code is not None and (body["sitting"], code, bowl) not in bowls:
        yield "names a bowl that is not on the table of its sitting"
    if body["step"] == READ_BY and body["celsius"] is None:
        yield "does not say what the check bowl read"


def _find_second_words(event: Event, body: Mapping[str, Any], worded: set[int]) -> Iterator[str]:
    if event.kind != Kind.WORDS_CHOSEN:
        return
    if body["seat"] in worded:
        yield "chooses words of a seat a second time"
    worded.add(body["seat"])


def _find_strange_bowl(
    event: Event, body: Mapping[str, Any], layout: Layout, answered: Collection[int]
) -> Iterator[str]:
    if event.kind != Kind.CALIBRATED or layout.plan.table is None:
        return
    if not layout.plan.table.calibration:
        yield "is of an open bowl that was not planned"
    if not set(body["seats"]) <= {seat.number for seat in layout.seats}:
        yield "names a seat that is not there"
    if body["sitting"] in answered:
        yield "comes after an answer of its sitting"
