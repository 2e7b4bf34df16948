"""The blindness contract of whoever leads a scored table: their pages know nothing of the key.

Two worlds share every draw, every code and every request, and only the key differs. Every
route of the router is opened when the table is sealed, while it tastes, once it is closed, and
after an early look at the key; what may differ is in one list, with the reason. An entry that
does not differ any more is refused as well, so that the list never excuses more than it must.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from pathlib import Path
from random import Random
from typing import Any

import pytest
from argon2 import PasswordHasher

from server.app import create_app
from server.blinding.sealed import SealedTasting
from server.blinding.table import draw_table
from server.settings import Settings
from server.sheets.sheet import Sheet
from server.storage.engine import open_engine, sqlite_url
from server.tastings import accounts, exporting, sealing
from server.tastings.bench import Bench
from server.tastings.clocking import Pace, read_clock
from tests.conftest import PASSWORD, Browser, StoppedClock
from tests.scored_seats import EVERY_KIND, ScoredTable, seal_table
from tests.snapshots import copy_database
from tests.test_blindness import OF_THE_BENCH, World, fill_in, keep, list_routes, note
from tests.test_blindness_scoring import STYLES, Permute, turn_samples

WHOEVER_POURS = {
    "GET /pour/{token}": "tells which code is filled from which pot",
    "GET /pour/{token}/paper/fill": "tells the same on paper",
    "POST /pour/{token}/poured": "answers with the round",
    "POST /pour/{token}/served": "answers with the round",
    "POST /pour/{token}/settled": "answers with the round",
    "POST /pour/{token}/void": "answers with the round, and what is missing",
    "POST /pour/{token}/brews": "answers with the round, and what is missing",
    "POST /pour/{token}/release": "answers with the round, and what is missing",
}
AFTER_A_LOOK = {"GET /tastings/{tasting_id}/key": "shows the key to whoever has signed for it"}
NOT_POSTED = {"/sign-out": "the leader would see nothing more"}

Walk = dict[tuple[str, str], str]
"""Route and address to all that its receiver can tell."""


@pytest.fixture(scope="module")
def build(
    tmp_path_factory: pytest.TempPathFactory, empty_database: Path
) -> Iterator[Callable[..., tuple[World, ScoredTable]]]:
    """Build a world with a scored table whose key went through ``permute``, led by a device."""
    with ExitStack() as stack:
        monkeypatch = stack.enter_context(pytest.MonkeyPatch.context())
        cheap = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
        monkeypatch.setattr(accounts, "_hasher", lambda: cheap)

        def build_one(
            permute: Permute, asked: Sheet = EVERY_KIND, **plan: Any
        ) -> tuple[World, ScoredTable]:
            def draw_permuted(*given: Any) -> SealedTasting:
                sealed = draw_table(*given)
                return sealed.model_copy(update={"key": permute(sealed)})

            monkeypatch.setattr(sealing, "draw_table", draw_permuted)
            url = sqlite_url(folder := tmp_path_factory.mktemp("world"))
            copy_database(empty_database, folder / empty_database.name)
            bench = Bench(open_engine(url), Random(7), StoppedClock())
            stack.callback(bench.engine.dispose)
            account = accounts.set_password(bench, accounts.issue_link(bench), PASSWORD)
            table = seal_table(bench, account.id, asked, assessors=3, **plan)
            app = create_app(Settings("none: the bench has one"), bench)

            def open_device() -> Browser:
                return stack.enter_context(Browser(app))

            leader = open_device()
            leader.post("/sign-in", {"name": account.name, "password": PASSWORD})
            world = World(
                app, bench, table.sealed, open_device, leader, table.tokens,
                table.pourer, table.code,
            )  # fmt: skip
            return world, table

        yield build_one


def walk(world: World, *, posting: bool = False) -> Walk:
    """Open every route as the leader; if ``posting``, send a form that ends nothing too."""
    idle = {"round": "2", "slot": "A1", "done": "1", "serving": str(world.servings(3)[-1].id)}
    known: dict[str, Sequence[str]] = {
        "tasting_id": (str(world.tasting),),
        "serving_id": (str(world.servings(1)[-1].id),),
        "code": (world.code,),
        "kind": ("seat", "pour"),
        "number": ("1",),
        "name": ("profile-light",),
        "path": ("oddcup.css",),
        "sitting": ("1",),
        "digest": ("0" * 64,),
        "sheet_id": ("0" * 8 + "-0000-0000-0000-" + "0" * 12,),
        **OF_THE_BENCH,
    }
    seen: Walk = {}
    for method, path in list_routes(world.app):
        mine = known | {"token": (world.pourer if "/pour/" in path else world.tokens[1],)}
        for address in fill_in(path, mine):
            if method == "GET":
                answer = world.leader.get(address, params=idle)
            elif posting and path not in NOT_POSTED:
                answer = world.leader.post(address, idle, script=True)
            else:
                continue
            seen[f"{method} {path}", address] = note(world, answer)
    return seen


def play(world: World, table: ScoredTable) -> dict[str, Walk]:
    """Lead a table to its closing, and look at everything on the way."""
    seen = {"sealed": walk(world)}
    prepare(world, table)
    lock(world, table, 1)
    world.devices().post(f"/seat/{table.tokens[2]}/start")
    seen["serving"] = walk(world, posting=True)
    for seat in (2, 3):
        lock(world, table, seat)
    say(world, "/discussion", discussion="The second one was papery.", discussion_who="the table")
    say(world, "/close", pourer="absent", reason="")
    seen["closed"] = walk(world)
    say(world, "/key", who="away", reason="a kettle broke")
    seen["looked"] = walk(world)
    return seen


def say(world: World, path: str, **form: str) -> None:
    """Send a form that the table must take."""
    answer = world.leader.post(f"/tastings/{world.tasting}{path}", form)
    assert answer.status_code == 303, answer.text


def prepare(world: World, table: ScoredTable) -> None:
    """Note every pot, tell the clock of every pour, and cool the table down."""
    for at, slot in enumerate(table.sealed.slots):
        reading = {"tds": f"1.3{at % 10}", "temperature_c": f"6{at % 5}"}
        say(world, "/brews", slot=slot.name, **reading)
    for bowl in read_clock(world.bench, table.id, world.layout, 1, Pace()).bowls:
        say(world, "/clock", step="poured", bowl=bowl.label)
    say(world, "/clock", celsius="63")


def lock(world: World, table: ScoredTable, seat: int) -> None:
    """Confirm the codes of a seat, and lock all it is asked for."""
    device, home = world.devices(), f"/seat/{table.tokens[seat]}"
    device.post(f"{home}/start")
    device.post(f"{home}/words", {"word-1": "wet hay"})
    for serving in table.servings(seat):
        it = {"serving": str(serving.id)}
        device.post(f"{home}/codes", it | {"verdict": "yes"})
        form = table.fill(seat) if len(serving.cups) > 1 else it
        answer = device.post(f"{home}/answer", form | {"client_key": f"{serving.round}"})
        assert answer.status_code == 303, answer.text


@pytest.fixture(scope="module", params=STYLES)
def played(
    request: pytest.FixtureRequest, build: Callable[..., tuple[World, ScoredTable]]
) -> list[tuple[World, dict[str, Walk]]]:
    """Two worlds that differ in the key alone, and what their leaders saw."""
    style: dict[str, Any] = STYLES[request.param]
    worlds = [build(permute, **style) for permute in (keep, turn_samples)]
    (_, one), (_, other) = worlds
    assert one.sealed.key.keys() == other.sealed.key.keys()
    assert one.sealed.key != other.sealed.key
    return [(world, play(world, table)) for world, table in worlds]


def find_differing(played: list[tuple[World, dict[str, Walk]]], moment: str) -> set[str]:
    """Return the routes that tell one world from the other."""
    one, other = (seen[moment] for _, seen in played)
    assert one.keys() == other.keys()
    return {route for (route, address), text in one.items() if other[route, address] != text}


@pytest.mark.parametrize("moment", ["sealed", "closed"])
def test_nothing_a_leader_opens_depends_on_the_key_but_what_whoever_pours_reads(
    played: list[tuple[World, dict[str, Walk]]], moment: str
) -> None:
    reads = {route for route in WHOEVER_POURS if route.startswith("GET")}
    assert find_differing(played, moment) == reads


def test_nothing_a_leader_opens_or_sends_while_a_table_tastes_depends_on_the_key(
    played: list[tuple[World, dict[str, Walk]]],
) -> None:
    assert find_differing(played, "serving") == WHOEVER_POURS.keys()


def test_an_early_look_opens_the_key_page_and_nothing_else(
    played: list[tuple[World, dict[str, Walk]]],
) -> None:
    reads = {route for route in WHOEVER_POURS if route.startswith("GET")}
    assert find_differing(played, "looked") == reads | AFTER_A_LOOK.keys()


def test_an_export_of_a_table_before_unsealing_says_nothing_of_the_key(
    played: list[tuple[World, dict[str, Walk]]],
) -> None:
    texts = []
    for world, _ in played:
        document = exporting.export_tasting(world.bench, world.tasting).document.decode()
        assert document.count('"discussed"') == 1
        texts.append(re.sub(r'"checksum":"\w+"', "", world.mask(document)))
    assert texts[0] == texts[1]


def test_the_walk_sees_the_pages_of_a_table_at_work(
    played: list[tuple[World, dict[str, Walk]]],
) -> None:
    """A contract over refusals alone would hold for anything."""
    world, seen = played[0]
    home = "/tastings/{tasting_id}"
    found = {
        (moment, page): text
        for moment in seen
        for (route, _), text in seen[moment].items()
        for page in ("", "/clock", "/brews", "/paper/scores", "/links", "/progress")
        if route == f"GET {home}{page}"
    }
    refused = {place for place, text in found.items() if " 200" not in text.partition("\n")[0]}
    assert len(found) == 6 * len(seen)
    assert refused == set()
    assert "The table talks" in found["closed", ""]
    assert "was papery" in found["closed", ""]
    assert all(str(world.tasting) in found["serving", page] for page in ("", "/clock", "/brews"))
