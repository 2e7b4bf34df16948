import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize, special, stats

from server.stats.profile_limits import (
    best_log_likelihood,
    find_limits,
    find_peak,
    log_likelihood,
)


@given(st.floats(-50, 50))
def test_a_peak_is_found_wherever_it_lies(top):
    assert find_peak(lambda x: -np.cosh(x - top), -64, 64) == pytest.approx(top, abs=1e-6)


@pytest.mark.parametrize(("sign", "end"), [(1, 5), (-1, -3)])
def test_a_peak_may_lie_at_an_end(sign, end):
    assert find_peak(lambda x: sign * x, -3, 5) == pytest.approx(end, abs=1e-6)


@pytest.mark.parametrize(("successes", "trials"), [(3, 10), (50, 60), (1, 900)])
def test_limits_of_a_logit_equal_those_of_a_general_root_finder(successes, trials):
    failures = trials - successes
    largest = best_log_likelihood(successes, failures)

    def deviance(logit):
        p = special.expit(logit)
        return 2 * (largest - successes * math.log(p) - failures * math.log1p(-p))

    best = math.log(successes / failures)
    cut = stats.chi2.ppf(0.9, 1)
    expected = [
        optimize.brentq(lambda x: deviance(x) - cut, *ends, xtol=1e-12)
        for ends in ((best - 20, best), (best, best + 20))
    ]
    assert find_limits(deviance, best, -30, 30, 0.9) == pytest.approx(expected, abs=1e-8)


def test_a_deviance_that_stays_low_up_to_the_edge_gives_the_edge():
    assert find_limits(lambda x: (x - 1) ** 2, 1, 0, 64, 0.95).low == 0


def test_open_ends_give_no_limits():
    assert find_limits(lambda x: 0 * x, None, 0, 64, 0.95, True, True) == (None, None)


def test_a_probability_of_zero_counts_against_but_does_not_break():
    found = log_likelihood(2, 0, np.array([0.0, 1.0]), np.array([1.0, 0.0]))
    assert found.tolist() == pytest.approx([2 * math.log(1e-300), 0])


@given(st.integers(0, 50), st.integers(1, 50))
def test_the_best_log_likelihood_is_that_of_the_own_proportion(yes, no):
    p = yes / (yes + no)
    expected = special.xlogy(yes, p) + special.xlog1py(no, -p)
    assert best_log_likelihood(yes, no) == pytest.approx(expected, abs=1e-10)


def test_a_level_of_zero_is_refused():
    with pytest.raises(ValueError, match=r"level .* not 0"):
        find_limits(lambda x: x * x, 0, -1, 1, 0)


def test_at_a_level_next_to_nothing_the_limits_fall_together():
    found = find_limits(lambda x: 1e-9 + (x - 1) ** 2, 1, -64, 64, 1e-9)
    assert found == (1, 1)
