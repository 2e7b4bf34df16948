from collections.abc import Callable
from typing import Any

import pytest

from server.blinding.bodies import MEMBERS, find_body_problems
from server.blinding.events import Event, Kind
from server.blinding.record import fold
from server.blinding.sealed import SealedTasting
from server.blinding.table_bodies import AT_TABLES

Tell = Callable[[str, list[tuple[Kind, dict[str, Any]]]], list[Event]]
NOWHERE = "00000000-0000-4000-8000-000000000000"


def test_a_sound_story_has_no_problems(sealed: SealedTasting, events: list[Event]) -> None:
    assert find_body_problems(events, sealed) == []


def test_every_kind_of_event_is_known() -> None:
    assert set(MEMBERS) == set(Kind)


@pytest.mark.parametrize(
    ("kind", "body", "problem"),
    [
        (Kind.SEAT_TAKEN, {}, "does not say seat"),
        (Kind.SEAT_TAKEN, {"seat": 99}, "names a seat that is not there"),
        (Kind.SEAT_TAKEN, {"seat": True}, "says something else than a seat"),
        (Kind.POURED, {"slot": "A99", "done": True}, "names a slot that is not there"),
        (Kind.POURED, {"slot": ["A1"], "done": True}, "says something else than a slot"),
        (Kind.SERVED, {"serving": NOWHERE, "done": True}, "names a serving that is not there"),
        (Kind.SERVED, {"serving": "1", "done": True}, "says something else than a serving"),
        (Kind.LATE, {"serving": None}, "says something else than a serving"),
        (Kind.UNSEALED, {"seal_matches": "yes"}, "says something else than a seal_matches"),
        (Kind.ERASED, {"seq": 0}, "says something else than a seq"),
        (Kind.WORDS_CHOSEN, {"seat": None}, "says something else than a seat"),
        (Kind.WORDS_CHOSEN, {"words": ["hay", 3]}, "says something else than a words"),
        (Kind.BOWL_STEP, {"step": "stirred"}, "says something else than a step"),
        (Kind.BOWL_STEP, {"step": ["sip"]}, "says something else than a step"),
        (Kind.BOWL_STEP, {"celsius": 64}, "says something else than a celsius"),
        (Kind.BOWL_STEP, {"bowl": -1}, "says something else than a bowl"),
        (Kind.BOWL_STEP, {"sitting": 9}, "names a sitting that is not there"),
        (Kind.BOWL_STEP, {"seat": 99}, "names a seat that is not there"),
        (Kind.CALIBRATED, {"sitting": 9}, "names a sitting that is not there"),
        (Kind.CALIBRATED, {"seats": 1}, "says something else than a seats"),
        (Kind.CALIBRATED, {"seats": ["1"]}, "says something else than a seats"),
        (Kind.CALIBRATED, {"words": None}, "says something else than a words"),
        (Kind.DISCUSSED, {"text": "thin"}, "does not say who"),
        (Kind.DECIDED, {"decision": "bin"}, "says something else than a decision"),
    ],
)
def test_a_body_that_says_too_little_or_nonsense_is_found(
    sealed: SealedTasting, tell: Tell, kind: Kind, body: dict[str, Any], problem: str
) -> None:
    assert f"Event 1 ({kind}) {problem}." in find_body_problems(tell("0", [(kind, body)]), sealed)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("tds", ["1.3", "strong"]),
        ("tds", "1.3"),
        ("tds", [1]),
        ("temperature_c", "hot"),
        ("fill_g", "full"),
        ("brew", "a long one"),
    ],
)
def test_a_reading_that_is_no_number_is_found(
    sealed: SealedTasting, tell: Tell, name: str, value: Any
) -> None:
    brew = {"slot": "A1", "tds": ["1.31"], "temperature_c": "58.5"}
    brew |= {"fill_g": None, "time": None, "note": "", "brew": {}}
    assert find_body_problems(tell("0", [(Kind.BREWED, brew | {name: value})]), sealed) == [
        f"Event 1 (brewed) says something else than a {name}."
    ]


def test_a_serving_that_counts_cannot_stand_in_for_a_voided_one(
    sealed: SealedTasting, tell: Tell
) -> None:
    first, second = (str(serving.id) for serving in sealed.servings[:2])
    body = {"serving": first, "reason": "spilt", "replacement": second}
    assert find_body_problems(tell("0", [(Kind.VOIDED, body)]), sealed) == [
        "Event 1 (voided) names a replacement that is not there."
    ]


def test_an_event_without_time_is_found(sealed: SealedTasting, events: list[Event]) -> None:
    bare = events[0].model_copy(update={"body": {}})
    assert find_body_problems([bare], sealed) == ["Event 1 (serving_began) does not say at."]


def test_an_erased_body_has_no_problems(sealed: SealedTasting, events: list[Event]) -> None:
    assert find_body_problems([events[1].model_copy(update={"body": None})], sealed) == []


# What this check lets through must be enough for the record. Marks under cups have to fit
# the cups as well (test_marks.py), and events of a scored table the table (test_table_bodies.py).
@pytest.mark.parametrize("kind", [kind for kind in Kind if kind not in (Kind.REVEALED, *AT_TABLES)])
def test_the_least_body_of_a_kind_can_be_folded(
    sealed: SealedTasting, tell: Tell, kind: Kind
) -> None:
    serving = str(sealed.servings[0].id)
    sound: dict[str, Any] = {
        **{"serving": serving, "seat": 1, "slot": "A1", "done": True, "revision": 1},
        **{"answer": {}, "source": "device", "tds": [], "temperature_c": None, "time": None},
        **{"fill_g": "40.5", "sitting": 1, "seconds": None},
        **{"note": "", "reason": "", "replacement": None, "who": "away", "how": "page"},
        **{"pourer": "absent", "seal_matches": True, "seq": 1, "item": "silent"},
        **{"block": 1, "stop": False, "found": {"strength": "matched"}},
    }
    events = tell("0", [(kind, {name: sound[name] for name in MEMBERS[kind]})])
    assert find_body_problems(events, sealed) == []
    assert fold(events).version == 1
