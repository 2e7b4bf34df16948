"""The server is killed again and again while every seat answers; what it took, it kept.

``kill -9`` ends the process, not the machine: what the operating system holds is written out
later all the same, so this says nothing about a power cut. For that the database is told to
wait for the disk (``synchronous=FULL``, see ``tests/storage/test_engine.py``).
"""

import random
import time
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from uuid import UUID

import psycopg
import pytest
from sqlmodel import select

from server.blinding.chain import verify_chain
from server.blinding.events import Event, Kind
from server.blinding.sealed import PlannedServing
from server.storage import queries, tables
from server.storage.engine import open_engine
from server.tastings.bench import Bench
from server.tastings.drafts import create_draft
from server.tastings.importing import get_leader_id
from server.tastings.planning import read_plan
from server.tastings.sealing import seal_tasting
from tests.durability.killable import Device, KillableServer, Sent, find_free_port

SEED = 20310514
FEWEST, MOST = 1, 7  # requests acknowledged between a start and the end
AIMED = 0.7  # share of the kills that come as soon as an answer is stored
POLL = 0.0003  # seconds between two looks
FindStored = Callable[[set[str]], set[str]]
pytestmark = [pytest.mark.long, pytest.mark.timeout(600)]  # 60 s on an idle machine


@dataclass(frozen=True)
class Run:
    """How often to kill, and enough seats and rounds to be killed in."""

    kills: int
    seats: int
    rounds: int


RUNS = {"sqlite": Run(20, 8, 7), "postgresql": Run(5, 6, 4)}


@dataclass(frozen=True)
class Aftermath:
    """What the devices were told, and what the database holds after the last start."""

    run: Run
    torn: set[int]
    sent: dict[UUID, Sent]
    accepted: list[tables.Answer]
    answers: int
    events: list[Event]
    problems: list[str]


@pytest.fixture(scope="module")
def aftermath(
    kept_database_url: str, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Aftermath]:
    """Play one large tasting on each kind of database, and look at it afterwards."""
    run, log = RUNS[kept_database_url.partition(":")[0]], tmp_path_factory.mktemp("killed") / "log"
    bench = Bench(open_engine(kept_database_url), random.Random(SEED))
    try:
        tasting_id = seal_large_tasting(bench, run)
        tokens, servings = read_layout(bench, tasting_id)
        bench.engine.dispose()  # now the killed server alone has an SQLite file open
        with KillableServer(kept_database_url, find_free_port(), log) as server:
            devices = [Device(server, token) for token in tokens]
            with watch_answers(kept_database_url) as find_stored:
                play_and_kill(server, devices, servings, run, find_stored)
        yield look_at(bench, tasting_id, run, devices)
    finally:
        bench.engine.dispose()


def seal_large_tasting(bench: Bench, run: Run) -> UUID:
    """Seal a tasting with one seat a device."""
    plan = {
        "question": "Does the fresh cartridge change our green tea?",
        "sample_a": "flushed cartridge",
        "sample_b": "fresh cartridge",
        "difference": "age of the water-filter cartridge",
        "pourer": "absent",
        "assessors": str(run.seats),
        "size_percent": "50",
        "rounds": str(run.rounds),
        "spare_seats": "0",
        "pot_ml": "2000",
        "swallow": "",
    }
    tasting_id = create_draft(bench, get_leader_id(bench), read_plan(plan))
    seal_tasting(bench, tasting_id)
    return tasting_id


def read_layout(bench: Bench, tasting_id: UUID) -> tuple[list[str], list[list[PlannedServing]]]:
    """Return the token of each seat, and its servings in order."""
    with bench.reading() as db:
        layout = queries.load_layout(db, db.get_one(tables.Tasting, tasting_id))
        seats = queries.list_seats(db, tasting_id)
    in_order = sorted(layout.servings, key=lambda one: one.round)
    mine = [[one for one in in_order if one.seat == seat.number] for seat in seats]
    return [seat.token for seat in seats], mine


@contextmanager
def watch_answers(url: str) -> Iterator[FindStored]:
    """Yield what finds, among keys of answers on their way, those the database has stored.

    An SQLite file is not opened for that, only its log looked through: an open connection
    would spare the server the recovery of that log.
    """
    if url.startswith("sqlite:"):
        log = Path(f"{url.removeprefix('sqlite:///')}-wal")
        yield lambda keys: find_in(log.read_bytes() if log.exists() else b"", keys)
        return
    find = "SELECT client_key FROM answer WHERE client_key = ANY(%s)"
    with psycopg.connect(url, autocommit=True) as connection:
        yield lambda keys: {row[0] for row in connection.execute(find, [list(keys)])}


