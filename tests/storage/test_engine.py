"""How the database is opened: durable, strict, one writer at a time."""

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, text

from server.storage.engine import CannotOpen, open_engine, reading, sqlite_url, writing


@pytest.mark.parametrize(
    ("pragma", "value"),
    [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1), ("recursive_triggers", 1)],
)
def test_every_sqlite_connection_is_durable_and_strict(
    tmp_path: Path, pragma: str, value: Any
) -> None:
    engine = open_engine(sqlite_url(tmp_path))
    with engine.connect() as connection:
        assert connection.exec_driver_sql(f"PRAGMA {pragma}").scalar_one() == value
    engine.dispose()


@pytest.mark.parametrize("number", range(20))
def test_a_new_file_may_be_opened_by_two_at_once(tmp_path: Path, number: int) -> None:
    """SQLite waits for nobody while it turns the write-ahead log on: one in eight failed."""
    engines = [open_engine(f"sqlite:///{tmp_path / str(number)}") for _ in range(2)]
    with ThreadPoolExecutor(2) as pool:
        connections = list(pool.map(Engine.connect, engines))
    assert [one.exec_driver_sql("PRAGMA journal_mode").scalar_one() for one in connections] == [
        "wal",
        "wal",
    ]
    for one, engine in zip(connections, engines, strict=True):
        one.close()
        engine.dispose()


def test_a_writing_session_holds_the_write_lock_from_its_first_word(tmp_path: Path) -> None:
    engine = open_engine(sqlite_url(tmp_path))
    other = sqlite3.connect(tmp_path / "oddcup.sqlite3", timeout=0)
    with writing(engine) as db:
        db.connection()
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            other.execute("BEGIN IMMEDIATE")
    other.close()
    engine.dispose()


def test_a_reading_session_keeps_no_writer_out(tmp_path: Path) -> None:
    engine = open_engine(sqlite_url(tmp_path))
    with writing(engine) as db:
        db.connection().execute(text("CREATE TABLE cups (n INTEGER)"))
        db.commit()
    with reading(engine) as reader, writing(engine) as writer:
        reader.connection().execute(text("SELECT n FROM cups"))
        writer.connection().execute(text("INSERT INTO cups VALUES (1)"))
        writer.commit()
    with reading(engine) as db:
        assert db.connection().execute(text("SELECT n FROM cups")).scalar_one() == 1
    engine.dispose()


def test_the_data_directory_is_made_for_its_owner_alone(tmp_path: Path) -> None:
    sqlite_url(tmp_path / "new" / "data")
    assert (tmp_path / "new" / "data").stat().st_mode & 0o077 == 0


def test_an_unusable_data_directory_is_one_clear_line(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(CannotOpen, match=r"^cannot write to the data directory .*/file/data: "):
        sqlite_url(tmp_path / "file" / "data")


def test_times_come_back_in_utc(engine: Engine, stored: Any, clock: Any) -> None:
    from server.storage.queries import find_tasting

    with reading(engine) as db:
        tasting = find_tasting(db, stored.id)
        assert tasting
        assert tasting.created_at == clock()
