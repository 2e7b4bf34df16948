"""The checklist of the room: ticked, unticked, on record."""

import pytest

from server.blinding.events import CHECKLIST
from server.tastings.checking import tick_check
from server.tastings.refusals import NotFound, WrongState


@pytest.mark.parametrize("item", CHECKLIST)
def test_an_item_can_be_ticked_and_unticked(bench, play, item):
    tick_check(bench, play.made.id, item, done=True)
    assert play.record.checks == {item}
    tick_check(bench, play.made.id, item, done=False)
    assert play.record.checks == set()


def test_a_second_tap_changes_nothing(bench, play):
    for _ in range(2):
        tick_check(bench, play.made.id, "silent", done=True)
    assert play.record.version == 1


def test_ticking_is_no_serving(bench, play):
    tick_check(bench, play.made.id, "silent", done=True)
    assert play.record.state == "sealed"


def test_an_unknown_item_is_refused(bench, play):
    with pytest.raises(NotFound):
        tick_check(bench, play.made.id, "full moon", done=True)


def test_nothing_is_ticked_after_closing(bench, play):
    play.close()
    with pytest.raises(WrongState):
        tick_check(bench, play.made.id, "silent", done=True)
