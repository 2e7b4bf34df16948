import pytest

from server.tastings.pouring import void_serving
from server.tastings.refusals import Invalid
from server.tastings.voiding import void_place


def test_the_leader_can_void_an_answered_serving(bench, play):
    serving = play.place(1).current.id
    play.answer(1)
    void_place(bench, play.made.id, " 1 ", "1", "swapped with seat 2")
    assert play.record.standing(serving) is None
    assert play.record.voids[serving].reason == "swapped with seat 2"


def test_a_second_tap_voids_once(bench, play):
    for _ in "12":
        void_place(bench, play.made.id, "1", "1", "swapped")
    assert play.record.version == 1


def test_voiding_a_place_voids_the_last_spare_served_there(bench, small):
    first = void_serving(bench, small.bar, small.made.servings(1)[0].id, "spilt")
    second = void_serving(bench, small.bar, first, "spilt again")
    small.answer(1)
    void_place(bench, small.made.id, "1", "1", "swapped")
    assert small.record.standing(second) is None


@pytest.mark.parametrize(("seat", "number"), [("", ""), ("1", "4"), ("99", "1"), ("one", "1")])
def test_a_place_that_is_not_there_cannot_be_voided(bench, play, seat, number):
    with pytest.raises(Invalid) as refused:
        void_place(bench, play.made.id, seat, number, "swapped")
    assert "void_seat" in refused.value.messages


def test_voiding_needs_a_reason(bench, play):
    with pytest.raises(Invalid) as refused:
        void_place(bench, play.made.id, "1", "1", " ")
    assert "void_reason" in refused.value.messages


def test_alone_nothing_is_taken_out_once_its_marks_are_known(bench, alone):
    alone.sit(1)
    with pytest.raises(Invalid) as refused:
        void_place(bench, alone.made.id, "1", "1", "swapped")
    assert "void_round" in refused.value.messages
    assert alone.record.voids == {}
