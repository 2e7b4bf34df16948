"""The blindness contract of a rising series: the step is known to all, the place to nobody.

Two worlds share every draw, every code and every request; only where the cup with more
stands differs between them.
"""

from collections.abc import Callable
from random import Random
from typing import Any

import pytest

from server.blinding.sealed import SealedTasting
from server.blinding.series import draw_series, draw_series_key
from server.methods.ascending import ASCENDING
from server.tastings import drafts, planning, sealing
from server.tastings.series_planning import read_series_plan
from tests import brewing_bench, test_blindness
from tests.series_forms import series_form
from tests.test_blindness import Key, World, find_differences, keep, read_board
from tests.test_blindness_methods import read_key, taste

build = test_blindness.build

SMALL = {"assessors": "3", "steps": "0.5 1 2"}
Build = Callable[..., World]


def deal_again(sealed: SealedTasting) -> Key:
    """A fresh key for the same layout."""
    return draw_series_key(sealed, ASCENDING.orders, Random(99))


def move_first_cup(sealed: SealedTasting) -> Key:
    """The first cup of all changes places with one of the other kind."""
    first, *others = (cup.id for cup in sealed.servings[0].cups)
    other = next(cup for cup in others if sealed.key[cup] != sealed.key[first])
    return sealed.key | {first: sealed.key[other], other: sealed.key[first]}


@pytest.fixture
def build_series(build: Build, monkeypatch: pytest.MonkeyPatch) -> Build:
    """Build a world of a series, from which everything else is as in any other world."""

    def build_one(permute: Any, leak: Any = None, **changed: str) -> World:
        planned = read_series_plan(series_form(**SMALL | changed))

        def draft(bench: Any, account_id: Any, _: Any) -> Any:
            return keep_draft(bench, account_id, planned.plan, planned.labels)

        def draw(*given: Any) -> SealedTasting:
            sealed = draw_series(*given)
            return sealed.model_copy(update={"key": permute(sealed)})

        monkeypatch.setattr(brewing_bench, "create_draft", draft)
        monkeypatch.setattr(planning, "read_plan", lambda _: None)
        monkeypatch.setattr(sealing, "draw_series", draw)
        return build(permute, leak)

    keep_draft = drafts.keep_draft
    return build_one


@pytest.mark.parametrize("attribute", ["", "sweet"])
def test_nothing_at_a_seat_depends_on_where_the_cup_with_more_stands(
    build_series: Build, attribute: str
) -> None:
    one, other = (build_series(how, attribute=attribute) for how in (keep, deal_again))
    assert read_key(one) != read_key(other)
    seen = taste(one, 1)
    assert find_differences(seen, taste(other, 1)) == []
    walked = "".join(seen)
    assert ("has the most sweet?" if attribute else "Which is the odd cup?") in walked
    assert "Thank you, that was all" in walked
    assert "rock sugar" not in walked
    assert "g/L" not in walked


def test_nothing_a_leader_reads_before_unsealing_depends_on_it(build_series: Build) -> None:
    one, other = (build_series(how) for how in (keep, deal_again))
    for world in (one, other):
        taste(world, 1)
    assert find_differences(read_board(one), read_board(other)) == []


def test_a_page_that_knows_a_cup_breaks_this_contract(build_series: Build) -> None:
    leak = test_blindness._leak_by_header
    worlds = [build_series(how, leak) for how in (keep, move_first_cup)]
    assert find_differences(*(taste(world, 1) for world in worlds))
