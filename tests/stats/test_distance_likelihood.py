import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize, stats

from server.stats.distance_likelihood import (
    Counts,
    common_deviance,
    common_limits,
    difference_limits,
    find_common,
    pair_deviance,
)
from server.stats.forced_choice import DUO_TRIO, TETRAD, THREE_AFC, TRIANGLE, TWO_AFC
from server.stats.likelihood import find_likelihood_interval

models = st.sampled_from([TRIANGLE, DUO_TRIO, TWO_AFC, THREE_AFC, TETRAD])
numbers = st.integers(1, 90).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
counts = st.builds(lambda model, k: Counts("one", model, *k), models, numbers)


def likelihood(one: Counts, d: float) -> float:
    """The binomial likelihood written down anew, by a general library."""
    return stats.binom.logpmf(one.correct, one.trials, one.model.pc(d))


@given(counts, st.floats(0, 5))
def test_no_distance_is_likelier_than_the_own_one(one, d):
    assert one.likelihood(np.array([d]))[0] <= 1e-9


@given(counts)
def test_the_own_distance_loses_nothing(one):
    if (d := one.d_prime) is not None:
        assert one.likelihood(np.array([d]))[0] == pytest.approx(0, abs=1e-9)


@given(counts, counts)
def test_the_common_distance_is_that_of_a_general_optimiser(one, other):
    common = find_common([one, other])
    if common is None:
        return
    best = optimize.minimize_scalar(
        lambda d: -likelihood(one, d) - likelihood(other, d), bounds=(0, 15)
    )
    found = likelihood(one, common) + likelihood(other, common)
    assert found >= -best.fun - 1e-8


def test_tests_of_one_method_share_the_distance_of_their_pooled_answers():
    both = [Counts("one", TETRAD, 41, 72), Counts("other", TETRAD, 50, 72)]
    assert find_common(both) == TETRAD.d_prime(91 / 144)


def test_tests_that_are_all_correct_share_no_finite_distance():
    both = [Counts("one", TETRAD, 9, 9), Counts("other", TRIANGLE, 9, 9)]
    assert find_common(both) is None
    assert common_limits(both, 0.95).high is None


@given(counts)
def test_the_limits_of_one_test_are_its_likelihood_interval(one):
    expected = find_likelihood_interval(one.model, one.correct, one.trials, 0.9)
    assert common_limits([one], 0.9) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("model", "correct", "trials", "limits"),
    # Profile limits at 95 %, computed independently.
    [
        (TRIANGLE, 14, 24, (0.769461, 2.889204)),
        (TWO_AFC, 27, 40, (0.078647, 1.221154)),
        (TETRAD, 30, 48, (0.965031, 1.900754)),
        (TRIANGLE, 20, 60, (0, 1.237688)),
    ],
)
def test_the_limits_of_one_test_equal_computed_values(model, correct, trials, limits):
    found = common_limits([Counts("one", model, correct, trials)], 0.95)
    assert found == pytest.approx(limits, abs=5e-7)


@given(counts, counts)
def test_equal_distances_lose_as_much_as_the_common_one(one, other):
    common = find_common([one, other])
    expected = 0 if common is None else common_deviance([one, other], common)
    assert pair_deviance(one, other, 0.0) == pytest.approx(expected, abs=1e-7)


@given(counts, counts, st.floats(-3, 3))
def test_a_difference_loses_as_much_as_by_a_general_optimiser(one, other, difference):
    largest = [likelihood(test, test.d_prime or 0) for test in (one, other)]
    if one.d_prime is None or other.d_prime is None:
        return
    more, less = max(difference, 0), max(-difference, 0)
    bases = np.linspace(0, 12, 601)
    start = bases[np.argmax(one.likelihood(bases + more) + other.likelihood(bases + less))]
    best = optimize.minimize_scalar(
        lambda base: -likelihood(one, base + more) - likelihood(other, base + less),
        bounds=(max(0, start - 0.02), start + 0.02),
        options={"xatol": 1e-10},
    )
    lost = 2 * (sum(largest) + best.fun)
    assert pair_deviance(one, other, difference) == pytest.approx(lost, rel=1e-6, abs=1e-6)


@given(counts, counts)
def test_exchanging_two_tests_turns_the_limits_of_their_difference(one, other):
    low, high = difference_limits(one, other, 0.9)
    expected = tuple(
        None if limit is None else pytest.approx(-limit, abs=1e-6) for limit in (high, low)
    )
    assert difference_limits(other, one, 0.9) == expected


@given(counts, counts)
def test_the_limits_hold_the_difference_and_cut_the_deviance(one, other):
    low, high = difference_limits(one, other, 0.9)
    if one.d_prime is not None and other.d_prime is not None:
        assert low <= one.d_prime - other.d_prime <= high
    for limit in (low, high):
        if limit is not None:
            lost = pair_deviance(one, other, limit)
            assert lost == pytest.approx(stats.chi2.ppf(0.9, 1), abs=1e-6)


def test_a_test_that_is_all_correct_leaves_the_difference_open_on_its_side():
    full, half = Counts("full", TRIANGLE, 60, 60), Counts("half", TRIANGLE, 40, 80)
    assert difference_limits(full, half, 0.95).high is None
    assert difference_limits(half, full, 0.95).low is None
    assert difference_limits(full, full, 0.95) == (None, None)


@pytest.mark.parametrize(
    ("d", "least", "most"),
    # At 0 the limits hold more often than they say: a distance cannot be below it.
    [((1.5, 1.0), 0.87, 0.93), ((0.0, 0.0), 0.9, 1.0)],
)
def test_a_true_difference_lies_within_the_limits_as_often_as_they_say(d, least, most):
    rng = np.random.default_rng(2011)
    drawn = rng.binomial(60, [TRIANGLE.pc(d[0]), TETRAD.pc(d[1])], (700, 2))
    pairs, times = np.unique(drawn, axis=0, return_counts=True)
    lost = [
        pair_deviance(Counts("a", TRIANGLE, x, 60), Counts("b", TETRAD, y, 60), d[0] - d[1])
        for x, y in pairs.tolist()
    ]
    assert least < times @ (np.array(lost) <= stats.chi2.ppf(0.9, 1)) / 700 <= most


def test_equal_samples_at_chance_are_seldom_called_different():
    # Three triangle tests of 30 answers by guessing: at most the stated risk of 5 %.
    rng = np.random.default_rng(8)
    drawn = np.sort(rng.binomial(30, 1 / 3, (600, 3)))
    rows, times = np.unique(drawn, axis=0, return_counts=True)
    tests = [[Counts("", TRIANGLE, k, 30) for k in row] for row in rows.tolist()]
    lost = np.array([common_deviance(three, find_common(three)) for three in tests])
    assert times @ (stats.chi2.sf(lost, 2) <= 0.05) / 600 < 0.05
