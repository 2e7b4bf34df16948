"""Marks under the cups: entered after the last answer, never impossible, never guessed."""

import pytest

from server.blinding.chain import verify_chain
from server.storage import queries
from server.tastings.answering import NotYet
from server.tastings.marking import LOST, check_sitting_marks, enter_marks, name_field, write_form
from server.tastings.refusals import Invalid, NotFound, WrongState


@pytest.fixture
def token(alone):
    return alone.made.tokens[1]


def fill_in(alone, sitting=1):
    """The form as whoever turns the cups of a sitting would fill it in."""
    return {
        name_field(cup): slot
        for one in alone.servings(sitting)
        for cup, slot in zip(one.cups, alone.under[one.id], strict=True)
    }


def test_marks_are_chained_after_every_answer_of_their_sitting(bench, alone, token):
    alone.taste(1)
    enter_marks(bench, token, 1, fill_in(alone))
    with bench.reading() as db:
        events = queries.load_events(db, alone.made.id)
    assert [one.kind for one in events[-2:]] == ["answered", "revealed"]
    assert verify_chain(alone.made.seal, events) == []


def test_the_marks_entered_are_those_under_the_cups(bench, alone, token):
    alone.taste(1)
    enter_marks(bench, token, 1, fill_in(alone))
    found = [alone.record.marks[cup.id] for one in alone.servings(1) for cup in one.cups]
    assert found == [slot for one in alone.servings(1) for slot in alone.under[one.id]]


def test_a_cup_is_turned_after_the_last_answer_only(bench, alone, token, stored):
    for serving in alone.servings(1)[:2]:
        alone.answer(serving)
    before = stored()
    for act in (enter_marks, check_sitting_marks):
        with pytest.raises(NotYet):
            act(bench, token, 1, fill_in(alone))
    assert stored() == before


def test_a_serving_given_up_holds_no_marks_back_and_has_none(bench, alone, token):
    one, two, three = alone.servings(1)
    for serving in (one, two):
        alone.answer(serving)
    alone.give_up(three)
    enter_marks(bench, token, 1, fill_in(alone))
    assert set(alone.record.reveals[1][-1].marks) == {one.id, two.id}


def test_a_lost_mark_is_recorded_as_lost(bench, alone, token):
    alone.taste(1)
    cup = alone.servings(1)[0].cups[2]
    enter_marks(bench, token, 1, fill_in(alone) | {name_field(cup): LOST})
    assert alone.record.marks[cup.id] is None


def test_impossible_marks_are_refused_serving_by_serving(bench, alone, token, stored):
    alone.taste(1)
    one, _, three = alone.servings(1)
    form = fill_in(alone) | {name_field(cup): one.pours[0] for cup in one.cups}
    form |= {name_field(cup): three.pours[-1] for cup in three.cups}
    before = stored()
    with pytest.raises(Invalid) as refused:
        enter_marks(bench, token, 1, form)
    assert set(refused.value.messages) == {str(one.id), str(three.id)}
    assert "more often than you poured" in refused.value.messages[str(one.id)]
    assert stored() == before


@pytest.mark.parametrize("said", [None, "", "Z9", "A99"])
def test_a_mark_is_one_of_those_poured_or_lost(bench, alone, token, said):
    alone.taste(1)
    serving = alone.servings(1)[1]
    form = fill_in(alone)
    form.pop(name_field(serving.cups[0]))
    form |= {name_field(serving.cups[0]): said} if said is not None else {}
    with pytest.raises(Invalid) as refused:
        enter_marks(bench, token, 1, form)
    assert set(refused.value.messages) == {str(serving.id)}


def test_the_same_marks_again_change_nothing(bench, alone, token, stored):
    alone.taste(1)
    enter_marks(bench, token, 1, fill_in(alone))
    before = stored()
    enter_marks(bench, token, 1, fill_in(alone))
    assert stored() == before


def test_a_correction_stays_beside_what_was_entered_first(bench, alone, token):
    alone.taste(1)
    cup = alone.servings(1)[0].cups[0]
    for form in (fill_in(alone) | {name_field(cup): LOST}, fill_in(alone)):
        enter_marks(bench, token, 1, form)
    first, second = alone.record.reveals[1]
    assert first.marks != second.marks
    assert alone.record.marks[cup.id] is not None


def test_marks_on_record_are_written_as_their_form_says_them(bench, alone, token):
    alone.taste(1)
    cup = alone.servings(1)[0].cups[0]
    form = fill_in(alone) | {name_field(cup): LOST}
    enter_marks(bench, token, 1, form)
    assert write_form(alone.made.sealed, alone.record, 1) == form


def test_after_closing_marks_may_still_be_entered_until_unsealing(bench, alone, token):
    alone.sit(1)
    alone.taste(2)
    alone.close("called away before the cups were turned")
    enter_marks(bench, token, 2, fill_in(alone, 2))
    alone.unseal()
    for act in (enter_marks, check_sitting_marks):
        with pytest.raises(WrongState):
            act(bench, token, 2, fill_in(alone, 2))


@pytest.mark.parametrize("sitting", [0, 3])
def test_a_sitting_that_is_not_planned_has_no_marks(bench, token, sitting):
    with pytest.raises(NotFound):
        enter_marks(bench, token, sitting, {})


def test_where_somebody_else_pours_there_are_no_marks(bench, sealed_tasting):
    with pytest.raises(NotFound):
        enter_marks(bench, sealed_tasting.tokens[1], 1, {})


def test_a_photo_that_is_none_keeps_the_marks_out(bench, alone, token, stored):
    alone.taste(1)
    before = stored()
    with pytest.raises(Invalid) as refused:
        enter_marks(bench, token, 1, fill_in(alone), b"no picture")
    assert set(refused.value.messages) == {"photo"}
    assert stored() == before
