"""A tasting played through its use cases, and a picture of everything that is stored."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

import pytest
from sqlmodel import SQLModel, select

from server.tastings.bench import Bench
from server.tastings.drafts import create_draft
from server.tastings.planning import PlanInput
from server.tastings.progress import LedTasting, find_led
from tests.playing import Play
from tests.playing_alone import PlayAlone


@pytest.fixture
def play(bench: Bench, sealed_tasting: Any) -> Play:
    """The sealed tasting of 6 assessors, 3 rounds and 1 spare seat, to be played."""
    return Play(bench, sealed_tasting)


@pytest.fixture
def small(bench: Bench, make_tasting: Callable[..., Any]) -> Play:
    """Two assessors, one round, two spare seats."""
    return Play(bench, make_tasting(assessors="2", rounds="1", spare_seats="2"))


@pytest.fixture
def make_draft(bench: Bench, account: Any, plan_input: Callable[..., PlanInput]) -> Any:
    """Store a plan that is not sealed yet; any field can be changed."""
    return lambda **changed: create_draft(bench, account.id, plan_input(**changed))


@pytest.fixture
def draft(make_draft: Callable[[], UUID]) -> UUID:
    """A plan that is not sealed yet."""
    return make_draft()


@pytest.fixture
def led(bench: Bench, account: Any) -> Callable[[Play], LedTasting]:
    """Look up a tasting as its leader sees it."""

    def look_up(play: Play) -> LedTasting:
        found = find_led(bench, account.id, play.made.id)
        assert found
        return found

    return look_up


@pytest.fixture
def stored(bench: Bench) -> Callable[[], dict[str, list[Any]]]:
    """Return every row of every table."""

    def take() -> dict[str, list[Any]]:
        with bench.reading() as db:
            tables = SQLModel.metadata.sorted_tables
            return {one.name: sorted(map(repr, db.exec(select(one)).all())) for one in tables}

    return take


@pytest.fixture
def alone(bench: Bench, make_tasting: Callable[..., Any]) -> PlayAlone:
    """One person who pours and tastes: two sittings of three triads."""
    return PlayAlone(bench, make_tasting(pourer="alone", sittings="2", pots="usual"))
