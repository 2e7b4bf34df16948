"""What is sealed cannot be changed, whoever writes the SQL; before the seal it can."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

import pytest
from sqlalchemy import Engine, Uuid, bindparam, text
from sqlalchemy.exc import DBAPIError
from sqlmodel import select

from server.blinding.chain import link
from server.blinding.events import Kind
from server.storage.engine import writing
from server.storage.tables import Accepted, Answer, Event, Serving

NEW = UUID("5f0c0f4e-6d0e-4b56-9b1e-1d2c3b4a5968")  # drawn once; stands for any new id

INSERTS = {
    "sample": "(id, tasting_id, level, label) SELECT :new, tasting_id, 'C', 'c' FROM sample",
    "brewslot": "(id, tasting_id, sample_id, name, n, round, brews) "
    "SELECT :new, tasting_id, sample_id, 'A99', 99, 1, 1 FROM brewslot",
    "comparison": "(id, tasting_id, name, samples, purpose) "
    "SELECT :new, tasting_id, 'other', samples, purpose FROM comparison",
    "seat": "(id, tasting_id, number, spare, token) "
    "SELECT :new, tasting_id, 99, spare, 'fresh' FROM seat",
    "serving": "(id, tasting_id, seat_id, comparison_id, sitting, round) "
    "SELECT :new, tasting_id, seat_id, comparison_id, 9, 9 FROM serving",
    "cup": "(id, tasting_id, code) SELECT :new, tasting_id, '571' FROM cup",
    "placement": "(serving_id, position, cup_id, tasting_id, role) "
    "SELECT serving_id, 9, :new, tasting_id, role FROM placement",
    "cuptruth": "(cup_id, slot_id, tasting_id, source) "
    "SELECT :new, slot_id, tasting_id, source FROM cuptruth",
}
NEEDS_A_CUP = ("placement", "cuptruth")

UPDATES = {
    "sample": ["label = 'x'", "level = 'Z' || level", "tasting_id = :new"],
    "brewslot": ["round = round + 1", "brews = 7", "name = 'Z' || name"],
    "comparison": ["name = 'x'", "purpose = 'x'"],
    "seat": ["id = :new", "tasting_id = :new", "number = number + 50", "spare = NOT spare",
             "token = token || 'x'"],
    "serving": ["round = round + 50", "sitting = 2"],
    "cup": ["code = '571'", "bowl = 2"],
    "placement": ["position = position + 50", "role = 'x'"],
    "cuptruth": ["source = 'x'", "slot_id = (SELECT id FROM brewslot LIMIT 1)"],
    "tasting": ["id = :new", "name = 'x'", "join_code = 'x'", "method = 'x'", "plan = '{}'",
                "schema_no = 2", "key_source = 'x'", "style = 'x'", "state = 'draft'"],
    "seal": ["hash = 'x'", "text = text"],
    "accepted": ["pass_name = 'x'", "answer_id = answer_id"],
    "event": ["body = '{}'", "leaf_salt = 'x'", "seq = seq + 50", "kind = 'x'",
              "leaf_hash = 'x'", "head = 'x'", "body = NULL", "leaf_salt = NULL"],
    "answer": ["body = '{}'", "revision = 9", "client_key = 'x'", "source = 'x'",
               "device_at = 'x'", "pass_name = 'x'", "id = :new", "body = NULL, revision = 9"],
}  # fmt: skip

ALLOWED = {
    "seat": ["taken_at = '2031-05-14 09:00:00+00:00'", "claim_key = token", "person_id = NULL"],
    "tasting": ["state = 'serving'", "version = 7", "head = 'x'"],
    "event": ["body = NULL, leaf_salt = NULL"],
    "answer": ["body = NULL"],
}

# so that nothing that is pointed at goes first
DELETES = (
    "cuptruth",
    "placement",
    "cup",
    "serving",
    "seat",
    "brewslot",
    "sample",
    "comparison",
    "tasting",
)


def _pairs(statements: dict[str, list[str]]) -> list[tuple[str, str]]:
    return [(table, change) for table, changes in statements.items() for change in changes]


@pytest.fixture(scope="module")
def answered(kept_engine: Engine) -> Engine:
    """A sealed tasting with one locked answer and one event."""
    with writing(kept_engine) as db:
        serving = db.exec(select(Serving)).all()[0]
        answer = Answer(
            tasting_id=serving.tasting_id,
            seat_id=serving.seat_id,
            serving_id=serving.id,
            revision=1,
            body={"pick": "571"},
            client_key="tap",
            received_at=datetime(2031, 5, 14, 9, tzinfo=UTC),
        )
        event = link("", 1, Kind.SEAT_TAKEN, {"seat": 1}, "00")
        db.add_all([answer, Event(tasting_id=serving.tasting_id, **event.model_dump())])
        db.flush()
        lock = Accepted(serving_id=serving.id, answer_id=answer.id, tasting_id=serving.tasting_id)
        db.add(lock)
        db.commit()
    return kept_engine


@pytest.fixture
def run(answered: Engine) -> Iterator[Callable[[str], int]]:
    """Run raw SQL, as anybody with the database's password could; all is rolled back after."""
    with answered.connect() as connection:

        def run(statement: str) -> int:
            bound = text(statement)
            if ":new" in statement:
                bound = bound.bindparams(bindparam("new", NEW, type_=Uuid()))
            return connection.execute(bound).rowcount

        yield run
        connection.rollback()


