import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, special, stats

from server.stats.overdispersed import log_pmf
from server.stats.replicate_likelihood import build_likelihood

THIRD = 1 / 3
UNEQUAL = ([0, 1, 3, 5, 2, 2, 0, 7], [3, 4, 3, 5, 6, 2, 1, 9])
# 16 people with 5 answers each and 20 with 4: synthetic.
FIVES = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
FOURS = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4]

chances = st.sampled_from([0.0, 0.1, THIRD, 0.5])
insides = st.floats(0.01, 0.99)


@pytest.mark.parametrize(
    ("answers", "each", "chance", "mean", "gamma", "expected"),
    [
        # Computed independently by direct quadrature; the first also in base R (optim).
        (FIVES, 5, 0.0, 0.497245, 0.227460, -28.301346),
        (FIVES, 5, THIRD, 0.217549, 0.869954, -26.306982),
        (FOURS, 4, 0.0, 0.576020, 0.117592, -30.214729),
        (FOURS, 4, THIRD, 0.358489, 0.345401, -30.017806),
    ],
)
def test_log_likelihoods_equal_computed_ones(answers, each, chance, mean, gamma, expected):
    likelihood = build_likelihood(answers, [each] * len(answers), chance)
    assert likelihood.log_likelihood(mean, gamma) == pytest.approx(expected, abs=1e-6)


@given(chances, insides, insides)
def test_the_log_likelihood_is_the_sum_of_log_probabilities(chance, mean, gamma):
    likelihood = build_likelihood(*UNEQUAL, chance)
    expected = sum(log_pmf(n, chance, mean, gamma)[k] for k, n in zip(*UNEQUAL, strict=True))
    assert likelihood.log_likelihood(mean, gamma) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("k", range(7))
def test_a_corrected_probability_is_a_binomial_one_averaged_over_people(k):
    # The definition, by quadrature: share correct 1/3 + 2/3 u, u beta(1.2, 2.8).
    def weighted(u):
        return stats.binom.pmf(k, 6, THIRD + 2 / 3 * u) * stats.beta.pdf(u, 1.2, 2.8)

    expected, _ = integrate.quad(weighted, 0, 1, epsabs=1e-12)
    found = build_likelihood([k], [6], THIRD).log_likelihood(1.2 / 4, 1 / 5)
    assert math.exp(found) == pytest.approx(expected, rel=1e-8)


@pytest.mark.parametrize("k", range(7))
def test_the_plain_model_is_that_of_the_reference_library(k):
    # scipy.stats.betabinom
    found = build_likelihood([k], [6], 0.0).log_likelihood(0.3, 0.2)
    assert found == pytest.approx(stats.betabinom.logpmf(k, 6, 1.2, 2.8), rel=1e-12)


@pytest.mark.parametrize("k", range(5))
def test_without_spread_the_model_is_binomial(k):
    found = build_likelihood([k], [4], THIRD).log_likelihood(0.25, 0.0)
    assert found == pytest.approx(stats.binom.logpmf(k, 4, 0.5), rel=1e-12)


@pytest.mark.parametrize("k", range(5))
def test_with_all_spread_each_person_notices_always_or_never(k):
    guessed = 0.75 * special.comb(4, k) * THIRD**k * (1 - THIRD) ** (4 - k)
    found = build_likelihood([k], [4], THIRD).log_likelihood(0.25, 1.0)
    assert math.exp(found) == pytest.approx(guessed + 0.25 * (k == 4), rel=1e-12)


@given(chances, st.floats(0.05, 0.95), st.floats(0.05, 0.95))
def test_derivatives_equal_differences(chance, mean, gamma):
    likelihood = build_likelihood(*UNEQUAL, chance)
    _, gradient, hessian = likelihood.expand(mean, gamma)
    step = 1e-5 * np.eye(2)
    point = np.array([mean, gamma])
    slopes = [
        likelihood.log_likelihood(*(point + h)) - likelihood.log_likelihood(*(point - h))
        for h in step
    ]
    bends = [likelihood.expand(*(point + h))[1] - likelihood.expand(*(point - h))[1] for h in step]
    assert gradient == pytest.approx(np.array(slopes) / 2e-5, rel=1e-5, abs=1e-5)
    assert hessian == pytest.approx(np.array(bends) / 2e-5, rel=1e-5, abs=1e-4)


@given(chances, insides, st.floats(0, 0.99))
def test_an_expansion_begins_with_the_log_likelihood(chance, mean, gamma):
    likelihood = build_likelihood(*UNEQUAL, chance)
    value, *_ = likelihood.expand(mean, gamma)
    assert value == pytest.approx(float(likelihood.log_likelihood(mean, gamma)), rel=1e-13)


def test_many_parameters_at_once_give_what_each_gives():
    likelihood = build_likelihood(*UNEQUAL, THIRD)
    means, gammas = np.array([[0.0], [0.2], [1.0]]), np.array([0.0, 0.5, 1.0])
    table = likelihood.log_likelihood(means, gammas)
    each = [[likelihood.log_likelihood(m, g) for g in gammas] for m in means[:, 0]]
    assert table.tolist() == pytest.approx(np.array(each), rel=1e-12)


def test_the_order_of_people_does_not_matter():
    pairs = list(zip(*UNEQUAL, strict=True))[::-1]
    turned = build_likelihood([k for k, _ in pairs], [n for _, n in pairs], THIRD)
    straight = build_likelihood(*UNEQUAL, THIRD)
    assert turned.log_likelihood(0.3, 0.2) == straight.log_likelihood(0.3, 0.2)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (([], [], 0.0), "correct must hold at least one person's answers, not none"),
        (([1], [2, 3], 0.0), r"trials must be as many as correct \(1\), not 2"),
        (([3], [2], 0.0), "correct .* not 3"),
        (([0], [0], 0.0), "trials .* not 0"),
        (([0], [1001], 0.0), "trials must be at most 1,000 a person, not 1001"),
        (([1], [2], 1.0), "chance must be 0 or more and below 1, not 1.0"),
        (([1], [2], -0.1), "chance .* not -0.1"),
    ],
)
def test_impossible_arguments_are_refused_by_name_and_value(arguments, message):
    with pytest.raises(ValueError, match=message):
        build_likelihood(*arguments)
