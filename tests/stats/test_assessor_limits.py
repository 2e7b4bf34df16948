"""Limits of one assessor's figures, against published ones and a general-purpose library."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.anova import FTest
from server.stats.assessor_limits import (
    limit_agreement,
    limit_assessors,
    limit_discrimination,
    limit_repeatability,
)
from server.stats.ratings import build_ratings
from tests.panels import from_cube, read_fish


def find_noncentrality(share: float, values: float) -> float:
    return values * share / (1 - share)


# F, its degrees of freedom, alpha, limits of λ.
# Steiger (2004), Beyond the F test, example 3, p. 169, as kept in statsmodels' own tests;
# and 13.18 on 1 and 314 from the notes of a public script on the same method.
NONCENTRALITY = [
    (5.0, 3, 76, 0.05, (1.8666, 32.563)),
    (13.18, 1, 314, 0.05, (2.713216, 31.44969)),
]


@pytest.mark.parametrize(("f", "above", "below", "alpha", "limits"), NONCENTRALITY)
def test_discrimination_has_the_published_limits_of_noncentrality(f, above, below, alpha, limits):
    found = limit_discrimination(FTest(f, (above, below), 0.0), alpha)
    got = [find_noncentrality(share, above + below + 1) for share in found.interval]
    assert got == pytest.approx(limits, rel=2e-5)


def test_discrimination_has_the_published_limits_of_explained_variance():
    # R², the share explained in Anderson's irises, .8673123 on 5 and 144 degrees of freedom;
    # limits printed in the reference pages of the R package confintr (95 %).
    f = (0.8673123 / 5) / ((1 - 0.8673123) / 144)
    found = limit_discrimination(FTest(f, (5, 144), 0.0))
    assert found.interval == pytest.approx((0.8244916, 0.8889573), abs=1e-6)


def add_up_noncentral_f(f: float, above: int, below: int, noncentrality: float) -> float:
    """Noncentral F as it is defined: Poisson numbers of extra pairs of degrees of freedom."""
    extra = np.arange(5000)
    chances = stats.poisson.pmf(extra, noncentrality / 2)
    at = above * f / (above * f + below)
    return float(chances @ stats.beta.cdf(at, above / 2 + extra, below / 2))


@given(st.floats(2, 60), st.integers(1, 11), st.integers(3, 40), st.sampled_from([0.01, 0.05, 0.2]))
def test_limits_of_discrimination_give_the_chances_they_are_defined_by(f, above, below, alpha):
    found = limit_discrimination(FTest(f, (above, below), 0.0), alpha)
    low, high = (find_noncentrality(share, above + below + 1) for share in found.interval)
    assert add_up_noncentral_f(f, above, below, high) == pytest.approx(alpha / 2, abs=1e-8)
    below_low = add_up_noncentral_f(f, above, below, low)
    assert below_low == pytest.approx(1 - alpha / 2, abs=1e-8) or (low == 0 and below_low < 1)


@pytest.mark.parametrize("f", [3.0, 40.0, 5e6])
def test_put_back_the_limits_give_their_own_chances(f):
    found = limit_discrimination(FTest(f, (5, 12), 0.0))
    shares = [*found.interval, found.value]
    chances = [stats.ncf.cdf(f, 5, 12, find_noncentrality(share, 18)) for share in shares]
    assert chances[1:] == pytest.approx([0.025, 0.5], rel=1e-5)
    assert chances[0] == pytest.approx(0.975) or found.interval.low == 0


def test_below_the_middle_of_chance_no_share_is_left():
    found = limit_discrimination(FTest(0.5, (5, 12), 0.8))
    assert (found.value, found.interval.low) == (0.0, 0.0)
    assert found.interval.high > 0.1


@pytest.mark.parametrize("f", [0.0, 1e-9, 0.05])
def test_means_more_alike_than_repeats_allow_have_no_limits_instead_of_none_wide(f):
    found = limit_discrimination(FTest(f, (5, 12), 1.0))
    assert (found.value, found.interval) == (0.0, None)


def test_an_enormous_f_stays_below_all_of_the_variance():
    found = limit_discrimination(FTest(1e9, (5, 12), 0.0))
    assert found.interval.low < found.value < found.interval.high < 1


# Factors of a standard deviation, 95 %, by number of values: printed in the manual of the Boost
# C++ libraries (chi-square distribution, confidence intervals on the standard deviation).
FACTORS = [
    (2, 0.4461, 31.9102),
    (3, 0.5207, 6.2847),
    (5, 0.5991, 2.8736),
    (10, 0.6878, 1.8256),
    (30, 0.7964, 1.3443),
    (120, 0.8875, 1.1454),
]


@pytest.mark.parametrize(("values", "low", "high"), FACTORS)
def test_repeatability_has_the_published_factors(values, low, high):
    found = limit_repeatability(4.0, values - 1)
    assert found.interval == pytest.approx((2 * low, 2 * high), abs=1.1e-4)


def test_repeatability_has_the_published_limits_of_the_handbook_gears():
    # 100 gear diameters, s = .0062789: .00551 to .00729, in the same manual, from NIST's data.
    found = limit_repeatability(0.0062789**2, 99)
    assert found.interval == pytest.approx((0.00551, 0.00729), abs=5e-6)


# r, samples, limits: 60 people's heights and weights, a worked example of a public tutorial on
# Fisher's transformation (rounded on the way there); and one from a question-and-answer page.
CORRELATIONS = [(0.56, 60, 0.3568, 0.7126), (0.684848, 10, 0.097071, 0.918445)]


@pytest.mark.parametrize(("r", "samples", "low", "high"), CORRELATIONS)
def test_agreement_has_the_published_limits(r, samples, low, high):
    assert limit_agreement(r, samples).interval == pytest.approx((low, high), abs=5e-4)


@given(st.integers(0, 10_000), st.integers(4, 40))
def test_agreement_agrees_with_a_general_purpose_library(seed, samples):
    one, other = np.random.default_rng(seed).normal(size=(2, samples))
    expected = stats.pearsonr(one, other)
    found = limit_agreement(float(expected.statistic), samples)
    assert found.interval == pytest.approx(tuple(expected.confidence_interval(0.95)), abs=1e-9)


@pytest.mark.parametrize(("r", "samples"), [(0.9, 3), (1.0, 12), (-1.0, 12), (0.5, 2)])
def test_agreement_without_room_for_error_has_no_limits(r, samples):
    found = limit_agreement(r, samples)
    assert (found.value, found.interval) == (r, None)


@pytest.mark.parametrize("figure", ["discrimination", "repeatability", "agreement"])
def test_every_value_of_the_fish_panel_lies_within_its_limits(figure):
    for one in limit_assessors(read_fish()).values():
        found = getattr(one, figure)
        assert found.interval.low < found.value < found.interval.high


def test_the_fish_panel_has_the_limits_of_its_own_f_and_variance():
    # Assessor 1: F 13.36 on 5 and 12 degrees of freedom (printed in ISO 8586), s² .5556 on 12.
    first = next(iter(limit_assessors(read_fish()).values()))
    expected = limit_discrimination(FTest(13.36, (5, 12), 0.0001))
    assert first.discrimination.interval == pytest.approx(expected.interval)
    assert first.repeatability.interval == pytest.approx(
        [(12 * 5 / 9 / stats.chi2.ppf(p, 12)) ** 0.5 for p in (0.975, 0.025)]
    )


def test_copied_rows_add_no_certainty():
    assert limit_assessors(read_fish(copies=3)) == limit_assessors(read_fish())


def test_a_stricter_level_widens_all_limits():
    narrow, wide = (limit_assessors(read_fish(), alpha) for alpha in (0.2, 0.01))
    for name, one in narrow.items():
        assert wide[name].agreement.interval.low < one.agreement.interval.low
        assert wide[name].repeatability.interval.high > one.repeatability.interval.high


def test_no_repeats_leave_agreement_alone():
    found = limit_assessors(from_cube(np.arange(10).reshape(2, 5) % 7))["a00"]
    assert (found.discrimination, found.repeatability) == (None, None)
    assert found.agreement is not None


def test_exact_repeats_have_a_standard_deviation_of_0_without_limits():
    cube = [[[1, 1], [2, 2], [3, 3], [5, 5]], [[1, 2], [2, 4], [3, 2], [5, 5]]]
    found = limit_assessors(from_cube(cube))["a00"]
    assert (found.repeatability.value, found.repeatability.interval) == (0.0, None)
    assert found.notes[-1] == "a00: the repeat error came out 0, of which there are no limits."


def test_one_assessor_agrees_with_nobody():
    found = limit_assessors(build_ratings(["ann"] * 4, ["X", "X", "Y", "Y"], [1, 2, 5, 7]))["ann"]
    assert found.agreement is None
    assert found.discrimination is not None


def test_three_samples_are_too_few_for_limits_of_agreement():
    found = limit_assessors(from_cube([[1, 2, 4], [2, 3, 4], [1, 3, 3]]))["a00"]
    assert found.agreement.interval is None
    assert "a00: agreement has no limits on 3 shared samples; it takes four." in found.notes


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: limit_repeatability(1.0, 0), "df must be 1 or more, not 0"),
        (lambda: limit_repeatability(-1.0, 3), r"mean_square must be 0 or more, not -1\.0"),
        (lambda: limit_agreement(1.2, 9), r"r must be from -1 to 1, not 1\.2"),
        (lambda: limit_agreement(0.2, 9, alpha=0), "alpha must be"),
        (lambda: limit_discrimination(FTest(2, (3, 4), 0.5), alpha=1), "alpha must be"),
        (lambda: limit_assessors(read_fish(), alpha=1), "alpha must be"),
    ],
)
def test_bad_arguments_are_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()