def find_in(log: bytes, keys: set[str]) -> set[str]:
    """Return the keys that a log contains."""
    return {key for key in keys if key.encode() in log}


def play_and_kill(
    server: KillableServer,
    devices: list[Device],
    servings: list[list[PlannedServing]],
    run: Run,
    find_stored: FindStored,
) -> None:
    """Let all devices answer at once; meanwhile kill and start the server again."""
    chance = random.Random(SEED)
    with ThreadPoolExecutor(len(devices)) as threads:
        running = [
            threads.submit(device.taste, [(one.id, chance.choice(one.codes)) for one in mine])
            for device, mine in zip(devices, servings, strict=True)
        ]
        while server.kills < run.kills and wait_for_moment(devices, running, find_stored, chance):
            server.kill()
            server.start()
    for one in running:
        one.result()
    assert server.kills == run.kills, "all answers were given before the last kill"


def wait_for_moment(
    devices: list[Device],
    running: list[Future[None]],
    find_stored: FindStored,
    chance: random.Random,
) -> bool:
    """Wait for a random moment of the work, whatever the machine's speed; false: none is left."""
    goal = sum(one.acknowledged for one in devices) + chance.randint(FEWEST, MOST)
    aimed, pause = chance.random() < AIMED, chance.uniform(0, 0.02)

    def is_busy() -> bool:
        return any(not one.done() for one in running)

    def list_stored() -> set[str]:
        return find_stored({one.key for one in devices} - {""})

    while is_busy() and sum(one.acknowledged for one in devices) < goal:
        time.sleep(POLL)
    before = list_stored()
    while is_busy() and aimed and not list_stored() - before:
        time.sleep(POLL)
    time.sleep(0 if aimed else pause)
    return is_busy()


def look_at(bench: Bench, tasting_id: UUID, run: Run, devices: list[Device]) -> Aftermath:
    """Read everything back, from the file that the last killed server left."""
    problems = []
    with bench.reading() as db:
        tasting = db.get_one(tables.Tasting, tasting_id)
        events = queries.load_events(db, tasting_id)
        problems += verify_chain(queries.find_seal_hash(db, tasting_id) or "", events)
        if (tasting.version, tasting.head) != (len(events), events[-1].head):
            problems.append("the tasting's row is not at the head of its chain")
        if bench.engine.dialect.name == "sqlite":
            check = db.connection().exec_driver_sql("PRAGMA integrity_check").scalars()
            problems += [line for line in check if line != "ok"]
        locked = select(tables.Answer).join(tables.Accepted)
        return Aftermath(
            run,
            set().union(*(one.torn for one in devices)),
            {serving: sent for one in devices for serving, sent in one.sent.items()},
            list(db.exec(locked).all()),
            len(db.exec(select(tables.Answer)).all()),
            events,
            problems,
        )


def test_no_acknowledged_answer_is_lost_or_changed(aftermath: Aftermath) -> None:
    kept = {one.serving_id: (one.client_key, one.body) for one in aftermath.accepted}
    sent = {serving: (one.client_key, one.body) for serving, one in aftermath.sent.items()}
    assert kept == sent
    assert len(sent) == aftermath.run.seats * aftermath.run.rounds


def test_no_answer_is_stored_twice(aftermath: Aftermath) -> None:
    told = Counter(event.kind for event in aftermath.events)
    assert {told[Kind.ANSWERED], len(aftermath.accepted), aftermath.answers} == {
        len(aftermath.sent)
    }
    assert (told[Kind.CONTESTED], told[Kind.LATE]) == (0, 0)


def test_the_chain_has_no_gap_and_the_file_no_damage(aftermath: Aftermath) -> None:
    assert aftermath.problems == []


def test_most_kills_tore_requests_in_flight(aftermath: Aftermath) -> None:
    torn = {kill for kill in aftermath.torn if kill < aftermath.run.kills}
    assert len(torn) >= 0.75 * aftermath.run.kills


@pytest.mark.parametrize("kept_database_url", ["sqlite"], indirect=True, scope="module")
def test_answers_stored_but_not_acknowledged_were_sent_again(aftermath: Aftermath) -> None:
    """The hard case has happened: committed, killed before the response, sent once more.

    PostgreSQL shows a commit too late to be sure of coming before the response.
    """
    again = [
        one for one in aftermath.accepted if one.received_at < aftermath.sent[one.serving_id].began
    ]
    assert again
