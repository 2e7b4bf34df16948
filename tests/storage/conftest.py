"""A small sealed tasting in the rows of an SQLite file and of a real PostgreSQL."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from random import Random
from typing import Any
from uuid import UUID, uuid4

import pytest
from sqlalchemy import Engine

from server.blinding.chain import link
from server.blinding.draw import draw_tasting
from server.blinding.events import Event, Kind
from server.blinding.seal import canonical, seal_hash
from server.blinding.sealed import PlannedSample, SealedTasting
from server.methods.registry import get_method
from server.storage import tables
from server.storage.engine import open_engine, writing
from server.storage.write import add_sealed_rows
from server.tastings.plan_forms import seal_ready
from server.tastings.planning import read_plan
from tests.drawn_tables import draw_batches

MORNING = datetime(2031, 5, 14, 9, tzinfo=UTC)
SMALL = {
    "question": "Does the fresh cartridge change our green tea?",
    "sample_a": "flushed cartridge",
    "sample_b": "fresh cartridge",
    "difference": "age of the water-filter cartridge",
    "pourer": "absent",
    "size_percent": "50",
    "assessors": "2",
    "rounds": "2",
    "spare_seats": "1",
}


@dataclass(frozen=True)
class Stored:
    """A tasting in the database, as it was drawn."""

    sealed: SealedTasting
    text: bytes
    seal: str

    @property
    def id(self) -> UUID:
        """Its id."""
        return self.sealed.tasting


def store_tasting(engine: Engine, number: int = 1, **changed: str) -> Stored:
    """Seal and store a tasting of 2 assessors, 2 rounds and 1 spare seat."""
    plan = seal_ready(read_plan(SMALL | changed))
    samples = [PlannedSample(level=level, label=f"cartridge {level}") for level in "AB"]
    orders = get_method(plan.method).orders
    sealed = draw_tasting(plan, UUID(int=number, version=4), samples, orders, Random(number))
    return store_sealed(engine, sealed, number)


def store_sealed(engine: Engine, sealed: SealedTasting, number: int) -> Stored:
    """Store a sealed tasting, whatever it is of."""
    text, plan = canonical(sealed), sealed.plan
    row = tables.Tasting(
        id=sealed.tasting,
        name=f"Tasting {number}",
        join_code=f"CODE{number}",
        state="sealed",
        method=plan.method,
        plan=plan.model_dump(mode="json"),
        head=seal_hash(text),
        created_at=MORNING,
    )
    with writing(engine) as db:
        db.add(row)
        db.flush()
        add_sealed_rows(db, sealed, text, seal_hash(text), lambda: uuid4().hex)
        db.commit()
    return Stored(sealed, text, seal_hash(text))


@pytest.fixture
def engine(database_url: str) -> Iterator[Engine]:
    """An up-to-date database, once SQLite and once PostgreSQL."""
    engine = open_engine(database_url)
    yield engine
    engine.dispose()


@pytest.fixture
def store(engine: Engine) -> Callable[..., Stored]:
    """Store one more tasting by its number; any field of the plan can be changed."""
    return partial(store_tasting, engine)


@pytest.fixture
def store_table(engine: Engine) -> Callable[..., Stored]:
    """Store a scored table of so many samples; any member of its plan can be changed."""

    def store(samples: int, **changed: Any) -> Stored:
        return store_sealed(engine, draw_batches(samples, **changed), 7)

    return store


@pytest.fixture
def stored(store: Callable[..., Stored]) -> Stored:
    """A sealed tasting in the database."""
    return store()


@pytest.fixture(scope="module")
def kept_engine(kept_database_url: str) -> Iterator[Engine]:
    """A database with one sealed tasting, kept for a module: its tests roll back."""
    engine = open_engine(kept_database_url)
    store_tasting(engine)
    yield engine
    engine.dispose()


@pytest.fixture
def chain_up() -> Callable[..., list[Event]]:
    """Chain events after a seal: pairs of kind and body, one a minute."""

    def chain_up(seal: str, *told: tuple[Kind, dict[str, Any]]) -> list[Event]:
        events: list[Event] = []
        for seq, (kind, body) in enumerate(told, start=1):
            stamped = {"at": f"2031-05-14T09:{seq:02d}:00.000+00:00"} | body
            head = events[-1].head if events else seal
            events.append(link(head, seq, kind, stamped, f"{seq:032x}"))
        return events

    return chain_up
