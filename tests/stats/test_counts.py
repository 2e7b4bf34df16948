import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.binomial import clopper_pearson
from server.stats.counts import (
    BELOW_GUESSING,
    NO_CRITICAL,
    NO_D_PRIME,
    NO_ERROR_AT_CHANCE,
    UPPER_BELOW_GUESSING,
    analyse_counts,
)
from server.stats.thurstone import TRIANGLE, share_from_pc

counts = st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


def test_14_of_24_equals_the_worked_example():
    # In the manner of ASTM E1885: counts, critical number and pd from memory, p and d' recomputed.
    result = analyse_counts(TRIANGLE, 14, 24)
    assert (result.critical, result.detected) == (13, True)
    assert (result.p_value, result.pd, result.d_prime, result.d_prime_se) == pytest.approx(
        (0.0103406738, 0.375, 1.89123506, 0.50829016), abs=1e-8
    )


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
