from fractions import Fraction

import pytest
from scipy.stats import binomtest

from server.blinding.events import Kind
from server.blinding.plans import Purpose
from server.stats.thurstone import TRIANGLE

# d′ at which 90 % of judgements notice the difference: pc = 1/3 + 0.9 · 2/3 = 14/15.
POSITIVE = {"label": "12 % water added", "size_d_prime": repr(TRIANGLE.d_prime(14 / 15))}


@pytest.fixture
def controlled(make_story):
    """A tasting with both controls: so many right of 18, of 6 null and of 6 positive answers."""

    def tell(right, null=2, positive=6, **changes):
        story = make_story(**{"null_control": True, "positive_control": POSITIVE} | changes)
        story.brew().taste(right).taste(null, purpose=Purpose.NULL)
        return story.taste(positive, purpose=Purpose.POSITIVE).close().unseal()

    return tell


def find(story, purpose):
    return story.analyse().find_control(purpose)


def test_answers_of_controls_are_no_answers_of_the_test(controlled):
    analysis = controlled(11).analyse()
    assert (analysis.main.correct, analysis.main.trials) == (11, 18)
    assert (analysis.people.persons, analysis.people.most) == (6, 3)


def test_each_control_is_counted_by_itself_the_null_control_first(controlled):
    counted = [(one.purpose, one.correct, one.trials) for one in controlled(11).analyse().controls]
    assert counted == [(Purpose.NULL, 2, 6), (Purpose.POSITIVE, 6, 6)]


def test_only_rounds_of_the_test_are_tallied(controlled):
    story = controlled(11)
    rounds = sorted({one.round for one in story.main})
    assert [one.round for one in story.analyse().rounds] == rounds


def test_brews_and_match_are_those_of_the_test(controlled):
    analysis = controlled(11).analyse()
    assert {row.sample for row in analysis.match.rows} == {"A", "B"}
    assert [one.slots_planned for one in analysis.brews] == [6, 6]


def test_the_headline_names_the_samples_of_the_test(controlled):
    assert "“flushed cartridge”" in controlled(11).conclude().headline


def test_p_of_a_control_is_exact(controlled):
    # By hand: 5 or 6 right of 6 by guessing, (6 · 2 + 1) / 3⁶ = 13/729.
    null = find(controlled(11, null=5), Purpose.NULL)
    assert null.p_value == pytest.approx(float(Fraction(13, 729)))
    assert (null.critical, null.detected) == (5, True)


def test_limits_of_a_control_are_the_exact_ones(controlled):
    # Two-sided and one-sided Clopper-Pearson limits by scipy.stats.
    null = find(controlled(11, null=3), Purpose.NULL)
    both = binomtest(3, 6).proportion_ci(0.95, method="exact")
    upper = binomtest(3, 6, alternative="less").proportion_ci(0.95, method="exact").high
    assert null.pc_interval == pytest.approx((both.low, both.high))
    assert null.pd_upper == pytest.approx((upper - 1 / 3) / (2 / 3))


def test_the_power_of_a_positive_control_is_that_at_its_declared_size(controlled):
    # By hand: 5 or 6 right of 6 at pc = 14/15.
    pc = Fraction(14, 15)
    power = pc**6 + 6 * pc**5 * (1 - pc)
    declared = find(controlled(11), Purpose.POSITIVE).declared
    assert declared.power == pytest.approx(float(power), abs=1e-9)
    assert declared.share == pytest.approx(0.9)


@pytest.mark.parametrize(("right", "passed"), [(6, True), (5, True), (4, False), (0, False)])
def test_a_positive_control_passes_from_its_critical_number_on(controlled, right, passed):
    assert find(controlled(11, positive=right), Purpose.POSITIVE).passed == passed


