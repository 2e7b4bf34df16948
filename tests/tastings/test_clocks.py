from datetime import UTC, datetime, timedelta

import pytest

from server.storage import queries
from server.tastings import answering, clocks, pouring
from server.tastings.clocks import NOTHING, tell_ahead
from server.tastings.progress import show_progress


def send(play, seat, device_at=None, sent_at=None):
    serving = play.place(seat).current
    form, token = {"pick": serving.codes[0]}, play.made.tokens[seat]
    sent = (f"k{serving.id}", device_at, sent_at)
    answering.record_answer(play.bench, token, serving.id, form, *sent)


def last_body(bench, play):
    with bench.reading() as db:
        return queries.load_events(db, play.made.id)[-1].body


def test_the_moments_of_a_device_stand_beside_that_of_the_server(bench, play, clock):
    send(play, 1, "2031-05-14T08:50:00+00:00", "2031-05-14T09:03:00+00:00")
    body = last_body(bench, play)
    assert body["at"] == clock.now.isoformat(timespec="milliseconds")
    assert (body["device_at"], body["sent_at"]) == (
        "2031-05-14T08:50:00+00:00",
        "2031-05-14T09:03:00+00:00",
    )


def test_without_a_script_nothing_is_said_of_sending(bench, play):
    send(play, 1)
    assert "sent_at" not in last_body(bench, play)


def test_the_board_tells_how_wrong_the_clock_of_a_device_is(play, led):
    send(play, 2, "2031-05-14T08:00:00Z", "2031-05-14T09:03:10Z")
    send(play, 3, "2031-05-14T09:00:10Z", "2031-05-14T09:00:10Z")
    said = [seat.clock for seat in show_progress(led(play)).seats]
    assert said == ["", "3 min ahead", "", "", "", "", ""]


def test_how_long_an_answer_lay_on_its_device_is_no_fault_of_its_clock(play, led):
    send(play, 2, "2031-05-14T08:00:00Z", "2031-05-14T09:00:00Z")
    assert led(play).clocks == {2: NOTHING}


def test_the_newest_answer_tells_of_the_clock(play, led):
    for sent in ("2031-05-14T09:30:00Z", "2031-05-14T08:58:00Z"):
        send(play, 2, sent, sent)
    assert led(play).clocks == {2: timedelta(minutes=-2)}


def test_an_answer_to_a_spare_serving_tells_of_the_seat_it_stands_before(bench, small, led):
    spilt = small.made.servings(1)[0]
    pouring.void_serving(bench, small.bar, spilt.id, "spilt")
    send(small, 1, None, "2031-05-14T10:00:00Z")
    assert led(small).clocks == {1: timedelta(hours=1)}


@pytest.mark.parametrize("text", [None, "", "noon", "2031-05-14T09:00", "0001-01-01T00:00+14:00"])
def test_what_is_no_moment_with_a_zone_tells_nothing(text):
    assert clocks.read_moment(text) is None


@pytest.mark.parametrize(
    ("ahead", "said"),
    [
        (timedelta(seconds=29), ""),
        (timedelta(seconds=40), "1 min ahead"),
        (timedelta(minutes=-119), "119 min behind"),
        (timedelta(minutes=121), "2 h ahead"),
        (timedelta(days=-20000), "20000 days behind"),
    ],
)
def test_a_wrong_clock_is_told_in_a_unit_of_its_size(ahead, said):
    assert tell_ahead(ahead) == said


def test_a_lock_counts_from_the_tap_by_the_clock_of_the_server(play):
    assert play.place(1).locked_at is None
    send(play, 1, "1999-01-01T00:00:00Z", "1999-01-01T00:10:00Z")
    assert play.place(1).locked_at == datetime(2031, 5, 14, 8, 50, tzinfo=UTC)


def test_a_device_that_sends_before_it_is_tapped_gains_nothing(play, clock):
    send(play, 1, "1999-01-01T00:10:00Z", "1999-01-01T00:00:00Z")
    assert play.place(1).locked_at == clock.now
