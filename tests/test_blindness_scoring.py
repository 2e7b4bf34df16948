"""The blindness contract at a scored table: no byte at a seat depends on the key.

As in `tests.test_blindness`: two worlds share every draw, every code and every request, and
only the key differs. Here seats score their own cups, or the same bowls.
"""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from itertools import chain
from random import Random
from typing import Any

import pytest

from server.app import create_app
from server.blinding.sealed import SealedTasting
from server.blinding.table import draw_table
from server.settings import Settings
from server.sheets.sheet import Sheet
from server.sheets.starters import get_starter
from server.storage.engine import open_engine, sqlite_url
from server.storage.migrate import upgrade
from server.tastings import accounts, closing, sealing
from server.tastings.bench import Bench
from tests.conftest import Browser, StoppedClock
from tests.scored_seats import EVERY_KIND, ScoredTable, seal_table, write_paper
from tests.test_blindness import (
    Key,
    World,
    fill_in,
    find_differences,
    keep,
    list_routes,
    note,
)

Permute = Callable[[SealedTasting], Key]
STYLES = {
    "own cups": {"bowls": 2, "warm_up": "A", "calibration": "house filter"},
    "shared bowls": {"style": "shared", "bowls": 2, "scattered": True},
    "difference from control": {
        **{"asked": get_starter("difference-from-control").sheet, "primary": "difference"},
        **{"serves": "difference-from-control", "reference": "A", "warm_up": "A"},
    },
    "ranking": {
        **{"asked": get_starter("ranking").sheet, "primary": "order"},
        **{"serves": "ranking", "order": tuple("BADC")},
    },
}


def turn_samples(sealed: SealedTasting) -> Key:
    """Every batch becomes the next one, round by round; a warm-up cup stays what it is."""
    turned: dict[str, str] = {}
    for round_ in {slot.round for slot in sealed.slots}:
        slots = [slot for slot in sealed.slots if slot.round == round_]
        batches = sorted({slot.sample for slot in slots})
        brews = [[slot.name for slot in slots if slot.sample == batch] for batch in batches]
        turned |= dict(zip(list(chain(*brews)), list(chain(*brews[1:], brews[0])), strict=True))
    return {cup: turned[slot] for cup, slot in sealed.key.items()}


@pytest.fixture
def build(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[..., Any]]:
    """Build a world with a scored table whose key went through ``permute``."""
    with ExitStack() as stack:
        monkeypatch = stack.enter_context(pytest.MonkeyPatch.context())

        def build_one(
            permute: Permute, asked: Sheet = EVERY_KIND, **plan: Any
        ) -> tuple[World, ScoredTable]:
            def draw_permuted(*given: Any) -> SealedTasting:
                sealed = draw_table(*given)
                return sealed.model_copy(update={"key": permute(sealed)})

            monkeypatch.setattr(sealing, "draw_table", draw_permuted)
            url = sqlite_url(tmp_path_factory.mktemp("world"))
            bench = Bench(open_engine(url), Random(7), StoppedClock())
            upgrade(bench.engine)
            stack.callback(bench.engine.dispose)
            account = accounts.find_link(bench, accounts.issue_link(bench))
            assert account
            table = seal_table(bench, account.id, asked, **plan)
            app = create_app(Settings("none: the bench has one"), bench)

            def open_device() -> Browser:
                return stack.enter_context(Browser(app))

            world = World(
                app, bench, table.sealed, open_device, open_device(), table.tokens,
                table.pourer, table.code,
            )  # fmt: skip
            return world, table

        yield build_one


def play(world: World, table: ScoredTable) -> list[str]:
    """Score at one seat, open everything at another, close, and open everything again."""
    device, home, seen = world.devices(), f"/seat/{table.tokens[1]}", []

    def say(path: str, form: dict[str, str]) -> None:
        for script in (False, True):
            seen.append(note(world, device.post(home + path, form, script=script)))
        seen.append(note(world, device.get(home)))

    say("/start", {})
    say("/words", {"word-1": "wet hay"})
    for at, serving in enumerate(table.servings(1)):
        it = {"serving": str(serving.id)}
        say("/codes", it | {"verdict": "differ"})
        say("/codes", it | {"verdict": "yes"})
        if len(serving.cups) > 1:
            whole = table.fill(1)
            say("/values", dict(list(whole.items())[:9]))
            say("/finish", whole)
            say("/change", it)
            say("/answer", whole | {"client_key": "first"})
        say("/answer", it | {"client_key": f"k{at}"})
    seen += type_in(world, table, 3)
    seen += crawl(world, table, 2)
    closing.close_tasting(world.bench, table.id, "the shop opens", "absent")
    return seen + crawl(world, table, 1) + crawl(world, table, 2)


def type_in(world: World, table: ScoredTable, seat: int) -> list[str]:
    """Type the paper sheet of a seat in: its words, some of it, what cannot be, all, the lock."""
    device, home, seen = world.devices(), f"/seat/{table.tokens[seat]}/paper/1", []

    def say(path: str, form: dict[str, str]) -> None:
        for script in (False, True):
            seen.append(note(world, device.post(home + path, form, script=script)))
        seen.extend(note(world, device.get(home + page)) for page in ("", "/check"))

    say("", {})
    say("/words", {"word-1": "wet hay"})
    whole = write_paper(table, seat)
    say("", dict(list(whole.items())[:9]))
    say("", dict.fromkeys(whole, "740"))
    say("/lock", {})
    say("", whole)
    say("/lock", {"client_key": "k"})
    return seen


def crawl(world: World, table: ScoredTable, seat: int) -> list[str]:
    """Open and post to every route of a seat."""
    known = {"token": (table.tokens[seat],), "code": (table.code,), "sitting": ("1",)}
    serving = table.servings(seat)[-1]
    form = {"serving": str(serving.id), "verdict": "yes", "client_key": "k", "number": "2"}
    form |= {f"v.sweet.{serving.codes[0]}.0.hot": "640", "word-1": "hay", "claim_key": "c"}
    device, seen = world.devices(), []
    for method, path in list_routes(world.app):
        if path.startswith(("/seat/", "/join")):
            for address in fill_in(path, known):
                ask = device.post if method == "POST" else device.get
                answer = ask(address, form) if method == "POST" else ask(address)
                seen.append(note(world, answer))
    return seen


@pytest.mark.parametrize("style", STYLES)
def test_nothing_at_a_scored_table_depends_on_the_key(build, style):
    one, other = build(keep, **STYLES[style]), build(turn_samples, **STYLES[style])
    assert set(one[1].sealed.key) == set(other[1].sealed.key)
    assert one[1].sealed.key != other[1].sealed.key
    seen = play(*one)
    for words in ("Lock your table?", "This table is locked"):
        assert any(words in page for page in seen), f"the walk missed {words!r}"
    assert find_differences(seen, play(*other)) == []
