"""A small invented tasting: a tea bar compares a fresh and a flushed water filter."""

from collections.abc import Callable
from random import Random
from typing import Any
from uuid import UUID

import pytest
from hypothesis import settings

from server.blinding.alone import draw_alone
from server.blinding.chain import link
from server.blinding.draw import draw_tasting
from server.blinding.events import Event, Kind
from server.blinding.plans import Plan, Pourer
from server.blinding.seal import canonical, seal_hash
from server.blinding.sealed import PlannedSample, SealedTasting

# A busy machine may be slow; what is checked here is not how long a draw takes.
settings.register_profile("unhurried", deadline=None, max_examples=12)
settings.register_profile("thorough", deadline=None, max_examples=100)  # --hypothesis-profile
settings.load_profile("unhurried")

Bodies = list[tuple[Kind, dict[str, Any]]]


@pytest.fixture
def triangle() -> tuple[str, ...]:
    return ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB")


@pytest.fixture
def samples() -> list[PlannedSample]:
    return [
        PlannedSample(level="A", label="flushed cartridge"),
        PlannedSample(level="B", label="fresh cartridge"),
    ]


@pytest.fixture
def make_plan() -> Callable[..., Plan]:
    def make(**changed: Any) -> Plan:
        given: dict[str, Any] = {
            "question": "Does a fresh cartridge change our green tea?",
            "difference": "age of the filter cartridge",
            "method": "triangle",
            "standard": "ISO 4120:2021",
            "alpha": "0.05",
            "size_d_prime": "1.5",
            "assessors": 6,
            "rounds": 2,
            "spare_seats": 1,
            "pourer": Pourer.ABSENT,
            "swallow": True,
            "cup_ml": "40",
            "pot_ml": "500",
            "pots": "separate",
            "tds_limit": "0.05",
            "temperature_limit": "2",
        }
        return Plan(**(given | changed))

    return make


@pytest.fixture
def draw(
    make_plan: Callable[..., Plan], samples: list[PlannedSample], triangle: tuple[str, ...]
) -> Callable[..., SealedTasting]:
    def draw(seed: int = 1, **changed: Any) -> SealedTasting:
        return draw_tasting(make_plan(**changed), UUID(int=7), samples, triangle, Random(seed))

    return draw


@pytest.fixture
def draw_for_one(
    make_plan: Callable[..., Plan], samples: list[PlannedSample], triangle: tuple[str, ...]
) -> Callable[..., SealedTasting]:
    """Draw a tasting whose taster also pours: two sittings of three rounds."""

    def draw(seed: int = 1, orders: tuple[str, ...] = triangle, **changed: Any) -> SealedTasting:
        mine = {"pourer": Pourer.ALONE, "assessors": 1, "spare_seats": 0, "rounds": 3}
        plan = make_plan(**(mine | {"sittings": 2} | changed))
        return draw_alone(plan, UUID(int=7), samples, orders, Random(seed))

    return draw


@pytest.fixture
def sealed(draw: Callable[..., SealedTasting]) -> SealedTasting:
    return draw()


@pytest.fixture
def tell() -> Callable[[str, Bodies], list[Event]]:
    def tell(seal: str, bodies: Bodies) -> list[Event]:
        events: list[Event] = []
        for seq, (kind, body) in enumerate(bodies, start=1):
            head = events[-1].head if events else seal
            stamped = {"at": f"2031-04-02T09:{seq:02d}:00.000+00:00", **body}
            events.append(link(head, seq, kind, stamped, f"{seq:032x}"))
        return events

    return tell


@pytest.fixture
def story(sealed: SealedTasting) -> Bodies:
    """A short evening: one serving answered, one voided with its spare, then unsealed."""
    first, second, *_ = sealed.servings
    spare = next(one for one in sealed.servings if one.seat == 7)
    answer: dict[str, Any] = {
        "serving": str(first.id),
        "pass": "",
        "revision": 1,
        "answer": {"pick": first.codes[1], "guess": False},
        "client_key": "k1",
        "source": "device",
    }
    brew = {"slot": "A1", "tds": ["1.31", "1.32"], "temperature_c": "58"}
    brew |= {"fill_g": "40", "time": None, "note": ""}
    return [
        (Kind.SERVING_BEGAN, {}),
        (Kind.SEAT_TAKEN, {"seat": 1}),
        (Kind.BREWED, brew),
        (Kind.POURED, {"slot": "A1", "done": True}),
        (Kind.SERVED, {"serving": str(first.id), "done": True}),
        (Kind.ANSWERED, answer),
        (
            Kind.VOIDED,
            {"serving": str(second.id), "reason": "dropped", "replacement": str(spare.id)},
        ),
        (Kind.CLOSED, {"reason": "out of water", "pourer": "absent"}),
        (Kind.UNSEALED, {"seal_matches": True}),
    ]


@pytest.fixture
def seal(sealed: SealedTasting) -> str:
    return seal_hash(canonical(sealed))


@pytest.fixture
def events(seal: str, story: Bodies, tell: Callable[[str, Bodies], list[Event]]) -> list[Event]:
    return tell(seal, story)
