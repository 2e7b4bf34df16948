import functools
import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize, stats

from server.stats.same_different import (
    AT_ZERO,
    NEAR_ZERO,
    NO_UPPER,
    ONE_ANSWER_ONLY,
    analyse_same_different,
    p_same_when_different,
    p_same_when_same,
)

rates = st.integers(2, 80).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
criteria = st.floats(0.1, 4)


def likelihood(counts: tuple[int, ...], d: float, tau: float) -> float:
    """The model written down anew, by a general library's normal distribution."""
    root = math.sqrt(2)
    same = 2 * stats.norm.cdf(tau / root) - 1
    other = stats.norm.cdf((tau - d) / root) - stats.norm.cdf((-tau - d) / root)
    return stats.binom.logpmf(counts[0], counts[1], same) + stats.binom.logpmf(
        counts[2], counts[3], other
    )


@pytest.mark.parametrize(
    ("counts", "tau", "d", "se_tau", "se_d"),
    # Computed independently.
    [
        ((60, 100, 40, 100), 1.19023216, 1.43320417, 0.12373474, 0.27981631),
        ((84, 120, 75, 120), 1.46573816, 0.80870962, 0.12686805, 0.34652244),
    ],
)
def test_estimates_equal_computed_values(counts, tau, d, se_tau, se_d):
    found = analyse_same_different(*counts)
    assert (found.criterion, found.d_prime) == pytest.approx((tau, d), abs=5e-9)
    assert (found.criterion_se, found.d_prime_se) == pytest.approx((se_tau, se_d), abs=5e-9)


@pytest.mark.parametrize("d", [0, 0.5, 1, 2, 4])
@pytest.mark.parametrize("tau", [0.4, 1.2, 2.5])
def test_the_rate_of_same_is_a_tail_of_the_noncentral_chi_square_distribution(d, tau):
    # The squared distance of two percepts, halved, is chi-square with one degree of freedom.
    expected = stats.ncx2.cdf(tau**2 / 2, 1, d**2 / 2) if d else stats.chi2.cdf(tau**2 / 2, 1)
    assert p_same_when_different(d, tau) == pytest.approx(expected, abs=1e-10)


@given(criteria)
def test_pairs_of_samples_that_do_not_differ_are_same_pairs(tau):
    assert p_same_when_different(0, tau) == pytest.approx(float(p_same_when_same(tau)), abs=1e-15)


@given(st.floats(0, 6), st.floats(0.01, 3), criteria)
def test_a_larger_distance_is_called_same_less_often(d, more, tau):
    assert p_same_when_different(d + more, tau) < p_same_when_different(d, tau)


def test_rates_are_computed_for_arrays_of_any_shape_that_fit():
    rates_found = p_same_when_different(np.array([[0.5], [1.0]]), np.array([0.2, 1.0, 3.0]))
    assert rates_found.shape == (2, 3)
    assert rates_found[1, 2] == p_same_when_different(1.0, 3.0)


@pytest.mark.parametrize(("d", "tau"), [(0, 1), (0.9, 0.6), (1.8, 1.5)])
def test_simulated_assessors_with_a_criterion_say_same_as_often_as_the_model_says(d, tau):
    rng = np.random.default_rng(1977)
    one, twin, other = rng.normal([[0], [0], [d]], 1, (3, 300_000))
    simulated = (np.abs(one - twin) < tau).mean(), (np.abs(one - other) < tau).mean()
    expected = float(p_same_when_same(tau)), float(p_same_when_different(d, tau))
    assert simulated == pytest.approx(expected, abs=4 * math.sqrt(0.25 / 300_000))


@given(st.floats(0.3, 3), st.floats(0.3, 2.5))
def test_estimates_come_back_from_the_rates_they_predict(d, tau):
    same = round(1_000_000 * float(p_same_when_same(tau)))
    other = round(1_000_000 * float(p_same_when_different(d, tau)))
    found = analyse_same_different(same, 1_000_000, other, 1_000_000)
    assert (found.d_prime, found.criterion) == pytest.approx((d, tau), abs=1e-4)


