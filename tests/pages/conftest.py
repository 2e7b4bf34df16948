"""Leaders, pourers and a played tasting behind the pages; a count of what a page asks for."""

from collections.abc import Callable, Iterator
from typing import Any
from uuid import UUID

import pytest
from fastapi import FastAPI
from sqlalchemy import Engine, event

from server.app import create_app
from server.pages.deps import COOKIE, get_signer
from server.settings import Settings
from server.storage.tables import Account
from server.tastings import accounts
from server.tastings.bench import Bench
from server.tastings.drafts import create_draft
from server.tastings.planning import PlanInput
from tests.playing import Play
from tests.playing_alone import PlayAlone


@pytest.fixture(scope="session")
def kept_app(kept_engine: Engine) -> FastAPI:
    """One application for all tests of this folder: building its routes takes a while."""
    return create_app(Settings("none: the bench has one"), Bench(kept_engine))


@pytest.fixture
def app(kept_app: FastAPI, bench: Bench) -> FastAPI:
    """The application on this test's bench."""
    kept_app.state.bench, kept_app.state.base_url = bench, None
    return kept_app


@pytest.fixture
def sign_in(bench: Bench, open_browser: Callable[[], Any]) -> Callable[[Account], Any]:
    """Open a device on which somebody has signed in already."""

    def open_signed_in(account: Account) -> Any:
        device = open_browser()
        cookie = get_signer(bench).dumps([str(account.id), accounts.fingerprint(account)])
        device.cookies.set(COOKIE, str(cookie), domain="bench.test")
        return device

    return open_signed_in


@pytest.fixture
def leader(account: Account, sign_in: Callable[[Account], Any]) -> Any:
    """The leader's device; how one signs in by password has tests of its own."""
    return sign_in(account)


@pytest.fixture
def stranger(bench: Bench, sign_in: Callable[[Account], Any]) -> Any:
    """The device of another leader."""
    account = accounts.find_link(bench, accounts.issue_link(bench, "somebody else"))
    assert account
    return sign_in(account)


@pytest.fixture
def play(bench: Bench, sealed_tasting: Any) -> Play:
    """The sealed tasting of 6 assessors, 3 rounds and 1 spare seat, to be played."""
    return Play(bench, sealed_tasting)


@pytest.fixture
def alone(bench: Bench, make_tasting: Any) -> PlayAlone:
    """One person who pours and tastes: two sittings of three triads."""
    return PlayAlone(bench, make_tasting(pourer="alone", sittings="2", pots="usual"))


@pytest.fixture
def home(play: Play) -> str:
    """Address of the sealed tasting as its leader sees it."""
    return f"/tastings/{play.made.id}"


@pytest.fixture
def draft(bench: Bench, account: Account, plan_input: Callable[..., PlanInput]) -> UUID:
    """A plan that is not sealed yet."""
    return create_draft(bench, account.id, plan_input())


@pytest.fixture
def count_queries(bench: Bench) -> Iterator[Callable[[Callable[[], object]], int]]:
    """Count the statements that reach the database while something is done."""
    seen: list[str] = []

    def note(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        seen.append(statement)

    def count(act: Callable[[], object]) -> int:
        seen.clear()
        act()
        return len(seen)

    event.listen(bench.engine, "before_cursor_execute", note)
    yield count
    event.remove(bench.engine, "before_cursor_execute", note)
