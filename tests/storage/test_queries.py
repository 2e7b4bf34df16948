"""What is read back is what was sealed, without the key."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from sqlalchemy import Engine

from server.blinding.events import Kind
from server.blinding.sealed import Layout
from server.storage import queries
from server.storage.engine import reading, writing
from server.storage.tables import Event


def test_the_layout_read_back_is_the_sealed_one_without_salt_and_key(
    engine: Engine, stored: Any
) -> None:
    with reading(engine) as db:
        tasting = queries.find_tasting(db, stored.id)
        assert tasting
        layout = queries.load_layout(db, tasting)
    assert layout.model_dump() == stored.sealed.model_dump(include=set(Layout.model_fields))


@pytest.mark.parametrize(
    "changed",
    [
        {"bowls": 3, "warm_up": "B", "sittings": 2},
        {"style": "shared", "bowls": 2, "duplicates": ("A",)},
        {"style": "shared", "bowls": 2, "scattered": True, "reference": "C", "block": 2,
         "sittings": 2},
    ],
)  # fmt: skip
def test_the_layout_of_a_scored_table_read_back_is_the_sealed_one(
    engine: Engine, store_table: Callable[..., Any], changed: dict[str, Any]
) -> None:
    stored = store_table(3, **changed)
    with reading(engine) as db:
        tasting = queries.find_tasting(db, stored.id)
        assert tasting
        layout = queries.load_layout(db, tasting)
    assert layout.model_dump() == stored.sealed.model_dump(include=set(Layout.model_fields))


def test_one_layout_too_many_drops_that_of_longest_ago_alone(
    engine: Engine, store: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(queries, "MOST_KEPT", 2)
    kept: dict[str, Layout] = {}
    monkeypatch.setattr(queries, "_LAYOUTS", kept)
    made = [store(number) for number in (1, 2, 3)]
    with reading(engine) as db:
        for row in _rows(db, *made):
            queries.load_layout(db, row)
    assert [layout.tasting for layout in kept.values()] == [one.id for one in made[1:]]


def test_a_layout_holds_nothing_of_another_tasting(
    engine: Engine, store: Callable[..., Any]
) -> None:
    first, second = store(1), store(2, rounds="3")
    with reading(engine) as db:
        layouts = [queries.load_layout(db, row) for row in _rows(db, first, second)]
    assert [len(layout.servings) for layout in layouts] == [6, 9]


def _rows(db: Any, *stored: Any) -> list[Any]:
    return [queries.find_tasting(db, one.id) for one in stored]


def test_events_come_back_as_they_were_chained(
    engine: Engine, stored: Any, chain_up: Callable[..., Any]
) -> None:
    told = [(Kind.SEAT_TAKEN, {"seat": seat}) for seat in (2, 1)]
    events = chain_up(stored.seal, *told)
    with writing(engine) as db:
        db.add_all(Event(tasting_id=stored.id, **one.model_dump()) for one in reversed(events))
        db.commit()
        assert queries.load_events(db, stored.id) == events


def test_the_record_before_any_event_has_the_seal_for_its_head(engine: Engine, stored: Any) -> None:
    with reading(engine) as db:
        record = queries.load_record(db, stored.id)
    assert (record.version, record.head) == (0, stored.seal)


def test_what_is_unknown_is_found_nowhere(engine: Engine) -> None:
    with reading(engine) as db:
        found = [
            queries.find_tasting(db, uuid4()),
            queries.lock_tasting(db, uuid4()),
            queries.find_by_join_code(db, "NOCODE"),
            queries.find_seat(db, "no token"),
            queries.find_pourer_link(db, "no token"),
            queries.find_seal_hash(db, uuid4()),
        ]
    assert found == [None] * 6
