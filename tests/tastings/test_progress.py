from uuid import UUID

import pytest

from server.tastings import accounts, answering, closing, pouring, progress, seating
from server.tastings.progress import Mark, show_progress
from server.tastings.voiding import void_place


@pytest.fixture
def board(led):
    return lambda play: show_progress(led(play))


def mark(board, play, seat, number=1):
    return board(play).seats[seat - 1].marks[number - 1]


def compare(play, seat, *, differ):
    serving = play.place(seat).current.id
    answering.confirm_codes(play.bench, play.made.tokens[seat], serving, differ=differ)


def test_an_untouched_board_waits(play, board):
    assert {one for seat in board(play).seats for one in seat.marks} == {Mark.WAITING}


def test_seats_and_rounds_are_those_of_the_plan(play, board):
    shown = board(play)
    assert [(one.number, one.spare) for one in shown.seats][-2:] == [(6, False), (7, True)]
    assert {len(one.marks) for one in shown.seats} == {3}
    assert (shown.headings, shown.slots) == (("Round 1", "Round 2", "Round 3"), 12)


def test_a_taken_seat_shows_what_its_taster_called_themselves(bench, play, board):
    seating.take_seat(bench, play.made.code, 2, "5eed", "Ona")
    seat = board(play).seats[1]
    assert (seat.taken, seat.label) == (True, "Ona")


def test_a_served_tray_is_at_the_table(bench, play, board):
    pouring.tick_served(bench, play.bar, play.made.servings(2)[0].id, done=True)
    assert mark(board, play, 2) == Mark.AT_TABLE


def test_a_calling_seat_is_seen_until_its_codes_fit(play, board):
    compare(play, 2, differ=True)
    assert mark(board, play, 2) == Mark.CALLING
    compare(play, 2, differ=False)
    assert mark(board, play, 2) == Mark.AT_TABLE


@pytest.mark.parametrize("right", [True, False])
def test_an_answer_is_seen_but_not_whether_it_is_right(play, board, right):
    play.answer(2, right=right)
    assert mark(board, play, 2) == Mark.ANSWERED
    assert board(play).reached.reached == 1


def test_a_contested_answer_is_shown_with_all_that_was_said(play, board):
    serving = play.contest(2)
    contest = board(play).contests[0]
    assert mark(board, play, 2) == Mark.CONTESTED
    assert (contest.serving, contest.seat, contest.round) == (serving, 2, 1)
    assert [one.revision for one in contest.given] == [1, 2]


def test_a_settled_contest_is_an_answer(bench, play, board):
    closing.settle_contest(bench, play.made.id, play.contest(2), "1")
    assert mark(board, play, 2) == Mark.ANSWERED
    assert board(play).contests[0].settled


def test_a_contest_settled_as_void_is_void(bench, play, board):
    closing.settle_contest(bench, play.made.id, play.contest(2), "void")
    assert mark(board, play, 2) == Mark.VOID


def test_a_void_serving_without_a_spare_is_void(bench, play, board):
    void_place(bench, play.made.id, "2", "1", "swapped")
    assert mark(board, play, 2) == Mark.VOID


def test_a_replaced_serving_is_followed_to_its_last_spare(bench, small, board):
    first = pouring.void_serving(bench, small.bar, small.made.servings(1)[0].id, "spilt")
    assert mark(board, small, 1) == Mark.REPLACED
    pouring.void_serving(bench, small.bar, first, "spilt again")
    small.answer(1)
    assert mark(board, small, 1) == Mark.ANSWERED


def test_noted_brews_are_counted(bench, play, board):
    pouring.note_brew(bench, play.made.id, [1], {"slot": "A1", "tds": "1.3"})
    assert board(play).brews == 1


def test_a_tasting_is_found_by_its_own_leader_only(bench, play):
    other = accounts.find_link(bench, accounts.issue_link(bench, "somebody else"))
    assert progress.find_led(bench, other.id, play.made.id) is None


def test_a_draft_and_what_is_not_there_have_no_board(bench, account, draft):
    assert progress.find_led(bench, account.id, draft) is None
    assert progress.find_led(bench, account.id, UUID(int=1, version=4)) is None


def test_the_version_on_the_board_is_the_number_of_the_last_event(play, led):
    play.answer(1)
    assert progress.show_progress(led(play)).version == play.record.version == 2


def test_the_seal_on_the_board_is_the_published_one(play, led):
    assert led(play).seal == play.made.seal


def sittings(board, play):
    return board(play).sittings


def test_a_board_alone_goes_by_sittings_and_waits_for_marks_once_a_sitting_is_tasted(board, alone):
    first, *rest = alone.servings(1)
    alone.answer(first)
    assert not sittings(board, alone)[0].waiting
    for serving in rest:
        alone.answer(serving)
    assert [one.waiting for one in sittings(board, alone)] == [True, False]
    alone.turn(1)
    assert [(one.waiting, one.turned) for one in sittings(board, alone)] == [
        (False, True), (False, False),
    ]  # fmt: skip


def test_a_board_alone_counts_lost_marks_and_sees_what_was_given_up(board, alone):
    first, second, third = alone.servings(1)
    alone.give_up(first)
    alone.answer(second)
    alone.answer(third)
    alone.turn(1, {second.id: 1})
    line = sittings(board, alone)[0]
    assert (line.lost, line.corrected, line.marks) == (
        1, False, (Mark.VOID, Mark.ANSWERED, Mark.ANSWERED),
    )  # fmt: skip


def test_a_panel_has_no_sittings_on_its_board(board, play):
    assert sittings(board, play) == ()
