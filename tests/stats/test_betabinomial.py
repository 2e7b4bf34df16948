import functools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from server.stats.betabinomial import (
    ALL_OR_NONE,
    EVERYBODY_NOTICED,
    NO_EXCESS,
    NOBODY_NOTICED,
    ONE_ANSWER_EACH,
    ONE_PERSON,
    fit_beta_binomial,
)
from server.stats.overdispersed import log_pmf

THIRD = 1 / 3
# Synthetic: 16 people with 5 answers each, 20 with 4, 12 with 6 who differ too little.
FIVES = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
FOURS = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4]
ALIKE = [1, 2, 2, 2, 2, 2, 3, 2, 1, 3, 2, 2]
# Boys among the first 12 children of 6,115 Saxon families, 0 to 12 (Geissler 1889, as
# printed in general encyclopedias).
FAMILIES = (3, 24, 104, 286, 670, 1033, 1343, 1112, 829, 478, 181, 45, 7)

# Fitted independently by direct search; the fits of FIVES also in base R (optim). The
# standard errors are of differences, so good to three digits.
FITS = [
    (FIVES, 5, 0.0, (0.497245, 0.227460), (1.688836, 1.707551), (0.077508, 0.117740), -28.301346),
    (FIVES, 5, THIRD, (0.217549, 0.869954), (0.032520, 0.116965), (0.113802, 0.237010), -26.306982),
    (FOURS, 4, 0.0, (0.576020, 0.117592), (4.322447, 3.181537), (0.064263, 0.110961), -30.214729),
    (FOURS, 4, THIRD, (0.358489, 0.345401), (0.679404, 1.215786), (0.100336, 0.275043), -30.017806),
]

panels = st.lists(
    st.integers(2, 5).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))),
    min_size=3,
    max_size=8,
)


@functools.cache
def fit_once(answers, each, chance):
    return fit_beta_binomial(answers, [each] * len(answers), chance)


@pytest.mark.parametrize(("answers", "each", "chance", "place", "shape", "errors", "log"), FITS)
def test_fits_equal_computed_ones(answers, each, chance, place, shape, errors, log):
    fit = fit_once(tuple(answers), each, chance)
    assert (fit.mean, fit.gamma) == pytest.approx(place, abs=2e-6)
    assert (fit.a, fit.b) == pytest.approx(shape, rel=1e-4)
    assert (fit.mean_se, fit.gamma_se) == pytest.approx(errors, rel=1e-3)
    assert fit.log_likelihood == pytest.approx(log, abs=1e-6)


@pytest.mark.parametrize(
    ("answers", "each", "chance", "binomial", "ratio", "full", "half"),
    [
        # Computed with the fits above; p-values to the three digits that were kept.
        (FIVES, 5, 0.0, -31.261487, 5.920281, 0.015, 0.00748),
        (FIVES, 5, THIRD, -31.261487, 9.909010, 0.00164, 0.000822),
        (FOURS, 4, 0.0, -30.915698, 1.401938, 0.236, 0.118),
        (FOURS, 4, THIRD, -30.915698, 1.795783, 0.18, 0.0901),
    ],
)
def test_likelihood_ratios_against_equal_people_equal_computed_ones(
    answers, each, chance, binomial, ratio, full, half
):
    found = fit_once(tuple(answers), each, chance).against_binomial
    assert found.log_likelihood == pytest.approx(binomial, abs=1e-6)
    assert found.statistic == pytest.approx(ratio, abs=2e-6)
    assert found.p_chi_square == pytest.approx(full, rel=5e-3)
    assert found.p_value == pytest.approx(half, rel=5e-3)


@pytest.fixture(scope="module")
def family_fit():
    boys = [count for count, families in enumerate(FAMILIES) for _ in range(families)]
    return fit_beta_binomial(boys, [12] * len(boys))


def test_the_fit_of_the_families_equals_a_computed_one(family_fit):
    # Printed (from memory): a = 34.09558, b = 31.5715; its likelihood is the same to six
    # decimals, so flat is the top. The better place, computed independently:
    assert (family_fit.a, family_fit.b) == pytest.approx((34.102849, 31.578224), rel=1e-5)
    assert family_fit.log_likelihood == pytest.approx(-12492.871359, abs=1e-6)


def test_the_printed_fit_of_the_families_is_as_likely_to_six_decimals(family_fit):
    a, b = 34.09558, 31.5715
    logs = stats.betabinom.logpmf(range(13), 12, a, b)
    printed = float(np.dot(FAMILIES, logs))
    assert printed == pytest.approx(-12492.871360, abs=1e-6)
    assert 0 < family_fit.log_likelihood - printed < 5e-6


def test_in_a_large_sample_likelihood_limits_are_near_to_those_of_the_errors(family_fit):
    half = 1.959964 * family_fit.gamma_se
    expected = (family_fit.gamma - half, family_fit.gamma + half)
    assert family_fit.gamma_interval == pytest.approx(expected, abs=1e-4)


