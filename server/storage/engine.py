"""Engines and sessions: SQLite by default, PostgreSQL by address; one way to write."""

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, create_engine, event
from sqlmodel import Session

# As many connections as Starlette's thread pool has threads: nobody waits for one.
POOL = 40

# Seconds between two tries to turn the write-ahead log on, and how many tries.
PAUSE, ATTEMPTS = 0.02, 250

PRAGMAS = (
    "synchronous=FULL",
    "foreign_keys=ON",
    "recursive_triggers=ON",  # or REPLACE would delete a sealed row past its trigger
)


class CannotOpen(Exception):
    """The database or its folder cannot be used; the message is one clear line."""


def open_engine(url: str) -> Engine:
    """Return an engine for a database address; SQLite gets its pragmas and locks."""
    if url.startswith("sqlite"):
        return _open_sqlite(url)
    url = url.replace("postgresql://", "postgresql+psycopg://", 1)
    return create_engine(
        url, pool_size=POOL, max_overflow=0, pool_pre_ping=True, hide_parameters=True
    )


def sqlite_url(data_dir: Path) -> str:
    """Return the address of the embedded database in a folder, which is made if missing."""
    try:
        data_dir.mkdir(parents=True, exist_ok=True, mode=0o700)
        probe = data_dir / ".writable"
        probe.touch()
        probe.unlink()
    except OSError as error:
        message = f"cannot write to the data directory {data_dir}: {error.strerror}"
        raise CannotOpen(message) from error
    return f"sqlite:///{data_dir / 'oddcup.sqlite3'}"


@contextmanager
def reading(engine: Engine) -> Iterator[Session]:
    """Open a session that only reads."""
    with Session(engine, expire_on_commit=False) as db:
        yield db


@contextmanager
def writing(engine: Engine) -> Iterator[Session]:
    """Open a session that writes: on SQLite it holds the write lock from its first word."""
    options = engine.execution_options(oddcup_write=True)
    with Session(options, expire_on_commit=False) as db:
        yield db


def _open_sqlite(url: str) -> Engine:
    connect = {"timeout": 30, "isolation_level": None}  # the driver begins nothing by itself
    engine = create_engine(
        url, pool_size=POOL, max_overflow=0, hide_parameters=True, connect_args=connect
    )
    event.listen(engine, "connect", _set_pragmas)
    event.listen(engine, "begin", _begin)
    return engine


def _set_pragmas(connection: Any, _record: Any) -> None:
    _write_ahead(connection)
    for pragma in PRAGMAS:
        connection.execute(f"PRAGMA {pragma}").close()


def _write_ahead(connection: Any) -> None:
    """Turn the write-ahead log on; in a new file SQLite does not wait for others by itself."""
    for _ in range(ATTEMPTS):
        try:
            connection.execute("PRAGMA journal_mode=WAL").close()
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode != sqlite3.SQLITE_BUSY:
                raise
            time.sleep(PAUSE)
    connection.execute("PRAGMA journal_mode=WAL").close()


def _begin(connection: Any) -> None:
    write = connection.get_execution_options().get("oddcup_write")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")
