"""Two processes of eight threads each want the same servings and the same seats."""

import random
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from threading import BrokenBarrierError
from typing import Any
from uuid import UUID

import pytest
from sqlmodel import select

from server.blinding.chain import verify_chain
from server.blinding.events import Event, Kind
from server.storage import queries, tables
from server.storage.engine import open_engine
from server.tastings.answering import Outcome, record_answer
from server.tastings.bench import Bench
from server.tastings.drafts import create_draft
from server.tastings.importing import get_leader_id
from server.tastings.planning import PlanInput
from server.tastings.sealing import seal_tasting
from server.tastings.seating import SeatTaken, take_seat

PROCESSES, THREADS = 2, 8
Served = tuple[str, UUID, tuple[str, ...]]
shared: dict[str, Any] = {}


def meet(barrier: Any) -> None:
    """Give a new process the line all threads start from."""
    shared["start"] = barrier


def run_threads(url: str, work: Callable[..., Any], arguments: Sequence[Any]) -> list[Any]:
    """Run the work in threads that start together with those of the other process."""
    engine = open_engine(url)

    def run(argument: Any) -> Any:
        try:
            shared["start"].wait(timeout=60)
        except BrokenBarrierError:
            raise AssertionError("the other process did not come to the start") from None
        return work(Bench(engine), *argument)

    with ThreadPoolExecutor(THREADS) as threads:
        done = list(threads.map(run, arguments))
    engine.dispose()
    return done


def answer_all(bench: Bench, number: int, servings: list[Served]) -> list[tuple[UUID, Outcome]]:
    """Answer every serving, as one of many devices that all sit at the same seats."""
    taste = random.Random(number)
    return [
        (serving, record_answer(bench, token, serving, {"pick": taste.choice(codes)}, f"k{number}"))
        for token, serving, codes in servings
    ]


def find_a_seat(bench: Bench, number: int, code: str, seats: int) -> str | None:
    """Take the first seat that is still free."""
    for seat in range(1, seats + 1):
        try:
            return take_seat(bench, code, seat, f"claim {number}", "")
        except SeatTaken:
            continue
    return None


def take_one_seat(bench: Bench, _number: int, code: str) -> str:
    """Take seat 1 with the form that every thread sends."""
    return take_seat(bench, code, 1, "the same claim", "")


@pytest.fixture
def tasting(
    database_url: str, plan_input: Callable[..., PlanInput]
) -> Iterator[tuple[Bench, UUID]]:
    """A sealed tasting of 3 assessors, 2 rounds and no spare seat."""
    bench = Bench(open_engine(database_url), random.Random(7))
    plan = plan_input(assessors="3", rounds="2", spare_seats="0")
    tasting_id = create_draft(bench, get_leader_id(bench), plan)
    seal_tasting(bench, tasting_id)
    yield bench, tasting_id
    bench.engine.dispose()


@pytest.fixture
def race(database_url: str) -> Iterator[Callable[..., list[Any]]]:
    """Let sixteen threads in two processes do the same work; return what each came to."""
    spawn = get_context("spawn")
    barrier = spawn.Barrier(PROCESSES * THREADS)
    with ProcessPoolExecutor(PROCESSES, spawn, meet, (barrier,)) as processes:

        def race(work: Callable[..., Any], *argument: Any) -> list[Any]:
            numbers = [range(at * THREADS, (at + 1) * THREADS) for at in range(PROCESSES)]
            running = [
                processes.submit(run_threads, database_url, work, [(n, *argument) for n in batch])
                for batch in numbers
            ]
            return [one for process in running for one in process.result(timeout=120)]

        yield race


def _load(bench: Bench, tasting_id: UUID) -> tuple[list[Event], list[str]]:
    """Return the events and what is wrong with them: links, numbers, the head on the row."""
    with bench.reading() as db:
        tasting = queries.find_tasting(db, tasting_id)
        assert tasting
        events = queries.load_events(db, tasting_id)
        problems = verify_chain(queries.find_seal_hash(db, tasting_id) or "", events)
    if (tasting.version, tasting.head) != (len(events), events[-1].head):
        problems.append("the tasting's row is not at the head of its chain")
    return events, problems


def _list_servings(bench: Bench, tasting_id: UUID) -> list[Served]:
    with bench.reading() as db:
        tasting = queries.find_tasting(db, tasting_id)
        assert tasting
        tokens = {seat.number: seat.token for seat in queries.list_seats(db, tasting_id)}
        servings = queries.load_layout(db, tasting).servings
    return [(tokens[one.seat], one.id, one.codes) for one in servings]


def test_every_serving_accepts_exactly_one_of_sixteen_answers(
    tasting: tuple[Bench, UUID], race: Callable[..., list[Any]]
) -> None:
    servings = _list_servings(*tasting)
    outcomes = Counter(pair for thread in race(answer_all, servings) for pair in thread)
    accepted = [outcomes[serving, Outcome.ACCEPTED] for _, serving, _ in servings]
    assert accepted == [1] * 6
    assert outcomes.total() == 6 * PROCESSES * THREADS

    events, problems = _load(*tasting)
    told = Counter(event.kind for event in events)
    assert problems == []
    assert told[Kind.CONTESTED] == sum(
        count for (_, outcome), count in outcomes.items() if outcome == Outcome.CONTESTED
    )
    with tasting[0].reading() as db:
        rows = [len(db.exec(select(table)).all()) for table in (tables.Accepted, tables.Answer)]
    assert rows == [6, 6 + told[Kind.CONTESTED]]


def test_every_seat_is_taken_by_exactly_one_of_sixteen_devices(
    tasting: tuple[Bench, UUID], race: Callable[..., list[Any]]
) -> None:
    code = _find_code(*tasting)
    tokens = [token for token in race(find_a_seat, code, 3) if token is not None]
    events, problems = _load(*tasting)
    assert sorted(tokens) == sorted({token for token, *_ in _list_servings(*tasting)})
    assert ([event.kind for event in events], problems) == ([Kind.SEAT_TAKEN] * 3, [])


def test_the_same_form_sent_sixteen_times_takes_one_seat(
    tasting: tuple[Bench, UUID], race: Callable[..., list[Any]]
) -> None:
    assert len(set(race(take_one_seat, _find_code(*tasting)))) == 1
    assert len(_load(*tasting)[0]) == 1


def _find_code(bench: Bench, tasting_id: UUID) -> str:
    with bench.reading() as db:
        tasting = queries.find_tasting(db, tasting_id)
        assert tasting
        return tasting.join_code