def test_people_too_alike_put_gamma_at_its_edge():
    fit = fit_beta_binomial(ALIKE, [6] * 12)
    assert (fit.mean, fit.gamma) == pytest.approx((THIRD, 0), abs=1e-9)
    assert (fit.against_binomial.statistic, fit.against_binomial.p_value) == (0, 1)
    assert (fit.mean_se, fit.gamma_se, fit.a, fit.b) == (None, None, None, None)
    assert fit.notes == (NO_EXCESS,)


def test_too_few_correct_answers_put_the_corrected_mean_at_its_edge():
    fit = fit_beta_binomial(ALIKE, [6] * 12, THIRD)
    assert (fit.mean, fit.gamma, fit.gamma_interval) == (0, None, None)
    assert fit.mean_interval.low == 0 < fit.mean_interval.high < 0.3
    assert (fit.against_binomial.statistic, fit.notes) == (0, (NOBODY_NOTICED,))


def test_people_who_are_right_always_or_never_put_gamma_at_its_other_edge():
    fit = fit_beta_binomial([0, 4, 4, 0, 4], [4] * 5)
    assert (fit.mean, fit.gamma) == pytest.approx((0.6, 1), abs=1e-9)
    assert (fit.mean_se, fit.a, fit.notes) == (None, None, (ALL_OR_NONE,))
    assert fit.gamma_interval.low > 0.5
    assert fit.gamma_interval.high == 1


@pytest.mark.parametrize("chance", [0.0, THIRD])
def test_everything_correct_leaves_only_a_lower_limit(chance):
    fit = fit_beta_binomial([4, 4, 4, 4], [4] * 4, chance)
    assert (fit.mean, fit.mean_interval.high, fit.gamma) == (1, 1, None)
    assert (0.5 < fit.mean_interval.low < 1, fit.notes) == (True, (EVERYBODY_NOTICED,))


def test_nothing_correct_leaves_only_an_upper_limit():
    fit = fit_beta_binomial([0, 0, 0, 0], [4] * 4)
    assert (fit.mean, fit.mean_interval.low, fit.gamma) == (0, 0, None)
    assert (0 < fit.mean_interval.high < 0.5, fit.notes) == (True, (NOBODY_NOTICED,))


def test_one_answer_each_is_the_binomial_model():
    # 14 of 24: the limits are where twice the log-likelihood drops by 3.841459.
    fit = fit_beta_binomial([1] * 14 + [0] * 10, [1] * 24)
    assert (fit.mean, fit.gamma, fit.against_binomial) == (pytest.approx(14 / 24), None, None)
    assert fit.notes == (ONE_ANSWER_EACH,)
    for p in fit.mean_interval:
        drop = 14 * math.log(14 / 24 / p) + 10 * math.log(10 / 24 / (1 - p))
        assert 2 * drop == pytest.approx(3.841459, abs=1e-5)


def test_one_person_tells_nothing_of_how_people_differ():
    fit = fit_beta_binomial([3], [6], THIRD)
    assert (fit.gamma, fit.against_binomial, fit.notes) == (None, None, (ONE_PERSON,))


@given(panels, st.sampled_from([0.0, THIRD]))
@settings(max_examples=6)
def test_limits_hold_the_estimates_and_grow_with_the_level(panel, chance):
    correct, trials = zip(*panel, strict=True)
    narrow = fit_beta_binomial(correct, trials, chance, level=0.5)
    wide = fit_beta_binomial(correct, trials, chance, level=0.95)
    low, high = narrow.mean_interval
    assert wide.mean_interval.low <= low <= narrow.mean <= high <= wide.mean_interval.high
    if narrow.gamma is not None:
        low, high = narrow.gamma_interval
        assert wide.gamma_interval.low <= low <= narrow.gamma <= high <= wide.gamma_interval.high


def test_a_mean_put_back_at_its_limit_loses_the_quantile():
    fit = fit_beta_binomial(FIVES, [5] * 16, THIRD)
    counts = np.bincount(FIVES, minlength=6)
    for mean in fit.mean_interval:
        best = max(counts @ log_pmf(5, THIRD, mean, g) for g in np.linspace(0, 1, 1501))
        assert 2 * (fit.log_likelihood - best) == pytest.approx(3.841459, abs=1e-4)


def test_a_fit_of_many_people_returns_what_they_were_drawn_from():
    # 4,000 people, 3 to 8 answers each, chance 1/3, mean 0.3, gamma 0.4; seeded.
    rng = np.random.default_rng(11)
    trials = rng.integers(3, 9, 4000)
    noticing = rng.beta(0.3 * 1.5, 0.7 * 1.5, 4000)
    correct = rng.binomial(trials, THIRD + 2 / 3 * noticing)
    fit = fit_beta_binomial(correct.tolist(), trials.tolist(), THIRD)
    assert abs(fit.mean - 0.3) < 3 * fit.mean_se < 0.04
    assert abs(fit.gamma - 0.4) < 3 * fit.gamma_se < 0.2


def test_a_level_of_one_is_refused():
    with pytest.raises(ValueError, match=r"level .* not 1.0"):
        fit_beta_binomial([1, 2], [4, 4], level=1.0)
