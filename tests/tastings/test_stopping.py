"""A sequential plan says go on or stop after every complete block, and nothing else.

Three people, six rounds, size 50 %: Wald's lines are .5 n - 2.124 and .5 n + 2.124 (by hand:
ln(19)/(2 ln 2)), so that 6 of 6 right, and 0 of 6, end it after the second round.
"""

import pytest

from server.blinding.events import Kind
from server.storage import queries
from server.tastings import closing, voiding
from server.tastings.progress import show_progress
from server.tastings.refusals import Invalid
from tests.playing import Play

PLAN = {
    "assessors": "3", "rounds": "6", "spare_seats": "0", "size_percent": "50",
    "stop_rule": "sequential", "every": "1", "beta": "0.05",
}  # fmt: skip


@pytest.fixture
def steady(bench, make_tasting):
    return Play(bench, make_tasting(**PLAN))


def serve(play, rounds, right, seats=(1, 2, 3)):
    for number in rounds:
        for seat in seats:
            serving = play.made.servings(seat)[number - 1]
            play.send(seat, serving, play.form(serving, right=right))


def advice(play, led):
    return show_progress(led(play)).advice


def count_words(play):
    with play.bench.reading() as db:
        return [one.kind for one in queries.load_events(db, play.made.id)].count(Kind.BLOCK_JUDGED)


def test_a_fixed_plan_says_nothing(play, led):
    play.fill(right=18)
    assert (advice(play, led), count_words(play)) == ("", 0)


def test_it_says_go_on_until_a_block_is_complete(steady, led):
    serve(steady, [1], right=True)
    serve(steady, [2], right=True, seats=(1, 2))
    assert (advice(steady, led), steady.record.blocks) == ("go on", {1: False})


@pytest.mark.parametrize("right", [True, False])
def test_both_lines_end_it_with_the_same_word(steady, led, right):
    serve(steady, [1, 2], right=right)
    assert (advice(steady, led), steady.record.blocks) == ("stop", {1: False, 2: True})


def test_the_planned_end_is_worded_alike(steady, led):
    for number in range(1, 7):
        serve(steady, [number], right=number % 2 == 0)
    assert (advice(steady, led), steady.record.blocks[6]) == ("stop", True)


def test_after_a_stop_nothing_more_is_asked(steady):
    serve(steady, [1, 2, 3], right=True)
    assert count_words(steady) == 2


def test_people_who_are_ahead_do_not_end_a_round_that_others_taste(steady):
    serve(steady, range(1, 7), right=True, seats=(1, 2))
    assert steady.record.blocks == {}
    serve(steady, [1], right=True, seats=(3,))
    assert steady.record.blocks == {1: False}


def test_a_contested_answer_holds_its_block_until_it_is_settled(steady):
    serving = steady.contest(1)
    serve(steady, [1], right=True, seats=(2, 3))
    assert steady.record.blocks == {}
    closing.settle_contest(steady.bench, steady.made.id, serving, "1")
    assert steady.record.blocks == {1: False}


def test_a_serving_taken_out_completes_its_block(steady):
    serve(steady, [1], right=True, seats=(1, 2))
    voiding.void_place(steady.bench, steady.made.id, "3", "1", "spilt")
    assert steady.record.blocks == {1: False}


def test_a_stop_needs_no_reason_to_close_and_a_go_on_does(steady):
    serve(steady, [1], right=True)
    with pytest.raises(Invalid):
        steady.close(reason="")
    serve(steady, [2], right=True)
    steady.close(reason="")
    assert steady.record.state == "closed"


def test_what_was_said_is_what_the_finding_works_out(steady, led):
    from server.tastings.concluding import draw_conclusion

    serve(steady, [1, 2], right=True)
    steady.close(reason="")
    closing.unseal_tasting(steady.bench, steady.made.id)
    conclusion = draw_conclusion(steady.bench, led(steady))
    assert conclusion.analysis.exploratory == ()
    assert conclusion.analysis.sequence.decided_at == 6
    assert conclusion.finding.verdict == "told_apart_not_measured"
