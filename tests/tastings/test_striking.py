"""Seats struck off before the first serving, and people who pour one round and taste another."""

import pytest

from server.blinding.events import State
from server.tastings import handing_out, pouring
from server.tastings.closing import count_reached
from server.tastings.progress import Mark, show_progress
from server.tastings.refusals import Invalid, WrongState
from server.tastings.striking import strike_off


def test_a_struck_seat_answers_nothing(bench, play):
    strike_off(bench, play.made.id, "6", "has a cold")
    assert play.place(6).queue == []


def test_a_struck_seat_is_not_poured_for(bench, play):
    strike_off(bench, play.made.id, "6", "has a cold")
    assert {one.seat for one in play.bar.servings(1)} == {1, 2, 3, 4, 5, 7}


def test_a_struck_seat_is_not_missed(bench, play, led):
    strike_off(bench, play.made.id, "6", "has a cold")
    found = led(play)
    assert count_reached(found.layout, found.record).planned == 15


def test_the_board_shows_what_was_struck(bench, play, led):
    strike_off(bench, play.made.id, "6", "has a cold", rounds=[2])
    line = next(one for one in show_progress(led(play)).seats if one.number == 6)
    assert line.marks == (Mark.WAITING, Mark.STRUCK, Mark.WAITING)


def test_striking_twice_is_as_good_as_once(bench, play):
    for _ in range(2):
        strike_off(bench, play.made.id, "6", "has a cold")
    assert play.record.version == 3


def test_nothing_is_struck_once_serving_has_begun(bench, play):
    pouring.tick_poured(bench, play.bar, "A1", done=True)
    with pytest.raises(WrongState) as refused:
        strike_off(bench, play.made.id, "6", "has a cold")
    assert refused.value.state == State.SERVING


@pytest.mark.parametrize("seat", ["", "0", "7", "99", "six"])
def test_only_a_seat_that_counts_can_be_struck(bench, play, seat):
    with pytest.raises(Invalid, match="not a spare one"):
        strike_off(bench, play.made.id, seat, "has a cold")
    assert play.record.version == 0


def test_a_strike_needs_its_reason(bench, play):
    with pytest.raises(Invalid, match="Say why"):
        strike_off(bench, play.made.id, "6", " ")


def test_who_pours_a_round_does_not_taste_in_it(bench, play, led):
    handing_out.add_pourer(bench, led(play), "2", seat="3")
    assert [one.round for one in play.place(3).queue] == [1, 3]


def test_who_pours_a_round_has_the_key_of_that_round_alone(bench, play, led):
    bar = pouring.find_bar(bench, handing_out.add_pourer(bench, led(play), "2", seat="3"))
    cups = {cup.id for one in play.made.sealed.servings if one.round == 2 for cup in one.cups}
    assert bar.rounds == (2,)
    assert set(bar.key) == cups


def test_a_pourer_is_not_taken_from_the_table_once_serving_has_begun(bench, play, led):
    pouring.tick_poured(bench, play.bar, "A1", done=True)
    with pytest.raises(Invalid) as refused:
        handing_out.add_pourer(bench, led(play), "2", seat="3")
    assert list(refused.value.messages) == ["seat"]


def test_a_pourer_from_no_seat_is_refused_beside_the_field(bench, play, led):
    with pytest.raises(Invalid) as refused:
        handing_out.add_pourer(bench, led(play), "2", seat="44")
    assert list(refused.value.messages) == ["seat"]
