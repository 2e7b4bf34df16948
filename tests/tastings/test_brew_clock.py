"""Taps by a clock that passes midnight, or is set back in the middle of a brew."""

from datetime import UTC, datetime, timedelta

import pytest

from server.tastings import brew_sheets
from server.tastings.brew_clock import note_tap
from tests.brewing_bench import begin

LATE = datetime(2031, 12, 31, 23, 59, 30, tzinfo=UTC)


@pytest.fixture
def tap(bench, account, clock):
    """Tap so many seconds after half a minute before midnight; return what is noted by then."""
    brew = begin(bench, account.id)

    def tap_at(seconds, what):
        clock.now = LATE + timedelta(seconds=seconds)
        note_tap(bench, account.id, brew, {"tap": what})
        return brew_sheets.get_brew(bench, account.id, brew).brewed

    return tap_at


def test_a_brew_goes_on_over_midnight(tap):
    tap(0, "start")
    tap(50, "2")
    brewed = tap(200, "end")
    assert [(one.planned, one.at_s) for one in brewed.steps] == [(0, 0), (2, 50)]
    assert brewed.ended_s == 200


def test_a_clock_that_is_set_back_notes_no_time_before_the_first_water(tap):
    tap(0, "start")
    brewed = tap(-3600, "1")
    assert [one.at_s for one in brewed.steps] == [0, 0]
    assert tap(180, "end").ended_s == 180
