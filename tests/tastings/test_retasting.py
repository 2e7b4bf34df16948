"""The next tasting opens filled in, with the weakest point repaired and codes of its own."""

import pytest

from server.tastings.concluding import StillSealed
from server.tastings.drafts import create_draft
from server.tastings.planning import read_plan
from server.tastings.retasting import plan_again
from server.tastings.sealing import seal_tasting
from tests.playing import Play


@pytest.fixture
def again(bench, led):
    """Unseal a played tasting and return the plan that follows from it."""

    def plan(play):
        play.unseal()
        return plan_again(bench, led(play))

    return plan


def test_the_next_plan_asks_the_same_question_of_the_same_samples(play, again, plan_form):
    play.fill(right=12)
    following = again(play).form
    typed = {"alpha": "0.05", **plan_form()}
    asked = ("question", "sample_a", "sample_b", "difference", "size_percent", "alpha")
    assert [following[name] for name in asked] == [typed[name] for name in asked]


def test_a_test_that_was_too_small_becomes_larger(small, again):
    small.fill(right=1)
    following = again(small)
    assert int(following.form["assessors"]) * int(following.form["rounds"]) > 2
    assert following.reasons


def test_single_pots_become_separate_brews(bench, make_tasting, again):
    play = Play(bench, make_tasting(pots="single", pot_ml="2000"))
    play.fill(right=14)
    assert again(play).form["pots"] == "separate"


def test_a_found_difference_gets_a_null_control(play, again):
    play.fill(right=14)
    assert again(play).form["null_control"] == "on"


def test_the_next_plan_can_be_sealed_as_it_stands(bench, account, play, again):
    play.fill(right=6)
    given = read_plan(again(play).form)
    assert len(seal_tasting(bench, create_draft(bench, account.id, given))) == 64


def test_the_next_tasting_has_codes_of_its_own(bench, account, play, again):
    play.fill(right=14)
    tasting_id = create_draft(bench, account.id, read_plan(again(play).form))
    assert tasting_id != play.made.id
    assert seal_tasting(bench, tasting_id) != play.made.seal


def test_nothing_is_planned_from_a_tasting_that_is_still_sealed(bench, play, led):
    with pytest.raises(StillSealed):
        plan_again(bench, led(play))
