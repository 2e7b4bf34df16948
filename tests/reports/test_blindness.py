import pytest

from server.blinding.events import Kind
from server.blinding.plans import Pourer
from server.blinding.record import Look
from server.reports.blindness import rate_blinding


def look(who: str, before_closing: bool = True, kind: Kind = Kind.KEY_LOOKED) -> Look:
    return Look(kind, who, "a label had come off", before_closing)


@pytest.mark.parametrize(
    ("pourer", "level"), [("taster", 0), ("present", 2), ("absent", 3), ("relay", 4)]
)
def test_each_way_of_pouring_has_its_level(pourer, level):
    assert rate_blinding(Pourer(pourer), None, ()).level == level


@pytest.mark.parametrize(
    ("planned", "done", "level"),
    [
        ("relay", "relay", 4),
        ("relay", "present", 2),
        ("present", "relay", 2),
        ("absent", "taster", 0),
        ("taster", "absent", 0),
    ],
)
def test_the_lower_of_what_was_planned_and_done_holds(planned, done, level):
    assert rate_blinding(Pourer(planned), {"pourer": done}, ()).level == level


@pytest.mark.parametrize(("who", "level"), [("taster", 0), ("present", 2), ("away", 3)])
def test_an_early_look_at_the_key_caps_the_level(who, level):
    assert rate_blinding(Pourer.RELAY, None, (look(who),)).level == level


def test_a_look_never_raises_the_level():
    assert rate_blinding(Pourer.PRESENT, None, (look("away"),)).level == 2


def test_a_look_at_the_key_after_closing_caps_nothing():
    assert rate_blinding(Pourer.RELAY, None, (look("taster", before_closing=False),)).level == 4


def test_a_look_at_the_results_says_nothing_about_blinding():
    results = look("taster", kind=Kind.RESULTS_LOOKED)
    assert rate_blinding(Pourer.RELAY, None, (results,)).level == 4


def test_a_look_by_nobody_known_counts_as_a_taster():
    assert rate_blinding(Pourer.RELAY, None, (look("someone"),)).level == 0


def test_every_cap_is_listed():
    rated = rate_blinding(Pourer.RELAY, {"pourer": "absent"}, (look("present"),))
    assert [(cap.cause, cap.level) for cap in rated.caps] == [
        ("planned", 4),
        ("closing", 3),
        ("key_look", 2),
    ]
