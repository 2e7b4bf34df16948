import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize, stats

from server.stats.a_not_a import (
    BOTH_RATES_AT_THE_SAME_END,
    ONE_RATE_AT_THE_END,
    REVERSED,
    analyse_a_not_a,
    rates_a_not_a,
)

rates = st.integers(2, 80).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
inner = st.integers(2, 80).flatmap(lambda n: st.tuples(st.integers(1, n - 1), st.just(n)))


@pytest.mark.parametrize(
    ("counts", "d", "criterion", "se"),
    # Computed independently from d' = z(H) - z(F).
    [
        ((60, 100, 35, 100), 0.63866757, 0.06598668, 0.18072479),
        ((36, 50, 18, 50), 0.94130030, -0.11219136, 0.26173437),
    ],
)
def test_estimates_equal_computed_values(counts, d, criterion, se):
    found = analyse_a_not_a(*counts)
    assert (found.d_prime, found.criterion, found.d_prime_se) == pytest.approx(
        (d, criterion, se), abs=5e-9
    )


def test_hits_of_84_and_false_alarms_of_16_percent_lie_two_standard_deviations_apart():
    # Φ(1) = 0.8413 in every normal table; so d' is 2 and nobody leans to either answer.
    found = analyse_a_not_a(8413, 10000, 1587, 10000)
    assert (found.d_prime, found.criterion) == pytest.approx((2, 0), abs=5e-4)


@given(inner, inner)
def test_the_limits_equal_a_profile_by_a_general_optimiser(hits, false_alarms):
    found = analyse_a_not_a(*hits, *false_alarms, level=0.9)
    (x, n), (y, m) = hits, false_alarms

    def likelihood(d, criterion):
        h, f = stats.norm.logcdf([d / 2 - criterion, -d / 2 - criterion])
        miss, rejection = stats.norm.logcdf([criterion - d / 2, criterion + d / 2])
        return x * h + (n - x) * miss + y * f + (m - y) * rejection

    largest = likelihood(found.d_prime, found.criterion)
    for limit in found.d_prime_interval:
        best = optimize.minimize_scalar(lambda c, d=limit: -likelihood(d, c), bounds=(-9, 9))
        assert 2 * (largest + best.fun) == pytest.approx(stats.chi2.ppf(0.9, 1), abs=1e-5)


@given(st.floats(-3, 3), st.floats(-2, 2))
def test_rates_come_from_distance_and_criterion_and_lead_back(d, criterion):
    hit_rate, false_alarm_rate = rates_a_not_a(d, criterion)
    z = stats.norm.ppf([hit_rate, false_alarm_rate])
    assert (z[0] - z[1], -z.mean()) == pytest.approx((d, criterion), abs=1e-9)


@given(inner, inner)
def test_exchanging_the_samples_turns_the_sign_of_the_distance(one, other):
    found, turned = analyse_a_not_a(*one, *other), analyse_a_not_a(*other, *one)
    assert turned.d_prime == pytest.approx(-found.d_prime, abs=1e-12)
    low, high = found.d_prime_interval
    assert turned.d_prime_interval == pytest.approx((-high, -low), abs=1e-7)


@given(rates, rates)
def test_the_limits_hold_the_estimate(one, other):
    found = analyse_a_not_a(*one, *other)
    if found.d_prime is not None:
        assert found.d_prime_interval.low < found.d_prime < found.d_prime_interval.high


@given(rates, rates)
def test_whatever_is_not_estimable_has_a_sentence(one, other):
    found = analyse_a_not_a(*one, *other)
    missing = None in (found.d_prime, found.d_prime_se, found.criterion, *found.d_prime_interval)
    sentences = {ONE_RATE_AT_THE_END, BOTH_RATES_AT_THE_SAME_END}
    assert missing == bool(sentences & set(found.notes))


@given(rates, st.integers(1, 12))
def test_more_hits_mean_a_larger_distance(false_alarms, served):
    found = [analyse_a_not_a(hits, served, *false_alarms) for hits in range(served + 1)]
    adjusted = [one.d_prime_adjusted for one in found]
    assert all(before < after for before, after in itertools.pairwise(adjusted))


def test_every_hit_leaves_the_distance_open_upwards():
    found = analyse_a_not_a(10, 10, 3, 10)
    assert (found.d_prime, found.d_prime_se, found.criterion) == (None, None, None)
    assert found.d_prime_interval.low > 1
    assert (found.d_prime_interval.high, found.notes) == (None, (ONE_RATE_AT_THE_END,))


def test_no_hit_at_all_leaves_the_distance_open_downwards():
    found = analyse_a_not_a(0, 10, 5, 10)
    assert found.d_prime_interval.low is None
    assert found.d_prime_interval.high < 0
    assert found.notes == (ONE_RATE_AT_THE_END, REVERSED)


@pytest.mark.parametrize("count", [0, 10])
def test_one_answer_to_everything_says_nothing(count):
    found = analyse_a_not_a(count, 10, count, 10)
    assert found.d_prime_interval == (None, None)
    assert (found.d_prime_adjusted, found.notes) == (0, (BOTH_RATES_AT_THE_SAME_END,))


def test_half_an_answer_is_added_to_every_count_of_the_adjusted_values():
    # Hautus (1995), from memory: (hits + 0.5) / (n + 1).
    z = stats.norm.ppf([10.5 / 11, 3.5 / 11])
    found = analyse_a_not_a(10, 10, 3, 10)
    assert (found.d_prime_adjusted, found.criterion_adjusted) == pytest.approx(
        (z[0] - z[1], -z.mean())
    )


@pytest.mark.parametrize(("d", "criterion"), [(0, 0.3), (0.8, 0), (1.7, -0.6)])
def test_simulated_assessors_with_a_criterion_call_a_as_often_as_the_model_says(d, criterion):
    rng = np.random.default_rng(1966)
    percepts = rng.normal([[d / 2], [-d / 2]], 1, (2, 300_000))
    simulated = (percepts > criterion).mean(axis=1)
    error = math.sqrt(0.25 / percepts.shape[1])
    assert np.abs(simulated - rates_a_not_a(d, criterion)).max() < 4 * error


def test_the_limits_cover_the_true_distance_nearly_as_often_as_they_say():
    # Every outcome of 12 and 12 answers, weighed by its chance: no simulation error. Outcomes
    # of a chance below one in 100,000 may cover it or not.
    rates_true = [float(rate) for rate in rates_a_not_a(0.7, 0.2)]
    chances = [stats.binom.pmf(range(13), 12, rate) for rate in rates_true]
    held = unlikely = 0.0
    for x, y in itertools.product(range(13), repeat=2):
        if chances[0][x] * chances[1][y] < 1e-5:
            unlikely += chances[0][x] * chances[1][y]
            continue
        low, high = analyse_a_not_a(x, 12, y, 12, level=0.9).d_prime_interval
        covers = (low is None or low <= 0.7) and (high is None or high >= 0.7)
        held += covers * chances[0][x] * chances[1][y]
    assert 0.86 < held <= held + unlikely < 0.94


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((5, 4, 1, 4), "hits .* not 5"),
        ((1, 4, -1, 4), "false_alarms .* not -1"),
        ((0, 0, 1, 4), "hits must have from 1 .* not 0"),
        ((1, 4, 1, 4, 1.0), r"level .* not 1\.0"),
    ],
)
def test_impossible_counts_are_refused_by_name_and_value(arguments, message):
    with pytest.raises(ValueError, match=message):
        analyse_a_not_a(*arguments)
