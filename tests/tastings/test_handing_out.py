import pytest

from server.tastings.handing_out import add_pourer, find_links
from server.tastings.pouring import find_bar
from server.tastings.refusals import Invalid


def test_every_seat_and_the_pourer_have_a_link(bench, play):
    handed = find_links(bench, play.made.id)
    assert {one.number: one.token for one in handed.seats} == play.made.tokens
    assert [one.token for one in handed.pourers] == [play.made.pourer]


@pytest.mark.parametrize(
    ("typed", "rounds"),
    [("1, 3", (1, 3)), ("2", (2,)), ("3 1", (1, 3)), (" 1;2; 3 ", (1, 2, 3)), ("2,2", (2,))],
)
def test_a_pourer_gets_the_typed_rounds(bench, play, led, typed, rounds):
    assert find_bar(bench, add_pourer(bench, led(play), typed)).rounds == rounds


@pytest.mark.parametrize("typed", ["", " , ", "0", "4", "1, 4", "-1", "1.5", "1-3", "all", "1" * 9])
def test_rounds_that_cannot_be_read_make_no_link(bench, play, led, typed):
    with pytest.raises(Invalid) as refused:
        add_pourer(bench, led(play), typed)
    assert refused.value.messages == {"rounds": "Name rounds from 1 to 3, such as 1, 2."}
    assert len(find_links(bench, play.made.id).pourers) == 1


def test_a_second_tap_makes_no_second_link(bench, play, led):
    first, second = (add_pourer(bench, led(play), typed) for typed in ("1, 2", "2 1"))
    assert first == second
    assert len(find_links(bench, play.made.id).pourers) == 2


def test_handing_out_leaves_no_event(bench, play, led):
    add_pourer(bench, led(play), "1")
    assert play.record.version == 0