def test_a_positive_control_of_little_power_never_passes(controlled):
    small = POSITIVE | {"size_d_prime": "1.5"}
    positive = find(controlled(11, positive=6, positive_control=small), Purpose.POSITIVE)
    assert (positive.detected, positive.is_large_enough, positive.passed) == (True, False, False)


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({"pots": "single", "pot_ml": "900"}, "told_apart_pots"),
        ({"tds_limit": "0.001"}, "told_apart_brews"),
        ({"pourer": "taster"}, "exploratory"),
    ],
)
def test_a_null_control_that_was_noticed_stands_in_its_order_of_gravity(
    controlled, changes, verdict
):
    assert controlled(11, null=5, **changes).conclude().verdict == verdict


def test_a_null_control_is_compared_with_the_test_by_score_limits(make_story):
    # Newcombe 1998, table II (b), method 10: 9/10 less 3/10, .1705 to .8090 (from memory).
    story = make_story(null_control=True, assessors=10, rounds=1).brew().taste(9)
    null = find(story.taste(3, purpose=Purpose.NULL).close().unseal(), Purpose.NULL)
    assert null.difference == pytest.approx(0.6)
    assert null.difference_interval == pytest.approx((0.1705, 0.8090), abs=5e-5)
    assert null.is_exceeded


def test_a_positive_control_of_several_rounds_counts_all_their_answers(make_story):
    # By hand: at pc = 14/15 all 6 or 5 of 6 answers are found, as above, but of 2 people.
    known = POSITIVE | {"rounds": 3}
    story = make_story(positive_control=known, assessors=2, rounds=3, spare_seats=0)
    story.brew().taste(3).taste(6, purpose=Purpose.POSITIVE).close().unseal()
    positive = find(story, Purpose.POSITIVE)
    pc = Fraction(14, 15)
    assert (positive.planned, positive.trials, positive.passed) == (6, 6, True)
    assert positive.declared.power == pytest.approx(float(pc**6 + 6 * pc**5 * (1 - pc)), abs=1e-9)


def test_a_null_control_cannot_pass(controlled):
    assert not find(controlled(11, null=6), Purpose.NULL).passed


def test_a_control_without_answers_was_not_served(make_story):
    story = make_story(null_control=True).brew().taste(11).close().unseal()
    assert find(story, Purpose.NULL) is None
    assert story.analyse().controls[0].planned == 6


def test_without_a_plan_for_them_there_are_no_controls(tell_whole):
    assert tell_whole(11).analyse().controls == ()


def test_an_abandoned_tasting_shows_no_controls(make_story):
    story = make_story(null_control=True).taste(6, 6).taste(6, purpose=Purpose.NULL)
    assert story.tell(Kind.ABANDONED, reason="no water").analyse().controls == ()


def test_answers_of_controls_alone_make_no_finding(make_story):
    story = make_story(null_control=True).taste(6, purpose=Purpose.NULL).close("x").unseal()
    assert story.conclude().verdict == "no_answers"


def test_a_struck_serving_of_a_control_is_not_planned(make_story):
    story = make_story(null_control=True, begun=False)
    story.strike(story.find_servings(Purpose.NULL)[0]).begin().taste(11)
    analysis = story.taste(2, 5, Purpose.NULL).close().unseal().analyse()
    assert (analysis.controls[0].planned, analysis.reach.planned) == (5, 18)


def test_a_contest_over_a_control_leaves_the_test_with_one_reading(make_story):
    story = make_story(null_control=True).taste(11).taste(2, purpose=Purpose.NULL)
    story.answer(story.find_servings(Purpose.NULL)[0], False, Kind.CONTESTED, revision=2)
    analysis = story.close().unseal().analyse()
    assert (analysis.alternatives, analysis.controls[0].trials) == ((), 5)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("purpose", [Purpose.TEST, Purpose.NULL, Purpose.POSITIVE])
def test_the_odd_cup_of_a_control_is_found_by_its_brew_or_sample(make_story, purpose, seed):
    # By hand from the key: brews in a null control, samples elsewhere.
    story = make_story(seed, null_control=True, positive_control=POSITIVE, assessors=8)
    story.taste(4, 8, purpose)
    reading = next(
        (one.correct, one.trials)
        for one in (story.close("x").unseal().analyse().main, *story.analyse().controls)
        if getattr(one, "purpose", Purpose.TEST) == purpose
    )
    assert reading == (4, 8)
