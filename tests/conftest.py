"""Shared surroundings: a bench on a throwaway database, sealed tastings, small browsers.

The cast is invented: a tea bar asks whether a fresh water-filter cartridge changes its tea.
"""

from __future__ import annotations

import asyncio
import os
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, Any, Self

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as in server/__main__.py

import pytest

from tests.snapshots import copy_database

if TYPE_CHECKING:  # each fixture loads what it uses: the pure packages need no web, no database
    from collections.abc import Callable, Iterator
    from uuid import UUID

    import httpx
    from fastapi import FastAPI
    from sqlalchemy import Engine

    from server.blinding.sealed import PlannedServing, SealedTasting
    from server.storage import tables
    from server.tastings.bench import Bench
    from server.tastings.planning import PlanInput

pytest_plugins = ["tests.postgres"]

HOME = "http://bench.test"
PASSWORD = "twelve warm cups"
PLAN = {
    "question": "Does the fresh cartridge change our green tea?",
    "sample_a": "flushed cartridge",
    "sample_b": "fresh cartridge",
    "difference": "age of the water-filter cartridge",
    "pourer": "absent",
    "assessors": "6",
    "size_percent": "50",
    "rounds": "3",
    "spare_seats": "1",
    "swallow": "on",
}


@dataclass
class StoppedClock:
    """A clock that stands still until it is told to go on."""

    now: datetime = datetime(2031, 5, 14, 9, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now

    def advance(self, **amount: float) -> None:
        """Go on by so many ``minutes``, ``days`` …"""
        self.now += timedelta(**amount)


@dataclass(frozen=True)
class Made:
    """A sealed tasting with all its links, and the key that nobody should see."""

    id: UUID
    code: str
    seal: str
    sealed: SealedTasting
    tokens: dict[int, str]
    pourer: str

    def servings(self, seat: int) -> list[PlannedServing]:
        """Servings of a seat, first round first."""
        mine = (one for one in self.sealed.servings if one.seat == seat)
        return sorted(mine, key=lambda one: one.round)

    def odd(self, serving: PlannedServing) -> str:
        """Code of the odd cup."""
        order = self.sealed.order(serving)
        return next(
            code for code, level in zip(serving.codes, order, strict=True) if order.count(level) < 2
        )


@dataclass
class Browser:
    """Talks to an application in memory: keeps cookies, says where its forms come from.

    ``get`` and ``post`` take what `httpx` takes and follow no redirect; ``script=True``
    asks as htmx does, for a fragment.
    """

    app: FastAPI
    _runner: asyncio.Runner = field(default_factory=asyncio.Runner)

    def __post_init__(self) -> None:
        import httpx

        transport = httpx.ASGITransport(self.app)
        self._http = httpx.AsyncClient(transport=transport, base_url=HOME)

    @property
    def cookies(self) -> httpx.Cookies:
        """The cookie jar."""
        return self._http.cookies

    def get(self, url: str, **options: Any) -> httpx.Response:
        """Open a page."""
        return self._send("GET", url, {}, options)

    def post(self, url: str, data: Any = None, **options: Any) -> httpx.Response:
        """Send a form from a page of the same site."""
        return self._send("POST", url, {"Origin": HOME}, {"data": data} | options)

    def _send(
        self, method: str, url: str, headers: dict[str, str], options: dict[str, Any]
    ) -> httpx.Response:
        if options.pop("script", False):
            headers["HX-Request"] = "true"
        options["headers"] = headers | dict(options.get("headers", {}))
        return self._runner.run(self._http.request(method, url, **options))

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._runner.run(self._http.aclose())
        self._runner.close()


SLOW_FIRST = ("tests/test_", "tests/browser/", "tests/durability/")  # of the whole project, mostly


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with the files of minutes: the last file of a run keeps one worker alone."""
    items.sort(key=lambda item: not item.nodeid.startswith(SLOW_FIRST))


@pytest.fixture(scope="session")
def empty_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An up-to-date SQLite file without rows, to be copied."""
    from server.storage.engine import open_engine, sqlite_url
    from server.storage.migrate import upgrade

    folder = tmp_path_factory.mktemp("empty")
    engine = open_engine(sqlite_url(folder))
    upgrade(engine)
    engine.dispose()
    return folder / "oddcup.sqlite3"


@pytest.fixture
def clock() -> StoppedClock:
    """The bench's clock; set ``clock.now`` or ``clock.advance(minutes=5)``."""
    return StoppedClock()


@pytest.fixture(scope="session")
def kept_engine(tmp_path_factory: pytest.TempPathFactory, empty_database: Path) -> Iterator[Engine]:
    """One engine for all tests; its file is put back before each of them."""
    from server.storage.engine import open_engine, sqlite_url

    folder = tmp_path_factory.mktemp("kept")
    copy_database(empty_database, folder / empty_database.name)
    engine = open_engine(sqlite_url(folder))
    yield engine
    engine.dispose()


@pytest.fixture
def bench(kept_engine: Engine, empty_database: Path, clock: StoppedClock) -> Bench:
    """An empty bench, with seeded chance."""
    from server.tastings.bench import Bench

    copy_database(empty_database, Path(str(kept_engine.url.database)))
    return Bench(kept_engine, Random(20310514), clock)


@pytest.fixture
def plan_form() -> Callable[..., dict[str, str]]:
    """Build the leader's form; any field can be changed."""
    return lambda **changed: PLAN | changed


@pytest.fixture
def plan_input(plan_form: Callable[..., dict[str, str]]) -> Callable[..., PlanInput]:
    """Build a checked plan; any field can be changed."""
    from server.tastings.planning import read_plan

    return lambda **changed: read_plan(plan_form(**changed))


@pytest.fixture
def account(bench: Bench) -> tables.Account:
    """A leader who has not chosen a password yet."""
    from server.tastings import accounts

    found = accounts.find_link(bench, accounts.issue_link(bench))
    assert found
    return found


@pytest.fixture
def make_tasting(
    bench: Bench, account: tables.Account, plan_input: Callable[..., PlanInput]
) -> Callable[..., Made]:
    """Draft and seal a tasting led by ``account``; any field of the plan can be changed."""
    from server.tastings.drafts import create_draft
    from server.tastings.sealing import seal_tasting

    def make(**changed: str) -> Made:
        tasting_id = create_draft(bench, account.id, plan_input(**changed))
        return look_up(bench, tasting_id, seal_tasting(bench, tasting_id))

    return make


def look_up(bench: Bench, tasting_id: UUID, seal: str) -> Made:
    from sqlmodel import select

    from server.blinding.seal import read_sealed
    from server.storage import key, queries, tables

    with bench.reading() as db:
        tasting = db.get_one(tables.Tasting, tasting_id)
        text = key.read_sealed_text(db, tasting_id)
        assert text
        links = select(tables.PourerLink.token).where(tables.PourerLink.tasting_id == tasting_id)
        return Made(
            tasting_id,
            tasting.join_code,
            seal,
            read_sealed(text),
            {seat.number: seat.token for seat in queries.list_seats(db, tasting_id)},
            db.exec(links).one(),
        )


@pytest.fixture
def sealed_tasting(make_tasting: Callable[..., Made]) -> Made:
    """A sealed tasting: 6 assessors, 3 rounds, 1 spare seat."""
    return make_tasting()


@pytest.fixture
def make_table(bench: Bench, account: tables.Account) -> Callable[..., Made]:
    """Draft and seal a scored table led by ``account``; any field of its form can be changed."""
    from server.tastings.sealing import seal_tasting
    from tests.table_forms import draft_table

    def make(**changed: str) -> Made:
        tasting_id = draft_table(bench, account.id, **changed)
        return look_up(bench, tasting_id, seal_tasting(bench, tasting_id))

    return make


@pytest.fixture
def make_series(bench: Bench, account: tables.Account) -> Callable[..., Made]:
    """Draft and seal a rising series led by ``account``; any field of its form can be changed."""
    from server.tastings.sealing import seal_tasting
    from tests.series_forms import draft_series

    def make(**changed: str) -> Made:
        tasting_id = draft_series(bench, account.id, **changed)
        return look_up(bench, tasting_id, seal_tasting(bench, tasting_id))

    return make


@pytest.fixture
def app(bench: Bench) -> FastAPI:
    """The whole application on this test's bench."""
    from server.app import create_app
    from server.settings import Settings

    return create_app(Settings(database_url="none: the bench has one"), bench)


@pytest.fixture
def open_browser(app: FastAPI) -> Iterator[Callable[[], Browser]]:
    """Open one more device; all are closed at the end."""
    opened: list[Browser] = []

    def open_one() -> Browser:
        opened.append(Browser(app).__enter__())
        return opened[-1]

    yield open_one
    for one in opened:
        one.__exit__()


@pytest.fixture
def client(open_browser: Callable[[], Browser]) -> Browser:
    """The device of somebody who is not signed in."""
    return open_browser()


@pytest.fixture
def leader(bench: Bench, account: tables.Account, open_browser: Callable[[], Browser]) -> Browser:
    """The device of a leader who has signed in with name and password."""
    from server.tastings import accounts

    accounts.set_password(bench, accounts.issue_link(bench, account.name), PASSWORD)
    device = open_browser()
    answer = device.post("/sign-in", {"name": account.name, "password": PASSWORD})
    assert answer.status_code == 303, answer.text
    return device
