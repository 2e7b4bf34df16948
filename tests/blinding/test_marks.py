"""The key of a tasting alone comes from the marks under its cups, after its answers."""

from collections.abc import Callable
from itertools import permutations
from typing import Any

import pytest

from server.blinding.bodies import find_body_problems
from server.blinding.events import Event, Kind
from server.blinding.marks import ImpossibleMarks, check_marks, find_lost, find_open, learn_key
from server.blinding.record import fold
from server.blinding.sealed import PlannedServing, SealedTasting

Tell = Callable[[str, list[tuple[Kind, dict[str, Any]]]], list[Event]]
Story = list[tuple[Kind, dict[str, Any]]]


@pytest.fixture
def alone(draw_for_one: Callable[..., SealedTasting]) -> SealedTasting:
    return draw_for_one()


def answer(sealed: SealedTasting, sitting: int = 1) -> Story:
    body = {"revision": 1, "answer": {}, "source": "device", "pass": "", "client_key": "k"}
    mine = (one for one in sealed.servings if one.sitting == sitting)
    return [(Kind.ANSWERED, body | {"serving": str(one.id)}) for one in mine]


def turn(sealed: SealedTasting, sitting: int = 1, **lost: int) -> Story:
    """Enter the marks as poured, from left to right; ``r2=0``: the first of round 2 is lost."""
    marks: dict[str, dict[str, str | None]] = {}
    for one in sealed.servings:
        if one.sitting == sitting:
            gone = lost.get(f"r{one.round}")
            marks[str(one.id)] = {
                str(cup.id): None if at == gone else slot
                for at, (cup, slot) in enumerate(zip(one.cups, one.pours, strict=True))
            }
    return [(Kind.REVEALED, {"sitting": sitting, "marks": marks, "photo": None})]


def mark(serving: PlannedServing, *slots: str | None) -> dict[Any, str | None]:
    return {cup.id: slot for cup, slot in zip(serving.cups, slots, strict=True)}


def test_marks_become_the_key(alone: SealedTasting, tell: Tell) -> None:
    learnt = learn_key(alone, fold(tell("0", answer(alone) + turn(alone))))
    assert [learnt.key[cup.id] for cup in alone.servings[0].cups] == list(alone.servings[0].pours)
    assert [learnt.is_known(one) for one in learnt.servings] == [True] * 3 + [False] * 3


def test_a_lost_mark_is_not_filled_in_from_its_neighbours(alone: SealedTasting, tell: Tell) -> None:
    record = fold(tell("0", answer(alone) + turn(alone, r2=0)))
    learnt = learn_key(alone, record)
    assert [learnt.is_known(one) for one in learnt.servings[:3]] == [True, False, True]
    assert find_lost(alone, record) == [alone.servings[1]]


def test_the_key_of_any_other_tasting_stays_as_it_was_drawn(
    sealed: SealedTasting, events: list[Event]
) -> None:
    assert learn_key(sealed, fold(events)) is sealed


def test_every_order_of_what_was_poured_is_possible(alone: SealedTasting) -> None:
    serving = alone.servings[0]
    for slots in permutations(serving.pours):
        check_marks(serving, mark(serving, *slots))


def test_a_mark_that_was_not_poured_is_refused(alone: SealedTasting) -> None:
    serving = alone.servings[0]
    with pytest.raises(ImpossibleMarks) as refused:
        check_marks(serving, mark(serving, serving.pours[0], serving.pours[0], None))
    assert refused.value.slots == (serving.pours[0],)


def test_marks_of_other_cups_are_refused(alone: SealedTasting) -> None:
    with pytest.raises(ValueError, match="marks must be of the cups"):
        check_marks(alone.servings[0], mark(alone.servings[1], None, None, None))


def test_a_serving_taken_out_keeps_no_sitting_open(alone: SealedTasting, tell: Tell) -> None:
    first = str(alone.servings[0].id)
    void = [(Kind.VOIDED, {"serving": first, "reason": "spilt", "replacement": None})]
    record = fold(tell("0", void + answer(alone)[1:2]))
    assert find_open(alone, record, 1) == [alone.servings[2]]


def test_a_sound_story_of_two_sittings_has_no_problems(alone: SealedTasting, tell: Tell) -> None:
    story = answer(alone) + turn(alone, r3=1) + answer(alone, 2) + turn(alone, 2)
    assert find_body_problems(tell("0", story), alone) == []


def test_marks_before_the_last_answer_of_their_sitting_are_found(
    alone: SealedTasting, tell: Tell
) -> None:
    events = tell("0", answer(alone)[:2] + turn(alone))
    assert find_body_problems(events, alone) == [
        "Event 3 opens the marks of sitting 1 before its last answer."
    ]


def test_impossible_marks_and_marks_of_another_sitting_are_found(
    alone: SealedTasting, tell: Tell
) -> None:
    (kind, wrong), (_, other) = turn(alone)[0], turn(alone, 2)[0]
    cups = wrong["marks"][str(alone.servings[0].id)]
    cups |= dict.fromkeys(cups, alone.servings[0].pours[0])
    events = tell("0", [*answer(alone), (kind, wrong), (kind, wrong | {"marks": other["marks"]})])
    problems = find_body_problems(events, alone)
    assert "impossible marks" in problems[0]
    assert "not of sitting 1" in problems[1]


def test_of_marks_entered_twice_the_last_ones_count(alone: SealedTasting, tell: Tell) -> None:
    record = fold(tell("0", answer(alone) + turn(alone, r1=0) + turn(alone)))
    assert find_lost(alone, record) == []
    assert len(record.reveals[1]) == 2


@pytest.mark.parametrize("marks", [{"x": {}}, {"": 1}, [], None])
def test_marks_that_say_nonsense_are_found(alone: SealedTasting, tell: Tell, marks: Any) -> None:
    body = {"sitting": 1, "marks": marks, "photo": None}
    assert find_body_problems(tell("0", [(Kind.REVEALED, body)]), alone) == [
        "Event 1 (revealed) says something else than a marks."
    ]
