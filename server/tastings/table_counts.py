"""How many values every seat of a scored table has given so far; never which."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple
from uuid import UUID

from server.blinding.record import Record
from server.blinding.sealed import Layout
from server.blinding.table_stands import is_scored, list_scored, list_stands
from server.sheets.cards import read_sheet
from server.sheets.places import list_places
from server.storage.tables import Draft


class Begun(NamedTuple):
    """How many values and personal words an answer holds."""

    values: int
    words: int


class Count(NamedTuple):
    """Values given, of all that may be given."""

    given: int
    all: int


def count_begun(drafts: Iterable[Draft]) -> dict[UUID, Begun]:
    """Count what is in answers that are not locked yet, by serving."""
    return {one.serving_id: _count(one.body) for one in drafts}


def count_values(layout: Layout, record: Record, begun: Mapping[UUID, Begun]) -> dict[UUID, Count]:
    """Count the values of every scored serving; nothing where the tasting is no table."""
    if layout.plan.table is None:
        return {}
    servings = list_scored(layout)
    stands = list_stands(servings[0])  # all tables of a tasting have as many codes and bowls
    asked = len(list_places(read_sheet(layout.plan.table.sheet), stands))
    counts = {}
    for serving in servings:
        given = record.answers.get(serving.id)
        found = _count(given.answer) if given else begun.get(serving.id, Begun(0, 0))
        counts[serving.id] = Count(found.values, asked + found.words * len(stands))
    return counts


def list_asked_rounds(layout: Layout) -> tuple[int, ...]:
    """List the rounds in which something is asked: without those of warm-up cups."""
    if layout.plan.table is None:
        return tuple(range(1, layout.plan.total_rounds + 1))
    return tuple(sorted({one.round for one in layout.servings if is_scored(layout, one)}))


def _count(body: Mapping[str, object]) -> Begun:
    values, words = body.get("values"), body.get("words")
    return Begun(*(len(one) if isinstance(one, list | tuple) else 0 for one in (values, words)))
