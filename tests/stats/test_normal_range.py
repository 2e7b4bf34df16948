import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from server.stats.normal_range import normal_range_quantile, normal_range_tail

INFINITE = float("inf")


@pytest.mark.parametrize(
    ("values", "q05", "q01"),
    # Upper points of the studentised range, infinite degrees of freedom, as in the tables
    # of Pearson & Hartley, Biometrika Tables for Statisticians (from memory).
    [(2, 2.77, 3.64), (3, 3.31, 4.12), (4, 3.63, 4.40), (5, 3.86, 4.60), (10, 4.47, 5.16)],
)
def test_quantiles_equal_handbook_values(values, q05, q01):
    found = normal_range_quantile(0.05, values), normal_range_quantile(0.01, values)
    assert found == pytest.approx((q05, q01), abs=0.005)


@pytest.mark.parametrize("values", [2, 3, 8, 30])
@pytest.mark.parametrize("alpha", [0.2, 0.05, 0.001])
def test_quantiles_equal_those_of_a_general_library(values, alpha):
    expected = stats.studentized_range.ppf(1 - alpha, values, INFINITE)
    assert normal_range_quantile(alpha, values) == pytest.approx(expected, abs=1e-9)


@settings(max_examples=30)
@given(st.floats(0.01, 20))
def test_the_range_of_two_is_a_normal_difference_also_far_out(width):
    assert normal_range_tail(width, 2) == pytest.approx(math.erfc(width / 2), rel=1e-10)


@settings(max_examples=30)
@given(st.floats(1e-6, 0.5), st.integers(2, 40))
def test_the_tail_at_a_quantile_is_alpha(alpha, values):
    quantile = normal_range_quantile(alpha, values)
    assert normal_range_tail(quantile, values) == pytest.approx(alpha, rel=1e-9)


@given(st.floats(0, 30), st.floats(0, 5), st.integers(2, 30))
def test_the_tail_falls_with_the_width_and_grows_with_the_number(width, more, values):
    tail = normal_range_tail(width, values)
    assert normal_range_tail(width + more, values) <= tail * (1 + 1e-12)
    assert normal_range_tail(width, values + 1) >= tail * (1 - 1e-12)


def test_simulated_ranges_are_as_wide_as_computed():
    drawn = np.random.default_rng(5).standard_normal((100_000, 5))
    share = (np.ptp(drawn, axis=1) >= 3.0).mean()
    assert normal_range_tail(3.0, 5) == pytest.approx(share, abs=0.005)


def test_no_width_at_all_is_certain():
    assert normal_range_tail(0.0, 3) == 1


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: normal_range_tail(-1.0, 3), "width .* not -1"),
        (lambda: normal_range_tail(INFINITE, 3), "width .* not inf"),
        (lambda: normal_range_tail(1.0, 1), "values .* not 1"),
        (lambda: normal_range_quantile(0.0, 3), "alpha .* not 0"),
    ],
)
def test_impossible_ranges_are_refused_by_name_and_value(call, told):
    with pytest.raises(ValueError, match=told):
        call()