@pytest.fixture
def before_sealing(run: Callable[[str], int], answered: Engine) -> None:
    """The same rows as they are before the seal is put on and anybody answers."""
    suffix = answered.dialect.name == "postgresql"
    for table in ("accepted", "event", "answer", "seal"):
        run(f"DROP TRIGGER {table}_sealed_delete" + (f" ON {table}" if suffix else ""))
        run(f"DELETE FROM {table}")


@pytest.mark.parametrize("table", INSERTS)
def test_nothing_is_added_to_a_sealed_tasting(run: Callable[[str], int], table: str) -> None:
    with pytest.raises(DBAPIError, match=f"sealed: {table} cannot change"):
        run(f"INSERT INTO {table} {INSERTS[table]} LIMIT 1")


@pytest.mark.usefixtures("before_sealing")
@pytest.mark.parametrize("table", INSERTS)
def test_before_the_seal_rows_may_be_added(run: Callable[[str], int], table: str) -> None:
    if table in NEEDS_A_CUP:
        run(f"INSERT INTO cup {INSERTS['cup']} LIMIT 1")
    assert run(f"INSERT INTO {table} {INSERTS[table]} LIMIT 1") == 1


@pytest.mark.parametrize(("table", "change"), _pairs(UPDATES))
def test_nothing_sealed_is_changed(run: Callable[[str], int], table: str, change: str) -> None:
    with pytest.raises(DBAPIError, match=f"sealed: {table} cannot change"):
        run(f"UPDATE {table} SET {change}")


@pytest.mark.usefixtures("before_sealing")
@pytest.mark.parametrize(
    ("table", "change"),
    [one for one in _pairs(UPDATES) if one[0] in DELETES and ":new" not in one[1]],
)
def test_before_the_seal_rows_may_be_changed(
    run: Callable[[str], int], table: str, change: str
) -> None:
    assert run(f"UPDATE {table} SET {change}") > 0


@pytest.mark.parametrize(("table", "change"), _pairs(ALLOWED))
def test_what_happens_at_the_table_may_still_be_noted(
    run: Callable[[str], int], table: str, change: str
) -> None:
    assert run(f"UPDATE {table} SET {change}") > 0


@pytest.mark.parametrize("table", [*DELETES, "seal", "accepted", "event", "answer"])
def test_nothing_sealed_is_deleted(run: Callable[[str], int], table: str) -> None:
    with pytest.raises(DBAPIError, match=f"sealed: {table} cannot change"):
        run(f"DELETE FROM {table}")


@pytest.mark.usefixtures("before_sealing")
def test_before_the_seal_a_tasting_may_go(run: Callable[[str], int]) -> None:
    assert all(run(f"DELETE FROM {table}") > 0 for table in DELETES)


@pytest.mark.parametrize("table", ["event", "answer"])
def test_what_was_erased_stays_erased(run: Callable[[str], int], table: str) -> None:
    salt = ", leaf_salt = NULL" if table == "event" else ""
    run(f"UPDATE {table} SET body = NULL{salt}")
    with pytest.raises(DBAPIError, match=f"sealed: {table} cannot change"):
        run(f"UPDATE {table} SET body = '{{}}'")


@pytest.mark.parametrize("kept_database_url", ["postgresql"], indirect=True)
@pytest.mark.parametrize("table", [*DELETES, "seal", "accepted", "event", "answer"])
def test_postgresql_empties_no_table_with_sealed_rows(
    run: Callable[[str], int], table: str
) -> None:
    with pytest.raises(DBAPIError, match="sealed"):
        run(f"TRUNCATE {table} CASCADE")


@pytest.mark.parametrize("kept_database_url", ["sqlite"], indirect=True)
@pytest.mark.parametrize("table", ["seal", "accepted", "event", "answer", "tasting", "cup"])
def test_sqlite_replaces_no_sealed_row(run: Callable[[str], int], table: str) -> None:
    """REPLACE deletes the old row: without its triggers it would slip past the seal."""
    with pytest.raises(DBAPIError, match=f"sealed: {table} cannot change"):
        run(f"REPLACE INTO {table} SELECT * FROM {table}")


def test_a_second_tasting_is_planned_beside_a_sealed_one(
    stored: Any, store: Callable[..., Any]
) -> None:
    assert store(2).id != stored.id
