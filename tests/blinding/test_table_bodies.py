"""Events of a scored table have to fit it, and happen in their order."""

from collections.abc import Callable
from typing import Any

import pytest

from server.blinding.bodies import find_body_problems
from server.blinding.events import Event, Kind
from server.blinding.record import fold
from server.blinding.sealed import SealedTasting
from server.blinding.table_record import DECISIONS, STEPS
from tests.drawn_tables import draw_batches

Bodies = list[tuple[Kind, dict[str, Any]]]
Tell = Callable[[str, Bodies], list[Event]]

BARE = draw_batches(3, style="shared", bowls=2, sittings=2, assessors=2)
TABLE = draw_batches(
    3, style="shared", bowls=2, sittings=2, assessors=2, calibration="house filter"
)
FIRST, LATER = (next(s for s in TABLE.servings if s.sitting == n) for n in (1, 2))
CODE = FIRST.codes[0]


def step(name: str, **told: Any) -> tuple[Kind, dict[str, Any]]:
    nothing = {"sitting": 1, "code": None, "bowl": None, "seat": None, "celsius": None}
    return Kind.BOWL_STEP, nothing | {"step": name} | told


def answer(**told: Any) -> tuple[Kind, dict[str, Any]]:
    said = {"serving": str(FIRST.id), "revision": 1, "answer": {"values": []}, "source": "device"}
    return Kind.ANSWERED, said | told


WORDS = Kind.WORDS_CHOSEN, {"seat": 1, "words": ["warm hay", "orange pith"]}
OPEN = Kind.CALIBRATED, {"sitting": 1, "seats": [1, 2], "words": "thin is below 30"}
TALK = Kind.DISCUSSED, {"text": "The second bowl is thin.", "who": "the table"}
UNSEALED = Kind.UNSEALED, {"seal_matches": True}
VERDICT = (
    Kind.DECIDED,
    {"decision": "hold", "batch": "LR-14", "reason": "two of six find it flat", "name": "roaster"},
)


@pytest.fixture
def morning(tell: Tell) -> list[Event]:
    """An open bowl, words, a bowl clock that holds the sip once, an answer, talk, decisions."""
    return tell(
        "0",
        [
            OPEN,
            WORDS,
            step("poured", code=CODE, bowl=1),
            step("broken", code=CODE, bowl=1, seat=2),
            step("skimmed", code=CODE, bowl=1, seat=2),
            step("checked", code=CODE, bowl=2, celsius="67.5"),
            step("checked", code=CODE, bowl=2, celsius="64"),
            step("sip"),
            answer(),
            (Kind.CLOSED, {"reason": "", "pourer": "absent"}),
            TALK,
            UNSEALED,
            VERDICT,
            (Kind.DECIDED, VERDICT[1] | {"decision": "re-roast", "reason": "retasted, flat"}),
        ],
    )


def test_a_morning_at_the_table_has_no_problems(morning: list[Event]) -> None:
    assert find_body_problems(morning, TABLE) == []


def test_the_bowl_clock_is_kept_in_order(morning: list[Event]) -> None:
    steps = fold(morning).bowl_steps
    assert [one.step for one in steps] == [
        "poured", "broken", "skimmed", "checked", "checked", "sip",
    ]  # fmt: skip
    assert [one.celsius for one in steps[3:]] == ["67.5", "64", None]


def test_who_broke_which_bowl_is_kept(morning: list[Event]) -> None:
    broken = fold(morning).bowl_steps[1]
    assert (broken.seat, broken.code, broken.bowl, broken.seq) == (2, CODE, 1, 4)
    assert broken.at == "2031-04-02T09:04:00.000+00:00"


def test_words_of_a_seat_are_kept_as_first_chosen(tell: Tell) -> None:
    events = tell("0", [WORDS, (Kind.WORDS_CHOSEN, {"seat": 1, "words": ["new"]})])
    assert fold(events).words == {1: ("warm hay", "orange pith")}


def test_the_last_decision_counts_and_all_are_kept(morning: list[Event]) -> None:
    record = fold(morning)
    assert [one.decision for one in record.decisions] == ["hold", "re-roast"]
    assert record.decision == record.decisions[1]


