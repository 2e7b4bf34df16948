"""The blindness contract: no byte that reaches a device depends on what it must not know.

Two worlds share every random draw, every code and every request; only the key differs
(or, for whoever pours, only the answers). Every response must be the same byte for byte,
after masking the seal and the heads of the chain, which are hashes over the key. What is
requested is found from the router, so a new route is under the contract as soon as it exists.
"""

import itertools
import re
import shutil
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random
from typing import Any
from uuid import UUID

import pytest
from argon2 import PasswordHasher
from fastapi import FastAPI, Request, Response
from fastapi.routing import iter_route_contexts
from sqlmodel import select
from starlette.types import ASGIApp, Receive, Scope, Send

from server.app import create_app
from server.blinding import draw
from server.blinding.seal import short, spaced
from server.blinding.sealed import Layout, PlannedServing, SealedTasting
from server.settings import Settings
from server.storage import queries, tables
from server.storage.engine import open_engine, sqlite_url
from server.storage.key import read_key
from server.tastings import accounts, closing, exporting, planning, pouring, sealing
from server.tastings.bench import Bench
from tests.brewing_bench import draft_with_recipe
from tests.conftest import PASSWORD, PLAN, Browser, StoppedClock

Key = dict[UUID, str]
Permute = Callable[[SealedTasting], Key]
Leak = Callable[[ASGIApp, Bench], ASGIApp]

ROUTES_AT_LEAST = 40
OF_THE_BENCH = {
    "slot": ("A1", "B2"),
    "brew_id": (str(UUID(int=4)),),
    "specimen_id": (str(UUID(int=5)),),
    "recipe_id": (str(UUID(int=6)),),
    "line": (str(UUID(int=6)),),
}


# ---- other keys for the same layout --------------------------------------------------


def keep(sealed: SealedTasting) -> Key:
    """The key as drawn."""
    return sealed.key


def exchange_samples(sealed: SealedTasting) -> Key:
    """Every cup of A becomes one of B, and the other way round."""
    return {cup: slot.translate(str.maketrans("AB", "BA")) for cup, slot in sealed.key.items()}


def move_odd_cups(sealed: SealedTasting) -> Key:
    """Within every serving the cups change places under their codes."""
    key: Key = {}
    for serving in sealed.servings:
        cups = [cup.id for cup in serving.cups]
        key |= {cup: sealed.key[cups[at - 1]] for at, cup in enumerate(cups)}
    return key


