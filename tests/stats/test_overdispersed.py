import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, special, stats

from server.stats.overdispersed import log_pmf

THIRD = 1 / 3
# Two made-up panels, correct answers of each assessor in 5 and in 4 triangles.
FIVE = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
FOUR = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4]

shapes = st.tuples(
    st.integers(1, 12),
    st.sampled_from([0.0, 0.1, THIRD, 0.5]),
    st.floats(0, 1),
    st.floats(0, 1),
)


@pytest.mark.parametrize(
    ("data", "trials", "chance", "mean", "gamma", "expected"),
    # Log-likelihoods at the maximum, computed independently with the coefficients;
    # the first two fits repeated in a general statistics package.
    [
        (FIVE, 5, 0.0, 0.497245, 0.227460, -28.301346),
        (FIVE, 5, THIRD, 0.217549, 0.869954, -26.306982),
        (FOUR, 4, 0.0, 0.576020, 0.117592, -30.214729),
        (FOUR, 4, THIRD, 0.358489, 0.345401, -30.017806),
    ],
)
def test_likelihoods_of_two_panels_equal_computed_ones(data, trials, chance, mean, gamma, expected):
    assert log_pmf(trials, chance, mean, gamma)[data].sum() == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize("trials", [1, 2, 6, 40, 1000])
@pytest.mark.parametrize(("mean", "gamma"), [(0.3, 0.3), (0.9, 0.05), (0.02, 0.87)])
def test_without_guessing_it_is_the_beta_binomial_of_a_general_library(trials, mean, gamma):
    a, b = mean * (1 - gamma) / gamma, (1 - mean) * (1 - gamma) / gamma
    expected = stats.betabinom(trials, a, b).logpmf(np.arange(trials + 1))
    assert log_pmf(trials, 0.0, mean, gamma) == pytest.approx(expected, abs=1e-9)


def weigh(correct, p):
    """The binomial probability of so many of 6."""
    return math.comb(6, correct) * p**correct * (1 - p) ** (6 - correct)


@pytest.mark.parametrize(("mean", "gamma"), [(0.3, 0.3), (0.6, 0.1)])
def test_with_guessing_it_is_the_binomial_averaged_over_the_shares(mean, gamma):
    # p = g + (1 - g) u, u beta distributed, integrated over u by quadrature.
    a, b = mean * (1 - gamma) / gamma, (1 - mean) * (1 - gamma) / gamma
    for correct, found in enumerate(np.exp(log_pmf(6, THIRD, mean, gamma))):
        expected, _ = integrate.quad(
            lambda v, k=correct: weigh(k, THIRD + (1 - THIRD) * special.betaincinv(a, b, v)), 0, 1
        )
        assert found == pytest.approx(expected, rel=1e-6)


@given(shapes)
def test_the_probabilities_add_up_to_1_with_the_mean_of_the_guessing_model(shape):
    trials, chance, mean, _ = shape
    pmf = np.exp(log_pmf(*shape))
    assert pmf.sum() == pytest.approx(1, abs=1e-12)
    average = pmf @ np.arange(trials + 1)
    assert average == pytest.approx(trials * (chance + (1 - chance) * mean), abs=1e-11)


@given(shapes)
def test_the_variance_is_that_of_the_binomial_and_of_the_shares(shape):
    trials, chance, mean, gamma = shape
    pmf, correct = np.exp(log_pmf(*shape)), np.arange(trials + 1)
    pc = chance + (1 - chance) * mean
    shares = (1 - chance) ** 2 * gamma * mean * (1 - mean)  # variance between assessors
    expected = trials * (pc * (1 - pc) + (trials - 1) * shares)
    assert pmf @ (correct - trials * pc) ** 2 == pytest.approx(expected, abs=1e-10)


@pytest.mark.parametrize("gamma", [0.0, 1e-300, 1e-15])
def test_assessors_who_do_not_differ_give_the_binomial(gamma):
    found = np.exp(log_pmf(6, THIRD, 0.3, gamma))
    assert found == pytest.approx(stats.binom.pmf(range(7), 6, THIRD + 0.2), rel=1e-12)


def test_assessors_who_notice_always_or_never_guess_or_are_all_correct():
    expected = 0.7 * stats.binom.pmf(range(7), 6, THIRD)
    expected[6] += 0.3
    assert np.exp(log_pmf(6, THIRD, 0.3, 1.0)) == pytest.approx(expected, rel=1e-12)


def test_near_all_or_none_is_near_all_or_none():
    near, at = log_pmf(6, THIRD, 0.3, 1 - 1e-12), log_pmf(6, THIRD, 0.3, 1.0)
    assert near == pytest.approx(at, abs=1e-9)


@pytest.mark.parametrize("gamma", [0.0, 0.4, 1.0])
@pytest.mark.parametrize(("mean", "sure"), [(0.0, 0), (1.0, 3)])
def test_a_share_of_none_or_all_leaves_one_number_possible(mean, sure, gamma):
    assert np.exp(log_pmf(3, 0.0, mean, gamma)).tolist() == [float(k == sure) for k in range(4)]


def test_one_answer_each_says_nothing_of_the_dispersion():
    assert log_pmf(1, THIRD, 0.3, 0.0) == pytest.approx(log_pmf(1, THIRD, 0.3, 0.9), abs=1e-14)


def test_simulated_assessors_follow_it():
    rng = np.random.default_rng(1812)
    u = rng.beta(0.3 * 7 / 3, 0.7 * 7 / 3, 200_000)  # gamma = 0.3
    counts = np.bincount(rng.binomial(6, THIRD + (1 - THIRD) * u), minlength=7)
    expected = 200_000 * np.exp(log_pmf(6, THIRD, 0.3, 0.3))
    assert stats.chisquare(counts, expected).pvalue > 0.001


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((0, THIRD, 0.3, 0.3), r"trials .* not 0"),
        ((1001, THIRD, 0.3, 0.3), r"trials .* at most 1,000, not 1001"),
        ((6, 1.0, 0.3, 0.3), r"chance .* not 1.0"),
        ((6, -0.1, 0.3, 0.3), r"chance .* not -0.1"),
        ((6, THIRD, 1.1, 0.3), r"mean .* not 1.1"),
        ((6, THIRD, 0.3, float("nan")), r"gamma .* not nan"),
    ],
)
def test_impossible_assessors_are_refused_by_name_and_value(arguments, message):
    with pytest.raises(ValueError, match=message):
        log_pmf(*arguments)