def test_before_any_decision_there_is_none(morning: list[Event]) -> None:
    assert fold(morning[:-2]).decision is None


def test_talk_is_kept_apart_from_answers(morning: list[Event]) -> None:
    record = fold(morning)
    assert [one.text for one in record.discussions] == ["The second bowl is thin."]
    assert list(record.answers) == [FIRST.id]


def test_what_was_erased_leaves_nothing_behind(morning: list[Event]) -> None:
    bare = [
        one.model_copy(update={"body": None, "leaf_salt": None})
        if one.kind in (Kind.DISCUSSED, Kind.DECIDED, Kind.WORDS_CHOSEN)
        else one
        for one in morning
    ]
    record = fold(bare)
    assert (record.discussions, record.decisions, record.words) == ([], [], {})
    assert find_body_problems(bare, TABLE) == []


@pytest.mark.parametrize(
    ("told", "problem"),
    [
        ([step("poured", code="000", bowl=1)], "1 (bowl_step) names a bowl that is not on"),
        ([step("poured", code=CODE, bowl=3)], "1 (bowl_step) names a bowl that is not on"),
        ([step("poured", code=LATER.codes[0], bowl=1)], "1 (bowl_step) names a bowl that is not"),
        ([step("poured", code=CODE)], "1 (bowl_step) names a code or a bowl without the other"),
        ([step("checked")], "1 (bowl_step) does not say what the check bowl read"),
        ([WORDS, WORDS], "2 (words_chosen) chooses words of a seat a second time"),
        ([OPEN, (OPEN[0], OPEN[1] | {"seats": [1, 9]})], "2 (calibrated) names a seat that is not"),
        ([answer(), OPEN], "2 (calibrated) comes after an answer of its sitting"),
        ([TALK], "1 (discussed) comes before anything was locked"),
        ([VERDICT], "1 (decided) comes before unsealing"),
        ([answer(), VERDICT, UNSEALED], "2 (decided) comes before unsealing"),
    ],
)
def test_an_event_that_does_not_fit_the_table_is_found(
    tell: Tell, told: Bodies, problem: str
) -> None:
    found = find_body_problems(tell("0", told), TABLE)
    assert len(found) == 1
    assert found[0].startswith(f"Event {problem}")


def test_an_open_bowl_of_a_later_sitting_may_come_after_answers_of_an_earlier_one(
    tell: Tell,
) -> None:
    later = OPEN[0], OPEN[1] | {"sitting": 2}
    assert find_body_problems(tell("0", [answer(), later]), TABLE) == []


def test_an_open_bowl_that_was_not_planned_is_found(tell: Tell) -> None:
    [found] = find_body_problems(tell("0", [OPEN]), BARE)
    assert found == "Event 1 (calibrated) is of an open bowl that was not planned."


def test_what_was_noted_of_an_open_bowl_is_kept(morning: list[Event]) -> None:
    [noted] = fold(morning).calibrations
    assert (noted.sitting, noted.seats, noted.words) == (1, (1, 2), "thin is below 30")


@pytest.mark.parametrize("told", [OPEN, WORDS, step("poured"), TALK, VERDICT])
def test_events_of_a_table_are_none_of_a_triangle(
    sealed: SealedTasting, tell: Tell, told: tuple[Kind, dict[str, Any]]
) -> None:
    found = find_body_problems(tell("0", [told]), sealed)
    assert f"Event 1 ({told[0]}) is of a scored table, which this is not." in found


@pytest.mark.parametrize("name", STEPS)
def test_every_step_of_the_clock_is_known(tell: Tell, name: str) -> None:
    celsius = "65" if name == "checked" else None
    assert find_body_problems(tell("0", [step(name, celsius=celsius)]), TABLE) == []


@pytest.mark.parametrize("decision", DECISIONS)
def test_every_decision_is_known(tell: Tell, decision: str) -> None:
    told = [UNSEALED, (Kind.DECIDED, VERDICT[1] | {"decision": decision})]
    assert find_body_problems(tell("0", told), TABLE) == []
