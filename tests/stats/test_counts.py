import dataclasses
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.binomial import clopper_pearson
from server.stats.counts import (
    EXACTLY_HALF,
    FEWER_THAN_HALF,
    MORE_THAN_HALF,
    NO_CRITICAL,
    NO_D_PRIME,
    NO_D_PRIME_ALL_ALIKE,
    NO_ERROR_AT_CHANCE,
    NO_ERROR_AT_HALF,
    TWO_SIDED,
    analyse_counts,
)
from server.stats.forced_choice import (
    PAIRED_COMPARISON,
    PAIRED_PREFERENCE,
    TETRAD,
    TWO_AFC,
    TWO_OF_FIVE,
)
from server.stats.shares import BELOW_GUESSING, UPPER_BELOW_GUESSING
from server.stats.thurstone import TRIANGLE, share_from_pc

counts = st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


def test_14_of_24_equals_the_worked_example():
    # In the manner of ASTM E1885: counts, critical number and pd from memory, p and d' recomputed.
    result = analyse_counts(TRIANGLE, 14, 24)
    assert (result.critical, result.detected) == (13, True)
    assert (result.p_value, result.pd, result.d_prime, result.d_prime_se) == pytest.approx(
        (0.0103406738, 0.375, 1.89123506, 0.50829016), abs=1e-8
    )


@pytest.mark.parametrize(
    ("model", "correct", "trials", "d_prime", "error"),
    [
        # Computed independently from the models of Ennis (1993) and Ennis & Jesionka (2011).
        (TWO_AFC, 27, 40, 0.64171664, 0.29099073),
        (TETRAD, 30, 48, 1.44628948, 0.23470589),
    ],
)
def test_distances_of_other_methods_equal_computed_ones(model, correct, trials, d_prime, error):
    result = analyse_counts(model, correct, trials)
    assert (result.d_prime, result.d_prime_se) == pytest.approx((d_prime, error), abs=5e-9)


def test_27_of_40_pairs_have_the_p_value_of_the_worked_example():
    # A student laboratory sheet prints z = 2.055 for it; the exact one-sided p was computed
    # independently.
    assert analyse_counts(TWO_AFC, 27, 40).p_value == pytest.approx(0.01923865, abs=5e-9)


def test_one_correct_answer_too_few_is_not_detected():
    # ISO 4120:1983 practical example: 8 of 12 needed (printed in FAO document V7180F).
    detected = [analyse_counts(TRIANGLE, correct, 12).detected for correct in (7, 8)]
    assert detected == [False, True]


@pytest.mark.parametrize(("correct", "upper"), [(25, 0.29652243), (26, 0.32134138)])
def test_the_one_sided_upper_limit_of_the_share_equals_computed_values(correct, upper):
    assert analyse_counts(TRIANGLE, correct, 60).pd_upper == pytest.approx(upper, abs=5e-9)


@given(counts, st.floats(0.5, 0.999))
def test_the_limits_of_share_and_distance_are_those_of_the_proportion(count, level):
    result = analyse_counts(TRIANGLE, *count, level=level)
    low, high = clopper_pearson(*count, level)
    assert result.pc_interval == (low, high)
    if high >= 1 / 3:
        assert result.d_prime_interval == (TRIANGLE.d_prime(low), TRIANGLE.d_prime(high))
        assert result.pd_interval == (
            max(0, share_from_pc(low, 1 / 3)),
            share_from_pc(high, 1 / 3),
        )


@given(counts)
def test_the_limits_hold_the_estimates(count):
    result = analyse_counts(TRIANGLE, *count)
    assert result.pc_interval.low <= result.pc <= result.pc_interval.high
    if result.pd_interval:
        assert result.pd_interval.low <= result.pd <= result.pd_interval.high


@given(counts)
def test_whatever_is_not_estimable_has_a_sentence(count):
    result = analyse_counts(TRIANGLE, *count)
    values = (result.critical, result.pd_interval, result.pd_upper, result.d_prime_se)
    assert (None in values) == bool(result.notes)


