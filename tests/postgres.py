"""A throwaway PostgreSQL for the tests: one cluster a run, one fresh database a test."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import count
from pathlib import Path

import pytest

SETTINGS = "-c listen_addresses='' -c fsync=off -c synchronous_commit=off -c full_page_writes=off"
TEMPLATE = "oddcup_template"
numbers = count(1)


@dataclass(frozen=True)
class Cluster:
    """A running server that only this folder's socket reaches."""

    binaries: Path
    folder: Path

    def url(self, database: str) -> str:
        """Return the address of a database."""
        return f"postgresql://postgres@/{database}?host={self.folder}"

    def tell(self, statement: str) -> None:
        """Run a statement that stands outside every transaction."""
        import psycopg

        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(statement.encode())

    def run(self, program: str, *arguments: str) -> None:
        """Run one of the server's programs, as an ordinary user: it refuses root."""
        command = [str(self.binaries / program), *arguments]
        if os.getuid() == 0:
            command = ["runuser", "-u", find_user(), "--", *command]
        done = subprocess.run(
            command,
            cwd=self.folder,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            check=False,
        )
        assert done.returncode == 0, done.stderr.decode()


def find_binaries() -> Path | None:
    """Return the folder of the newest PostgreSQL server on this machine."""
    installed = Path("/usr/lib/postgresql").glob("*/bin/initdb")
    newest = max(installed, key=lambda path: int(path.parts[-3]), default=None)
    found = newest or shutil.which("initdb")
    return Path(found).resolve().parent if found else None


def find_user() -> str:
    """Return whom to run as in place of root."""
    known = {user.pw_name for user in pwd.getpwall()}
    return "postgres" if "postgres" in known else "nobody"


@pytest.fixture(scope="session")
def postgres() -> Iterator[Cluster]:
    """A running cluster with an up-to-date template database."""
    binaries = find_binaries()
    if binaries is None:
        pytest.skip("no PostgreSQL server on this machine")
    folder = Path(tempfile.mkdtemp(prefix="oddcup-pg-"))
    if os.getuid() == 0:
        shutil.chown(folder, find_user())
    cluster, data = Cluster(binaries, folder), str(folder / "data")
    try:
        start = ["-A", "trust", "-U", "postgres", "-E", "UTF8", "--locale=C", "--no-sync"]
        cluster.run("initdb", "-D", data, *start)
        options = f"{SETTINGS} -c unix_socket_directories={folder}"
        cluster.run("pg_ctl", "-D", data, "-l", str(folder / "log"), "-o", options, "-w", "start")
        try:
            _prepare_template(cluster)
            yield cluster
        finally:
            cluster.run("pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _prepare_template(cluster: Cluster) -> None:
    from server.storage.engine import open_engine
    from server.storage.migrate import upgrade

    cluster.tell(f"CREATE DATABASE {TEMPLATE}")
    engine = open_engine(cluster.url(TEMPLATE))
    upgrade(engine)
    engine.dispose()


@contextmanager
def make_database(request: pytest.FixtureRequest, template: str) -> Iterator[str]:
    """Make a PostgreSQL database like another one; its address is good until it is dropped."""
    cluster, name = request.getfixturevalue("postgres"), f"oddcup_{next(numbers)}"
    cluster.tell(f"CREATE DATABASE {name} TEMPLATE {template}")
    yield cluster.url(name)
    cluster.tell(f"DROP DATABASE {name} WITH (FORCE)")


@contextmanager
def copy_database(
    request: pytest.FixtureRequest, folder: Path, empty_database: Path
) -> Iterator[str]:
    """Make an up-to-date database of the kind that the parameter names."""
    if request.param == "postgresql":
        with make_database(request, TEMPLATE) as url:
            yield url
    else:
        yield f"sqlite:///{shutil.copy(empty_database, folder / 'both.sqlite3')}"


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(
    request: pytest.FixtureRequest, tmp_path: Path, empty_database: Path
) -> Iterator[str]:
    """The address of an up-to-date database without rows, on each kind in turn."""
    with copy_database(request, tmp_path, empty_database) as url:
        yield url


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def kept_database_url(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory, empty_database: Path
) -> Iterator[str]:
    """The same, kept for all tests of a module."""
    with copy_database(request, tmp_path_factory.mktemp("kept"), empty_database) as url:
        yield url


@pytest.fixture(params=["sqlite", "postgresql"])
def blank_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The address of a database that no migration has seen, on each kind in turn."""
    if request.param == "postgresql":
        with make_database(request, "template1") as url:
            yield url
    else:
        yield f"sqlite:///{tmp_path / 'blank.sqlite3'}"
