"""A database that cannot be used is one clear line."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from server.storage.engine import open_engine, sqlite_url
from server.storage.migrate import upgrade

ADDRESS = "ODDCUP_DATABASE_URL"


def test_an_unusable_data_directory_is_one_line(oddcup: Callable[..., Any], tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    ran = oddcup("export", "X", "--data-dir", tmp_path / "file" / "data")
    assert (ran.code, ran.err.count("\n")) == (1, 1)
    assert ran.err.startswith(f"oddcup: cannot write to the data directory {tmp_path}")


def test_a_file_that_is_no_database_is_one_line(oddcup: Callable[..., Any], tmp_path: Path) -> None:
    (tmp_path / "oddcup.sqlite3").write_bytes(b"a shopping list, not a database" * 99)
    ran = oddcup("export", "X", "--data-dir", tmp_path)
    assert (ran.code, ran.err) == (1, "oddcup: cannot open the database: file is not a database\n")


def test_a_database_of_a_later_version_is_one_line(
    oddcup: Callable[..., Any], tmp_path: Path
) -> None:
    engine = open_engine(sqlite_url(tmp_path))
    upgrade(engine)
    with engine.begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    engine.dispose()
    ran = oddcup("export", "X", "--data-dir", tmp_path)
    assert (ran.code, ran.err.count("\n")) == (1, 1)
    assert "9999" in ran.err


@pytest.mark.parametrize(
    "address",
    [
        "postgresql://nobody@127.0.0.1:1/none",
        "not an address",
        "drawer://tea",
    ],
)
def test_a_database_out_of_reach_is_one_line(
    oddcup: Callable[..., Any], monkeypatch: pytest.MonkeyPatch, address: str
) -> None:
    monkeypatch.setenv(ADDRESS, address)
    ran = oddcup("export", "X")
    assert (ran.code, ran.out, ran.err.count("\n")) == (1, "", 1)
    assert ran.err.startswith("oddcup: cannot open the database: ")


def test_a_missing_driver_is_named_with_what_to_install(
    oddcup: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "psycopg", None)
    monkeypatch.setenv(ADDRESS, "postgresql://tea@127.0.0.1:1/none")
    ran = oddcup("export", "X")
    assert (ran.code, ran.err.count("\n")) == (1, 1)
    assert "oddcup[postgres]" in ran.err


def test_a_postgresql_database_is_named_by_the_environment(
    oddcup: Callable[..., Any],
    monkeypatch: pytest.MonkeyPatch,
    document: Path,
    blank_url: str,
    play: Any,
) -> None:
    monkeypatch.setenv(ADDRESS, blank_url)
    assert oddcup("import", document).out == f"{play.made.id}\n"
    assert oddcup("import", document).err == "oddcup: This tasting is here already.\n"
