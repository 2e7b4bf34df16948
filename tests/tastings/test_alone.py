"""One person pours and tastes: what they note between the cups, in its order and once."""

import pytest

from server.blinding.events import Kind
from server.tastings import alone as noting
from server.tastings import answering
from server.tastings.answering import NotYet
from server.tastings.refusals import Invalid, NotFound, Refusal, WrongState
from tests.playing import Play


@pytest.fixture
def token(alone):
    return alone.made.tokens[1]


@pytest.fixture
def first(alone):
    return alone.servings(1)[0]


@pytest.fixture
def second(alone):
    return alone.servings(1)[1]


def test_a_sitting_is_prepared_once(bench, alone, token):
    noting.prepare_sitting(bench, token, 1)
    version = alone.record.version
    noting.prepare_sitting(bench, token, 1)
    assert (alone.record.prepared, alone.record.version) == ({1}, version)


def test_a_later_sitting_is_not_prepared_before_its_turn(bench, token):
    with pytest.raises(NotYet):
        noting.prepare_sitting(bench, token, 2)


def test_a_sitting_waits_until_the_cups_of_the_one_before_are_turned(bench, alone, token):
    alone.taste(1)
    with pytest.raises(NotYet):
        noting.prepare_sitting(bench, token, 2)
    alone.turn(1)
    noting.prepare_sitting(bench, token, 2)
    assert alone.record.prepared == {1, 2}


def test_there_is_no_sitting_beyond_the_plan(bench, token):
    with pytest.raises(NotFound):
        noting.prepare_sitting(bench, token, 3)


@pytest.mark.parametrize("seconds", [24, 3, None])
def test_a_shuffle_is_noted_with_its_seconds_once(bench, alone, token, first, seconds):
    noting.record_shuffle(bench, token, first.id, seconds)
    noting.record_shuffle(bench, token, first.id, 99)
    assert alone.record.shuffled == {first.id: seconds}


def test_later_cups_are_not_shuffled_before_their_turn(bench, token, second):
    with pytest.raises(NotYet):
        noting.record_shuffle(bench, token, second.id, 24)


def test_an_answered_serving_is_not_shuffled_again(bench, alone, token, first):
    alone.answer(first)
    version = alone.record.version
    noting.record_shuffle(bench, token, first.id, 24)
    assert alone.record.version == version


def test_what_went_wrong_is_given_up_once_and_nothing_takes_its_place(
    bench, alone, token, first, second
):
    for _ in range(2):
        noting.give_up_serving(bench, token, first.id, {"why": "spilt", "reason": " the  lid "})
    ((void),) = alone.record.voids.values()
    assert (void.serving, void.reason) == (first.id, "a cup was spilt: the lid")
    assert void.replacement is None
    assert answering.find_place(bench, token).current.id == second.id


@pytest.mark.parametrize("form", [{}, {"why": "because"}, {"reason": "no why"}])
def test_giving_up_needs_a_reason(bench, alone, token, first, form):
    with pytest.raises(Invalid) as refused:
        noting.give_up_serving(bench, token, first.id, form)
    assert set(refused.value.messages) == {"why"}
    assert not alone.record.voids


def test_an_answered_serving_is_not_given_up(bench, alone, token, first):
    alone.answer(first)
    with pytest.raises(Refusal):
        noting.give_up_serving(bench, token, first.id, {"why": "seen"})
    assert not alone.record.voids


def test_cups_that_are_not_poured_yet_are_not_given_up(bench, token, second):
    with pytest.raises(NotYet):
        noting.give_up_serving(bench, token, second.id, {"why": "seen"})


def test_a_mark_seen_after_its_answer_is_an_early_look_noted_once(bench, alone, token, first):
    alone.answer(first)
    for _ in range(2):
        noting.note_seen_mark(bench, token)
    ((look),) = alone.record.looks
    assert (look.kind, look.reason) == (Kind.RESULTS_LOOKED, "seen under cups of sitting 1")


def test_before_the_first_answer_no_mark_of_answered_cups_can_be_seen(bench, token):
    with pytest.raises(NotYet):
        noting.note_seen_mark(bench, token)


def test_turned_cups_are_no_early_look(bench, alone, token):
    alone.sit(1)
    with pytest.raises(NotYet):
        noting.note_seen_mark(bench, token)


ACTS = {
    "prepare": lambda bench, token, _: noting.prepare_sitting(bench, token, 1),
    "shuffle": lambda bench, token, one: noting.record_shuffle(bench, token, one.id, 24),
    "give up": lambda bench, token, one: noting.give_up_serving(
        bench, token, one.id, {"why": "seen"}
    ),
    "seen": lambda bench, token, _: noting.note_seen_mark(bench, token),
}


@pytest.mark.parametrize("act", ACTS)
def test_where_somebody_else_pours_nothing_of_it_is_taken(bench, sealed_tasting, stored, act):
    play, before = Play(bench, sealed_tasting), stored()
    with pytest.raises(NotFound):
        ACTS[act](bench, play.made.tokens[1], play.made.servings(1)[0])
    assert stored() == before


@pytest.mark.parametrize("act", ACTS)
def test_an_unknown_link_does_nothing(bench, first, act):
    with pytest.raises(NotFound):
        ACTS[act](bench, "0" * 40, first)


@pytest.mark.parametrize("act", ACTS)
def test_after_closing_nothing_more_is_noted(bench, alone, token, first, act):
    alone.close("the kettle broke")
    with pytest.raises(WrongState):
        ACTS[act](bench, token, first)


def test_nobody_can_be_called_alone(bench, alone, token, first):
    with pytest.raises(NotYet):
        answering.confirm_codes(bench, token, first.id, differ=True)
    assert not alone.record.calls


def test_no_other_answer_is_taken_once_the_marks_are_known(bench, alone, token, first, stored):
    alone.sit(1)
    before = stored()
    other = alone.pick(first)  # right, now that anybody can know it
    with pytest.raises(Refusal):
        answering.record_answer(bench, token, first.id, {"pick": other}, "afterthought")
    assert stored() == before


def test_before_the_marks_are_known_another_answer_is_kept_as_contested(bench, alone, token, first):
    alone.taste(1)
    other = alone.pick(first)
    answering.record_answer(bench, token, first.id, {"pick": other}, "second thought")
    assert alone.record.open_contests == [first.id]
