import pytest

from server.blinding.events import Kind, State
from server.stats.thurstone import TRIANGLE

# d′ at which 30 % of judgements notice the difference: pc = 1/3 + 0.3 · 2/3.
SIZE_30 = repr(TRIANGLE.d_prime(1 / 3 + 0.3 * 2 / 3))

# Exact binomial power of the triangle test at a share of 30 % and α = 0.05, with
# critical number: recomputed for this project by a second program with exact sums.
POWER_30 = [(6, 10, 0.5208845340), (8, 13, 0.5504751325)]


@pytest.mark.parametrize(("assessors", "critical", "power"), POWER_30)
def test_power_at_the_size_that_matters_is_the_exact_one(tell_whole, assessors, critical, power):
    reach = tell_whole(9, assessors=assessors, size_d_prime=SIZE_30).analyse().reach
    assert (reach.critical_planned, reach.critical_reached) == (critical, critical)
    assert reach.power_planned == pytest.approx(power, abs=1e-9)
    assert reach.power_reached == pytest.approx(power, abs=1e-9)


def test_power_is_given_for_the_number_planned_and_the_number_reached(make_story):
    story = make_story(assessors=8, size_d_prime=SIZE_30).taste(9, 18).close("no water").unseal()
    reach = story.analyse().reach
    assert reach.power_planned == pytest.approx(0.5504751325, abs=1e-9)
    assert reach.power_reached == pytest.approx(0.5208845340, abs=1e-9)


def test_the_size_that_matters_is_shown_as_a_share(tell_whole):
    assert tell_whole(9, size_d_prime=SIZE_30).analyse().reach.size_share == pytest.approx(0.3)


def test_eight_of_twelve_gives_the_worked_example_of_the_standard(tell_whole):
    # ISO 4120:1983, practical example (quoted in a publication of the FAO): 12 answers,
    # 8 right, critical number 8; its exact p is recomputed.
    analysis = tell_whole(8, assessors=4).analyse()
    assert (analysis.counts.critical, analysis.main.detected) == (8, True)
    assert analysis.main.p_value == pytest.approx(0.0187584323, abs=1e-10)


def test_nine_of_sixteen_reaches_the_level_although_it_prints_as_it(tell_whole):
    # p = 0.04996 by exact sums: rounded to four decimals it looks like the level itself.
    assert tell_whole(9, assessors=8, rounds=2).analyse().main.detected


def test_the_share_allowed_and_its_limits_are_those_of_the_exact_method(tell_whole):
    # Exact (Clopper-Pearson) one-sided 95 % limit for 8 of 12, as a share: recomputed.
    counts = tell_whole(8, assessors=4).analyse().counts
    assert counts.pd_upper == pytest.approx(0.81572401, abs=1e-8)
    assert counts.pd == pytest.approx(0.5)


def test_the_next_size_is_the_stable_number(tell_whole):
    # d′ = 1.5, α = 0.05, power 0.8: from 57 answers on the power stays above 0.8
    # (definition of Ennis and Jesionka 2011; value recomputed).
    assert tell_whole(9).analyse().reach.trials_needed == 57


def test_a_size_too_small_to_plan_for_has_no_number_of_answers(tell_whole):
    assert tell_whole(9, size_d_prime="0.05").analyse().reach.trials_needed is None


def test_without_answers_there_are_no_statistics(make_story):
    analysis = make_story().close("nobody came").unseal().analyse()
    assert (analysis.counts, analysis.main.p_value, analysis.reach.power_reached) == (None,) * 3


def test_without_answers_nobody_and_no_brew_stands_behind_them(make_story):
    analysis = make_story().brew().close("nobody came").unseal().analyse()
    assert (analysis.people.persons, analysis.match.rows) == (0, ())


def test_one_answer_can_be_analysed(make_story):
    analysis = make_story().taste(1, 1).close("fire alarm").unseal().analyse()
    assert (analysis.main.correct, analysis.main.trials) == (1, 1)
    assert analysis.reach.critical_reached is None