def deal_again(sealed: SealedTasting) -> Key:
    """A fresh key for the same layout."""
    return draw.draw_key(sealed, ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB"), Random(99))


def deal_later_rounds_again(sealed: SealedTasting) -> Key:
    """Round 1 keeps its key, the others get a fresh one."""
    first = {cup.id for one in sealed.servings if one.round == 1 for cup in one.cups}
    fresh = deal_again(sealed)
    return {cup: sealed.key[cup] if cup in first else fresh[cup] for cup in sealed.key}


OTHER_KEYS = [exchange_samples, move_odd_cups, deal_again]


# ---- a world ---------------------------------------------------------------------------


@dataclass
class World:
    """An application with one sealed tasting, and devices that talk to it."""

    app: FastAPI
    bench: Bench
    layout: Layout
    devices: Callable[[], Browser]
    leader: Browser
    tokens: dict[int, str]
    pourer: str
    code: str

    @property
    def tasting(self) -> UUID:
        return self.layout.tasting

    def servings(self, seat: int) -> list[PlannedServing]:
        mine = [one for one in self.layout.servings if one.seat == seat]
        return sorted(mine, key=lambda one: one.round)

    def mask(self, text: str) -> str:
        """Hide the seal and the chain, in full, in groups of four, short and spaced."""
        with self.bench.reading() as db:
            seal = queries.find_seal_hash(db, self.tasting) or ""
            heads = [event.head for event in queries.load_events(db, self.tasting)]
        for at, secret in enumerate([seal, *heads]):
            grouped = " ".join(re.findall("....", secret))
            for form in (secret, grouped, spaced(secret), short(secret)):
                text = text.replace(form, f"<hash {at}>")
        return text


@pytest.fixture(scope="module")
def build(
    tmp_path_factory: pytest.TempPathFactory, empty_database: Path
) -> Iterator[Callable[..., World]]:
    """Build a world whose key went through ``permute``; all else is the same draw."""
    with ExitStack() as stack:
        monkeypatch = stack.enter_context(pytest.MonkeyPatch.context())
        cheap = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
        monkeypatch.setattr(accounts, "_hasher", lambda: cheap)

        def build_one(permute: Permute = keep, leak: Leak | None = None, **plan: str) -> World:
            def draw_permuted(*args: Any) -> SealedTasting:
                sealed = draw.draw_tasting(*args)
                return sealed.model_copy(update={"key": permute(sealed)})

            monkeypatch.setattr(sealing, "draw_tasting", draw_permuted)
            folder = tmp_path_factory.mktemp("world")
            url = sqlite_url(folder)
            shutil.copy(empty_database, folder)
            bench = Bench(open_engine(url), Random(7), StoppedClock())
            stack.callback(bench.engine.dispose)
            return _furnish(bench, stack, leak, plan)

        yield build_one


def _furnish(bench: Bench, stack: ExitStack, leak: Leak | None, changes: dict[str, str]) -> World:
    token = accounts.issue_link(bench)
    account = accounts.set_password(bench, token, PASSWORD)
    plan = planning.read_plan(PLAN | {"assessors": "3", "rounds": "2"} | changes)
    tasting_id = draft_with_recipe(bench, account.id, plan)
    sealing.seal_tasting(bench, tasting_id)
    app = create_app(Settings(database_url="none: the bench has one"), bench)
    talking: Any = leak(app, bench) if leak else app

    def open_device() -> Browser:
        return stack.enter_context(Browser(talking))

    leader = open_device()
    leader.post("/sign-in", {"name": account.name, "password": PASSWORD})
    with bench.reading() as db:
        tasting = db.get_one(tables.Tasting, tasting_id)
        seats = {seat.number: seat.token for seat in queries.list_seats(db, tasting_id)}
        pourer = db.exec(select(tables.PourerLink.token)).one()
        layout = queries.load_layout(db, tasting)
    return World(app, bench, layout, open_device, leader, seats, pourer, tasting.join_code)


# ---- what a device sees ----------------------------------------------------------------


def note(world: World, answer: Any) -> str:
    """Everything of a response that its receiver can tell."""
    request = answer.request
    headers = sorted(f"{name}: {value}" for name, value in answer.headers.multi_items())
    return world.mask(
        f"{request.method} {request.url} {answer.status_code}\n"
        + "\n".join(headers)
        + f"\n\n{answer.text}"
    )


def list_routes(app: FastAPI) -> list[tuple[str, str]]:
    """List method and path of every route the router knows."""
    found = [
        (method, context.path)
        for context in iter_route_contexts(app.routes)
        for method in sorted(context.methods or ())
        if context.path
    ]
    assert len(found) >= ROUTES_AT_LEAST, "the walk over the router finds too little"
    return found


def fill_in(path: str, known: dict[str, Sequence[str]]) -> Iterator[str]:
    """Fill a path's parameters with everything the device knows."""
    names = re.findall(r"{(\w+)}", path)
    for values in itertools.product(*(known[name] for name in names)):
        address = path
        for name, value in zip(names, values, strict=True):
            address = address.replace("{" + name + "}", value)
        yield address


def crawl(
    world: World,
    device: Browser,
    token: str,
    serving: PlannedServing,
    scripts: Sequence[bool] = (False,),
) -> list[str]:
    """Open and post to every route with what this device knows, and note what comes back."""
    known = {
        "token": (token, "0" * 40),
        "tasting_id": (str(world.tasting),),
        "serving_id": (str(serving.id),),
        "code": (world.code, "NOSUCH"),
        "kind": ("seat", "pour"),
        "number": ("1",),
        "name": ("guessing",),
        "path": ("oddcup.css",),
        "sitting": ("1",),
        "digest": ("0" * 64,),
        "sheet_id": (str(UUID(int=3)),),
        **OF_THE_BENCH,
    }
    form = {
        "serving": str(serving.id), "pick": serving.codes[0], "verdict": "yes", "guess": "on",
        "comment": "papery", "client_key": "k1", "number": "2", "claim_key": "c1",
        "cued": "on", "cue": "foam", "sitting": "1", "seconds": "24", "why": "seen", "sure": "on",
        "code": world.code, "slot": "A1", "done": "1", "round": "1", "reason": "tipped over",
        "tds": "1.30", "name": "leader", "password": "not the password", "choice": "1",
        "tap": "start",
    }  # fmt: skip
    seen = []
    for method, path in list_routes(world.app):
        for address in fill_in(path, known):
            for script in scripts:
                if method == "POST":
                    seen.append(note(world, device.post(address, form, script=script)))
                else:
                    seen.append(note(world, device.get(address, script=script)))
    return seen


def play_as_assessors(world: World) -> list[str]:
    """Play a tasting from the assessors' devices; return all that reaches them."""
    seen: list[str] = []
    for seat in (1, 2):
        seen += _taste(world, world.devices(), seat)
    stranger, first = world.devices(), world.servings(3)[0]
    seen += crawl(world, stranger, world.tokens[3], first, scripts=(False, True))
    closing.close_tasting(world.bench, world.tasting, "the shop opens", "absent")
    seen += crawl(world, stranger, world.tokens[3], world.servings(3)[1])
    return seen


def _taste(world: World, device: Browser, seat: int) -> list[str]:
    """One seat: instructions, a call, both rounds, a second and a different answer."""
    home, seen = f"/seat/{world.tokens[seat]}", []

    def say(path: str, **form: str) -> None:
        for script in (False, True):
            seen.append(note(world, device.post(home + path, form, script=script)))
        seen.append(note(world, device.get(home)))

    say("/start")
    for at, serving in enumerate(world.servings(seat)):
        it = {"serving": str(serving.id)}
        say("/codes", **it, verdict="differ")
        say("/codes", **it, verdict="yes")
        pick = serving.codes[(seat + at) % len(serving.codes)]
        say("/draft", **it, pick=pick, guess="on", comment="like cardboard")
        say("/change", **it)
        say("/draft", **it, pick=pick)
        say("/answer", **it, pick=pick, client_key=f"{seat}.{at}")
        other = serving.codes[(seat + at + 1) % len(serving.codes)]
        say("/answer", **it, pick=other, client_key=f"{seat}.{at}.b")
    return seen


def play_as_pourer(world: World, picks: int, token: str) -> list[str]:
    """Answer everything with some pick, between two crawls from a pourer's device."""
    device, table = world.devices(), world.devices()
    serving = world.servings(3)[0]
    seen = crawl(world, device, token, serving)
    for seat in (1, 2):
        for at, one in enumerate(world.servings(seat)):
            home, it = f"/seat/{world.tokens[seat]}", {"serving": str(one.id)}
            table.post(f"{home}/start")
            table.post(f"{home}/codes", it | {"verdict": "yes"})
            pick = one.codes[(picks * (seat + at)) % 3]
            answer = table.post(f"{home}/answer", it | {"pick": pick, "client_key": f"k{at}"})
            assert answer.status_code == 303
    return seen + crawl(world, device, token, serving)


def play_as_leader(world: World) -> list[str]:
    """Let one seat taste, then open every page a leader has before unsealing."""
    _taste(world, world.devices(), 1)
    return read_board(world)


def read_board(world: World) -> list[str]:
    """Open every page as the leader."""
    known = {
        "token": (world.tokens[1],),
        "tasting_id": (str(world.tasting),),
        "code": (world.code,),
        "kind": ("seat",),
        "number": ("1",),
        "name": ("guessing",),
        "path": ("oddcup.css",),
        "sitting": ("2",),
        "digest": ("0" * 64,),
        "sheet_id": (str(UUID(int=3)),),
        **OF_THE_BENCH,
    }
    addresses = [
        address
        for method, path in list_routes(world.app)
        if method == "GET"
        for address in fill_in(path, known)
    ]
    return [note(world, world.leader.get(address)) for address in addresses]


def find_differences(one: list[str], other: list[str]) -> list[str]:
    """List the requests whose responses differ, by their first line."""
    assert len(one) == len(other) > 0
    return [a.splitlines()[0] for a, b in zip(one, other, strict=True) if a != b]


# ---- the contract ------------------------------------------------------------------------


@pytest.fixture(scope="module")
def seen_by_assessors(build: Callable[..., World]) -> tuple[Key, list[str]]:
    """The key as drawn, and what assessors see with it."""
    world = build(keep)
    return _key(world), play_as_assessors(world)


@pytest.mark.parametrize("permute", OTHER_KEYS)
def test_nothing_an_assessors_device_can_reach_depends_on_the_key(
    build: Callable[..., World], seen_by_assessors: tuple[Key, list[str]], permute: Permute
) -> None:
    other = build(permute)
    assert _key(other) != seen_by_assessors[0]
    assert find_differences(seen_by_assessors[1], play_as_assessors(other)) == []


def test_nothing_a_leader_sees_before_unsealing_depends_on_the_key(
    build: Callable[..., World],
) -> None:
    one, other = build(keep), build(exchange_samples)
    assert find_differences(play_as_leader(one), play_as_leader(other)) == []


def test_nothing_whoever_pours_can_reach_depends_on_an_answer(
    build: Callable[..., World],
) -> None:
    one, other = build(keep), build(keep)
    seen = play_as_pourer(one, 1, one.pourer)
    assert find_differences(seen, play_as_pourer(other, 2, other.pourer)) == []


def test_whoever_pours_round_1_sees_nothing_of_the_key_of_later_rounds(
    build: Callable[..., World],
) -> None:
    one, other = build(keep), build(deal_later_rounds_again)
    assert _key(one) != _key(other)
    seen = [play_as_pourer(world, 1, _limit(world, [1])) for world in (one, other)]
    assert find_differences(*seen) == []


def test_an_export_before_unsealing_says_nothing_of_the_key(build: Callable[..., World]) -> None:
    texts = []
    for world in (build(keep), build(exchange_samples)):
        _taste(world, world.devices(), 1)
        document = exporting.export_tasting(world.bench, world.tasting).document.decode()
        texts.append(re.sub(r'"checksum":"\w+"', "", world.mask(document)))
    assert texts[0] == texts[1]


# ---- a directional pair: neither the key nor which sample has more --------------------------

PAIR = {"method": "2-afc", "attribute": "bitter", "more": "B"}


@pytest.fixture(scope="module")
def seen_of_pairs(build: Callable[..., World]) -> list[str]:
    """What assessors see of a pair with its key as drawn."""
    return play_as_assessors(build(keep, **PAIR))


@pytest.mark.parametrize("permute", [exchange_samples, move_odd_cups])
def test_nothing_at_a_pair_depends_on_the_key(
    build: Callable[..., World], seen_of_pairs: list[str], permute: Permute
) -> None:
    assert find_differences(seen_of_pairs, play_as_assessors(build(permute, **PAIR))) == []


def test_no_assessor_of_a_pair_can_tell_which_sample_should_have_more(
    build: Callable[..., World], seen_of_pairs: list[str]
) -> None:
    other = play_as_assessors(build(keep, **PAIR | {"more": "A"}))
    assert "Which cup has more bitter?" in "".join(other)
    assert find_differences(seen_of_pairs, other) == []


# ---- alone: the key lies under the cups -------------------------------------------------------

ALONE = {"pourer": "alone", "sittings": "2", "rounds": "2"}
Shuffle = Callable[[tuple[str, ...]], tuple[str, ...]]


def _as_listed(pours: tuple[str, ...]) -> tuple[str, ...]:
    return pours


def _turned_round(pours: tuple[str, ...]) -> tuple[str, ...]:
    return pours[::-1]


def play_alone(world: World, shuffle: Shuffle) -> list[str]:
    """Taste both sittings; return all that the device and the leader, one person, see.

    Only the cups of the first are turned. The form that shows their marks again, to correct
    them, is not looked at: it must show them.
    """
    device, home, seen = world.devices(), f"/seat/{world.tokens[1]}", []

    def say(path: str, **form: str) -> None:
        device.post(home + path, form)
        for script in (False, True):
            seen.append(note(world, device.get(home, script=script)))

    say("/start")
    for sitting in (1, 2):
        say("/prepared", sitting=str(sitting))
        for serving in world.servings(1):
            if serving.sitting == sitting:
                _taste_alone(say, serving)
        if sitting == 1:
            _turn(world, device, shuffle, sitting)
    return seen + read_board(world)


def _taste_alone(say: Callable[..., None], serving: PlannedServing) -> None:
    it = {"serving": str(serving.id)}
    say("/shuffled", **it, seconds="24")
    say("/codes", **it, verdict="yes")
    say("/draft", **it, pick=serving.codes[0], cued="off", cue="")
    say("/answer", **it, pick=serving.codes[0], cue="", client_key=f"k{serving.round}")


def _turn(world: World, device: Browser, shuffle: Shuffle, sitting: int) -> None:
    """Enter what lies under the cups of a sitting."""
    form = {
        f"mark-{cup.id}": slot
        for one in world.servings(1)
        if one.sitting == sitting
        for cup, slot in zip(one.cups, shuffle(one.pours), strict=True)
    }
    answer = device.post(f"/seat/{world.tokens[1]}/marks/{sitting}", form | {"sure": "on"})
    assert answer.status_code == 303


@pytest.fixture(scope="module")
def played_alone(build: Callable[..., World]) -> list[tuple[World, list[str]]]:
    """Two worlds that differ in nothing but what chance put under the cups of sitting 1."""
    worlds = [build(keep, **ALONE) for _ in range(2)]
    shuffles = (_as_listed, _turned_round)
    return [(one, play_alone(one, how)) for one, how in zip(worlds, shuffles, strict=True)]


def test_alone_nothing_of_a_later_sitting_depends_on_the_marks_of_an_earlier_one(
    played_alone: list[tuple[World, list[str]]],
) -> None:
    """Nobody is told how many were right before the whole plan is done."""
    (one, seen), (other, seen_too) = played_alone
    assert _key(one) == _key(other) == {}
    assert "Now turn the cups" in "".join(seen)
    assert find_differences(seen, seen_too) == []


def test_alone_the_form_that_corrects_marks_shows_them_and_breaks_this_contract(
    played_alone: list[tuple[World, list[str]]],
) -> None:
    forms = [
        [note(world, world.devices().get(f"/seat/{world.tokens[1]}/marks/1"))]
        for world, _ in played_alone
    ]
    assert find_differences(*forms)


# ---- the contract can fail ---------------------------------------------------------------


def _leak_by_header(app: ASGIApp, bench: Bench) -> ASGIApp:
    return _leaking(app, bench, lambda message, odd: message["headers"].append((b"x-n", odd)))


def _leak_by_status(app: ASGIApp, bench: Bench) -> ASGIApp:
    def change(message: dict[str, Any], odd: bytes) -> None:
        message["status"] += odd < b"B"

    return _leaking(app, bench, change)


def _leak_by_length(app: ASGIApp, bench: Bench) -> ASGIApp:
    def change(message: dict[str, Any], odd: bytes) -> None:
        message["headers"] = [
            (name, str(int(value) + (odd < b"B")).encode() if name == b"content-length" else value)
            for name, value in message["headers"]
        ]

    return _leaking(app, bench, change)


def _leak_by_new_route(app: ASGIApp, bench: Bench) -> ASGIApp:
    assert isinstance(app, FastAPI)

    @app.get("/seat/{token}/peek")
    def peek(request: Request, token: str) -> Response:
        return Response(f"{token} {_first_slot(bench).decode()} {request.method}")

    return app


def _leaking(
    app: ASGIApp, bench: Bench, change: Callable[[dict[str, Any], bytes], None]
) -> ASGIApp:
    async def leaking(scope: Scope, receive: Receive, send: Send) -> None:
        async def tell(message: Any) -> None:
            if message["type"] == "http.response.start" and scope["path"].startswith("/seat/"):
                change(message, _first_slot(bench))
            await send(message)

        await app(scope, receive, tell)

    return leaking


def _first_slot(bench: Bench) -> bytes:
    with bench.reading() as db:
        tasting = db.exec(select(tables.Tasting)).one()
        cup = queries.load_layout(db, tasting).servings[0].cups[0].id
        return read_key(db, tasting.id)[cup].encode()


@pytest.mark.parametrize(
    "leak", [_leak_by_header, _leak_by_status, _leak_by_length, _leak_by_new_route]
)
def test_an_application_that_leaks_breaks_the_contract(
    build: Callable[..., World], leak: Leak
) -> None:
    one, other = build(keep, leak), build(exchange_samples, leak)
    seen = [crawl(w, w.devices(), w.tokens[3], w.servings(3)[0]) for w in (one, other)]
    assert find_differences(*seen)


def test_a_screen_that_knows_an_answer_breaks_the_pourers_contract(
    build: Callable[..., World], monkeypatch: pytest.MonkeyPatch
) -> None:
    def find_bar_with_answers(bench: Bench, token: str) -> Any:
        bar = find_bar(bench, token)
        with bench.reading() as db:
            record = queries.load_record(db, bar.tasting_id) if bar else None
        picks = " ".join(one.answer["pick"] for one in record.answers.values()) if record else ""
        return replace(bar, name=f"{bar.name} {picks}") if bar else None

    find_bar = pouring.find_bar
    monkeypatch.setattr(pouring, "find_bar", find_bar_with_answers)
    one, other = build(keep), build(keep)
    seen = play_as_pourer(one, 1, one.pourer)
    assert find_differences(seen, play_as_pourer(other, 2, other.pourer))


def _key(world: World) -> Key:
    with world.bench.reading() as db:
        return read_key(db, world.tasting)


def _limit(world: World, rounds: list[int]) -> str:
    with world.bench.writing() as db:
        link = tables.PourerLink(
            token="b" * 40, tasting_id=world.tasting, rounds=rounds, created_at=world.bench.clock()
        )
        db.add(link)
        db.commit()
        return link.token