@given(rates, rates)
def test_limits_equal_a_profile_by_a_general_optimiser(same, other):
    counts = (*same, *other)
    found = analyse_same_different(*counts, level=0.9)
    if found.d_prime is None:
        return
    largest = likelihood(counts, found.d_prime, found.criterion)
    for limit in (one for one in found.d_prime_interval if one):
        lost = optimize.minimize_scalar(
            lambda tau, d=limit: largest - likelihood(counts, d, tau), bounds=(1e-9, limit + 6)
        )
        assert 2 * lost.fun == pytest.approx(stats.chi2.ppf(0.9, 1), abs=1e-5)


@given(rates, rates)
def test_the_limits_hold_the_estimate(same, other):
    found = analyse_same_different(*same, *other)
    low, high = found.d_prime_interval
    assert low >= 0
    assert found.d_prime is None or low <= found.d_prime < high


@given(rates, rates)
def test_whatever_is_not_estimable_has_a_sentence(same, other):
    found = analyse_same_different(*same, *other)
    values = (found.d_prime, found.d_prime_se, found.criterion, found.d_prime_interval.high)
    assert not (None in values and set(found.notes) <= {NEAR_ZERO})


@pytest.mark.parametrize("counts", [(16, 40, 18, 40), (10, 20, 10, 20), (0, 10, 4, 10)])
def test_without_more_same_answers_to_same_pairs_the_distance_is_zero(counts):
    found = analyse_same_different(*counts)
    assert (found.d_prime, found.d_prime_se, found.criterion_se) == (0, None, None)
    assert (found.d_prime_interval.low, found.notes) == (0, (AT_ZERO,))
    assert p_same_when_same(found.criterion) == pytest.approx(
        (counts[0] + counts[2]) / (counts[1] + counts[3])
    )


def test_near_zero_the_standard_error_comes_with_a_caution():
    found = analyse_same_different(84, 120, 75, 120)
    assert (found.d_prime_interval.low, found.notes) == (0, (NEAR_ZERO,))


def test_different_pairs_never_called_same_leave_the_distance_open_upwards():
    found = analyse_same_different(3, 10, 0, 10)
    assert (found.d_prime, found.d_prime_se, found.notes) == (None, None, (NO_UPPER,))
    assert found.criterion_se > 0
    assert 0.5 < found.d_prime_interval.low < 2
    assert found.d_prime_interval.high is None


def test_same_pairs_always_called_same_leave_distance_and_criterion_open():
    found = analyse_same_different(10, 10, 3, 10)
    assert (found.d_prime, found.criterion, found.criterion_se) == (None, None, None)
    assert found.d_prime_interval.low > 1


@pytest.mark.parametrize("count", [0, 10])
def test_one_answer_to_everything_says_nothing(count):
    found = analyse_same_different(count, 10, count, 10)
    assert (found.d_prime, found.d_prime_interval) == (None, (0, None))
    assert found.notes == (ONE_ANSWER_ONLY,)


@functools.cache
def find_limits(x, y):
    return analyse_same_different(x, 10, y, 12, level=0.9).d_prime_interval


@pytest.mark.parametrize(("d", "least"), [(0, 0.92), (1.5, 0.86)])
def test_the_limits_cover_the_true_distance_nearly_as_often_as_they_say(d, least):
    # Every outcome of 10 and 12 answers, weighed by its chance. At 0 the lower limit
    # cannot miss: the interval then covers more often than it says.
    same = stats.binom.pmf(range(11), 10, float(p_same_when_same(1.2)))
    other = stats.binom.pmf(range(13), 12, float(p_same_when_different(d, 1.2)))
    held = 0.0
    for x, y in itertools.product(range(11), range(13)):
        low, high = find_limits(x, y)
        held += (low <= d and (high is None or high >= d)) * same[x] * other[y]
    assert least < held < least + 0.08


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((5, 4, 1, 4), "same_when_same .* not 5"),
        ((1, 4, -1, 4), "same_when_different .* not -1"),
        ((1, 4, 0, 0), "same_when_different must have from 1 .* not 0"),
        ((1, 4, 1, 4, 0.0), r"level .* not 0\.0"),
    ],
)
def test_impossible_counts_are_refused_by_name_and_value(arguments, message):
    with pytest.raises(ValueError, match=message):
        analyse_same_different(*arguments)