def test_all_right_has_no_finite_d_prime(tell_whole):
    assert tell_whole(18).analyse().counts.d_prime is None


def test_all_wrong_has_no_share(tell_whole):
    assert tell_whole(0).analyse().counts.pd_interval is None


def test_rounds_positions_and_orders_add_up_to_the_answers(tell_whole):
    analysis = tell_whole(11).analyse()
    assert sum(one.correct for one in analysis.rounds) == 11
    assert sum(one.picked for one in analysis.positions) == 18
    assert [one.served for one in analysis.orders] == [3] * 6


def test_odd_cups_stand_evenly_on_left_middle_and_right(tell_whole):
    assert [one.odd for one in tell_whole(11).analyse().positions] == [6, 6, 6]


def test_guesses_are_counted_with_how_many_were_right(make_story):
    story = make_story()
    for serving, right in zip(story.main, (True, False, False), strict=False):
        story.answer(serving, right, guess=True)
    guesses = story.close("enough").unseal().analyse().guesses
    assert (guesses.guesses, guesses.correct) == (3, 1)


def test_nothing_in_an_analysis_tells_who_was_right(tell_whole):
    seats = {"judgements", "seat", "seats"}
    assert not seats & set(vars(tell_whole(11).analyse()))


def test_the_analysis_depends_on_text_and_events_alone(tell_whole):
    story = tell_whole(11)
    assert story.analyse() == story.analyse()


@pytest.mark.parametrize(
    ("spoil", "reason"),
    [
        (lambda s: s.tell(Kind.RESULTS_LOOKED, how="page").close().unseal(), "results_look"),
        (lambda s: s.close().unseal(matches=False), "seal_mismatch"),
        (lambda s: s.close(pourer="taster").unseal(), "not_blind"),
        (lambda s: s.close(), "not_unsealed"),
        (lambda s: s.tell(Kind.ABANDONED, reason="no water"), "abandoned"),
    ],
)
def test_what_spoils_a_test_is_a_reason_to_call_it_exploratory(make_story, spoil, reason):
    assert spoil(make_story().brew().taste(12)).analyse().exploratory == (reason,)


def test_a_look_at_the_results_after_closing_spoils_nothing(make_story):
    story = make_story().brew().taste(12).close().tell(Kind.RESULTS_LOOKED, how="page")
    assert story.unseal().analyse().exploratory == ()


def test_a_look_at_the_key_spoils_a_test_that_stopped_short(make_story):
    story = make_story().taste(9, 12).tell(Kind.KEY_LOOKED, who="away", reason="spill")
    assert story.close("late").unseal().analyse().exploratory == ("stopped_after_key_look",)


def test_a_look_at_the_key_from_away_leaves_a_whole_test_as_planned(make_story):
    story = make_story().taste(9).tell(Kind.KEY_LOOKED, who="away", reason="spill")
    analysis = story.close().unseal().analyse()
    assert (analysis.exploratory, analysis.blinding.level) == ((), 3)


def test_stopping_short_with_nobody_looking_is_incomplete_but_as_planned(make_story):
    analysis = make_story().taste(9, 12).close("closing time").unseal().analyse()
    assert (analysis.incomplete, analysis.exploratory) == (True, ())
    assert analysis.closing_reason == "closing time"


def test_a_record_that_does_not_follow_from_the_seal_is_exploratory(tell_whole):
    story = tell_whole(12)
    del story.events[5]
    assert "chain_broken" in story.analyse().exploratory


def test_an_abandoned_tasting_stays_abandoned_when_unsealed(make_story):
    story = make_story().taste(9, 12).tell(Kind.ABANDONED, reason="no water").unseal()
    assert story.analyse().state == State.ABANDONED


def test_an_abandoned_tasting_has_no_statistics(make_story):
    analysis = make_story().taste(9, 12).tell(Kind.ABANDONED, reason="no water").unseal().analyse()
    assert (analysis.counts, analysis.main.p_value, analysis.alternatives) == (None, None, ())
