"""Limits against their own definition and by simulation; published values are in test_icc."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.crossed import read_crossed, split_crossed
from server.stats.icc import analyse_icc
from server.stats.icc_limits import find_agreement_df, find_limits


def draw(rng: np.random.Generator, assessors: int = 5, samples: int = 8, level: float = 1.0):
    """Draw ratings: variances 2 of samples, `level` of assessors, 1 of error."""
    spread = rng.normal(0, level**0.5, size=(assessors, 1))
    return rng.normal(0, 2**0.5, size=samples) + spread + rng.normal(size=(assessors, samples))


@pytest.mark.parametrize(("name", "below"), [("1,1", "within"), ("3,1", "error")])
@pytest.mark.parametrize("alpha", [0.05, 0.2])
def test_at_each_limit_the_observed_f_is_just_as_rare_as_said(name, below, alpha):
    split = split_crossed(draw(np.random.default_rng(5)))
    error = getattr(split, below)
    f = split.sample.mean_square / error.mean_square
    tails = [
        stats.f.cdf(f * (1 - r) / (1 + 4 * r), split.sample.df, error.df)
        for r in find_limits(split, alpha)[name]
    ]
    assert tails == pytest.approx([1 - alpha / 2, alpha / 2])


@given(st.integers(0, 10_000))
def test_limits_of_agreement_equal_those_of_shrout_and_fleiss(seed):
    # Their formulas of 1979, from memory, with F of assessors over error.
    split = split_crossed(draw(np.random.default_rng(seed)))
    k, n, r = 5, 8, analyse_icc(draw(np.random.default_rng(seed))).coefficients["2,1"].value
    b, j, e = (getattr(split, line).mean_square for line in ("sample", "assessor", "error"))
    a = k * r * j / e + n * (1 + (k - 1) * r) - k * r
    rest = (n - 1) * (k * r * j / e) ** 2 + (n * (1 + (k - 1) * r) - k * r) ** 2
    v = (k - 1) * (n - 1) * a**2 / rest
    at_low, at_high = stats.f.ppf(0.975, n - 1, v), stats.f.ppf(0.975, v, n - 1)
    shared = k * j + (k * n - k - n) * e
    low = n * (b - at_low * e) / (at_low * shared + n * b)
    high = n * (at_high * b - e) / (shared + n * at_high * b)
    assert find_agreement_df(split) == pytest.approx(v)
    assert find_limits(split, 0.05)["2,1"] == pytest.approx((low, high))


@given(st.integers(0, 10_000))
def test_limits_hold_the_estimate_and_a_higher_level_widens_them(seed):
    table = draw(np.random.default_rng(seed))
    found = analyse_icc(table).coefficients
    wider = find_limits(split_crossed(read_crossed(table)), 0.01)
    for name, one in found.items():
        assert wider[name].low < one.interval.low < one.value < one.interval.high < wider[name].high


@pytest.mark.parametrize(
    ("name", "truth", "level"), [("1,1", 2 / 3, 0.0), ("2,1", 0.5, 1.0), ("3,1", 2 / 3, 1.0)]
)
@pytest.mark.parametrize("count", [200, pytest.param(600, marks=pytest.mark.long)])
def test_the_true_value_is_inside_as_often_as_said(name, truth, level, count):
    rng = np.random.default_rng(1996)
    inside = 0
    for _ in range(count):
        low, high = find_limits(split_crossed(draw(rng, level=level)), 0.1)[name]
        inside += low <= truth <= high
    # The interval of 2,1 is approximate; here it holds 0.90 to simulation error as well.
    assert abs(inside / count - 0.9) < 4 * (0.09 / count) ** 0.5


def test_no_error_leaves_limits_to_agreement_alone():
    found = find_limits(split_crossed(read_crossed([[1, 2, 4], [3, 4, 6]])), 0.05)
    assert (found["1,1"] is None, found["2,1"] is None, found["3,1"] is None) == (
        False,
        False,
        True,
    )


def test_a_lower_limit_without_bound_takes_the_interval_of_the_mean():
    found = find_limits(split_crossed(read_crossed([[1, 2, 3], [3, 2, 1]])), 0.05)
    assert (found["1,k"], found["3,k"]) == (None, None)