@given(counts, st.floats(0.001, 0.3))
def test_detected_means_that_p_is_at_most_alpha(count, alpha):
    result = analyse_counts(TRIANGLE, *count, alpha=alpha)
    assert result.detected == (result.p_value <= alpha)


def test_everything_correct_leaves_the_distance_open_upwards():
    result = analyse_counts(TRIANGLE, 24, 24)
    assert (result.d_prime, result.d_prime_se, result.pd) == (None, None, 1)
    assert result.d_prime_interval.low > 3
    assert result.d_prime_interval.high is None
    assert result.notes == (NO_D_PRIME,)


def test_far_below_guessing_no_share_or_distance_is_given():
    result = analyse_counts(TRIANGLE, 0, 24)
    assert (result.pd, result.d_prime) == (0, 0)
    assert (result.pd_interval, result.d_prime_interval, result.pd_upper) == (None, None, None)
    assert result.notes == (BELOW_GUESSING, NO_ERROR_AT_CHANCE)


def test_below_guessing_by_the_one_sided_limit_alone_only_that_limit_is_missing():
    result = next(
        found
        for trials in range(5, 60)
        for found in [analyse_counts(TRIANGLE, trials // 6, trials)]
        if UPPER_BELOW_GUESSING in found.notes
    )
    assert result.pd_upper is None
    assert result.pd_interval.low == 0


def test_exactly_at_chance_the_distance_is_zero_without_an_error():
    # 20 of 60: d' = 0, its delta-method error grows without bound (recomputed).
    result = analyse_counts(TRIANGLE, 20, 60)
    assert (result.d_prime, result.d_prime_se, result.pd) == (0, None, 0)
    assert result.notes == (NO_ERROR_AT_CHANCE,)


def test_two_answers_have_no_critical_number_and_detect_nothing():
    result = analyse_counts(TRIANGLE, 2, 2)
    assert (result.critical, result.detected) == (None, False)
    assert NO_CRITICAL in result.notes


@pytest.mark.parametrize(("larger", "detected"), [(17, False), (18, True)])
@pytest.mark.parametrize("either", [False, True])
def test_two_sided_24_answers_need_18_for_either_sample(larger, detected, either):
    # ISO 5495, Table A.2 (from memory, recomputed exactly).
    result = analyse_counts(PAIRED_COMPARISON, 24 - larger if either else larger, 24, sided="two")
    assert (result.critical, result.detected) == (18, detected)


@given(counts, st.floats(0.001, 0.3))
def test_two_sided_detected_means_that_p_is_at_most_alpha(count, alpha):
    result = analyse_counts(PAIRED_PREFERENCE, *count, alpha=alpha, sided="two")
    assert result.detected == (result.p_value <= alpha)


@given(counts)
def test_two_sided_the_estimates_do_not_ask_which_sample_was_counted(count):
    correct, trials = count
    one = analyse_counts(PAIRED_COMPARISON, correct, trials, sided="two")
    other = analyse_counts(PAIRED_COMPARISON, trials - correct, trials, sided="two")
    assert (one.p_value, one.d_prime, one.d_prime_se) == (
        other.p_value,
        other.d_prime,
        other.d_prime_se,
    )
    assert (one.pd, one.pd_upper, *one.pd_interval) == pytest.approx(
        (other.pd, other.pd_upper, *other.pd_interval), abs=1e-9
    )


@given(counts)
def test_two_sided_the_limits_of_the_distance_are_those_of_the_share(count):
    result = analyse_counts(PAIRED_COMPARISON, *count, sided="two")
    low, high = ((1 + share) / 2 for share in result.pd_interval)
    assert result.d_prime_interval.low == pytest.approx(TWO_AFC.d_prime(low), abs=1e-9)
    assert result.d_prime_interval.high == pytest.approx(TWO_AFC.d_prime(high), abs=1e-9)


def test_two_sided_the_lower_limits_are_0_where_an_even_split_is_not_excluded():
    result = analyse_counts(PAIRED_COMPARISON, 9, 24, sided="two")
    assert result.pc_interval.low < 0.5 < result.pc_interval.high
    assert (result.pd_interval.low, result.d_prime_interval.low) == (0, 0)


@pytest.mark.parametrize("pc", [0.3, 0.5, 0.55, 0.9])
def test_two_sided_limits_of_the_share_cover_it_at_least_as_often_as_they_say(pc):
    # Every possible result of 30 paired comparisons, weighted by its probability.
    weights = stats.binom.pmf(range(31), 30, pc)
    results = [analyse_counts(PAIRED_PREFERENCE, x, 30, level=0.9, sided="two") for x in range(31)]
    share = abs(2 * pc - 1)
    inside = [r.pd_interval.low <= share <= r.pd_interval.high for r in results]
    assert weights[inside].sum() >= 0.9
    assert weights[[share <= r.pd_upper for r in results]].sum() >= 0.9


@pytest.mark.parametrize(
    ("correct", "way"), [(5, FEWER_THAN_HALF), (12, EXACTLY_HALF), (13, MORE_THAN_HALF)]
)
def test_a_two_sided_test_says_which_way_the_answers_lean(correct, way):
    assert analyse_counts(PAIRED_COMPARISON, correct, 24, sided="two").notes[-2:] == (
        TWO_SIDED,
        way,
    )


def test_an_even_split_has_no_standard_error():
    result = analyse_counts(PAIRED_COMPARISON, 12, 24, sided="two")
    assert (result.pd, result.d_prime, result.d_prime_se) == (0, 0, None)
    assert NO_ERROR_AT_HALF in result.notes


@pytest.mark.parametrize("correct", [0, 24])
def test_all_answers_for_one_sample_leave_the_distance_open_upwards(correct):
    result = analyse_counts(PAIRED_COMPARISON, correct, 24, sided="two")
    assert (result.pd, result.d_prime, result.d_prime_interval.high) == (1, None, None)
    assert NO_D_PRIME_ALL_ALIKE in result.notes


@pytest.mark.parametrize(("model", "sided"), [(PAIRED_PREFERENCE, "two"), (TWO_OF_FIVE, "one")])
@pytest.mark.parametrize("correct", [0, 7, 24])
def test_a_method_without_distance_gives_none_and_its_reason(model, sided, correct):
    result = analyse_counts(model, correct, 24, sided=sided)
    assert (result.d_prime, result.d_prime_se, result.d_prime_interval) == (None, None, None)
    assert model.without_d_prime in result.notes


def test_ten_thousand_answers_are_analysed_either_way():
    one = analyse_counts(TRIANGLE, 3600, 10_000)
    two = analyse_counts(PAIRED_COMPARISON, 4800, 10_000, sided="two")
    assert (one.detected, two.detected) == (True, True)
    assert 0 < one.p_value < two.p_value < 1e-4


@pytest.mark.parametrize("correct", range(4))
@pytest.mark.parametrize(
    ("model", "sided"),
    [(TRIANGLE, "one"), (TWO_OF_FIVE, "one"), (PAIRED_COMPARISON, "two")],
)
def test_a_result_becomes_strict_json_at_every_count(model, sided, correct):
    result = analyse_counts(model, correct, 3, sided=sided)
    members = json.loads(json.dumps(dataclasses.asdict(result), allow_nan=False))
    assert members["correct"] == correct


def test_a_two_sided_triangle_test_is_refused():
    with pytest.raises(ValueError, match=r"chance must be 0.5 .* not 0.333"):
        analyse_counts(TRIANGLE, 8, 12, sided="two")


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((1, 0), "trials .* not 0"),
        ((13, 12), "correct .* not 13"),
        ((8, 12, 0.0), "alpha .* not 0.0"),
        ((8, 12, 0.05, 1.0), "level .* not 1.0"),
    ],
)
def test_impossible_counts_are_refused_by_name_and_value(arguments, message):
    with pytest.raises(ValueError, match=message):
        analyse_counts(TRIANGLE, *arguments)
