import dataclasses
import json
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from server.stats import dose
from server.stats.dose import fit_dose, threshold_deviance
from server.stats.series import Step


def build(correct, trials=24, series=None):
    sizes = [trials] * len(correct) if isinstance(trials, int) else trials
    places = series or [2.0**i for i in range(len(correct))]
    return [Step(*step) for step in zip(places, correct, sizes, strict=True)]


# Made-up counts at 1, 2, 4 ... 32, 24 answers each. Curve, likelihood and standard errors
# were recomputed independently, those by observed information with base R.
COUNTS = [9, 11, 12, 17, 21, 24]

# Beetles killed by carbon disulphide in five hours, by log10 of the dose: Bliss, C. I.
# (1935), The calculation of the dosage-mortality curve, Annals of Applied Biology, 22,
# 134-167, as in Dobson, An Introduction to Generalized Linear Models. Data and results
# from memory of the book: logistic a -60.717 (se 5.18), b 34.270 (se 2.91), deviance
# 11.23 on 6 degrees of freedom.
BEETLE_DOSES = [1.6907, 1.7242, 1.7552, 1.7842, 1.8113, 1.8369, 1.8610, 1.8839]
BEETLES = build(
    [6, 13, 18, 28, 52, 53, 61, 60],
    [59, 60, 62, 56, 63, 59, 62, 60],
    [10**log for log in BEETLE_DOSES],
)


def test_threshold_and_slope_are_the_most_likely_ones():
    found = fit_dose(build(COUNTS))
    assert found.log_threshold == pytest.approx(0.8247647, abs=5e-8)
    assert found.slope == pytest.approx(4.608023, abs=5e-7)
    assert found.threshold == pytest.approx(6.679819, abs=5e-6)


def test_the_likelihood_leaves_out_binomial_coefficients():
    assert fit_dose(build(COUNTS)).log_likelihood == pytest.approx(-73.662961, abs=5e-7)


def test_standard_errors_come_from_expected_and_from_observed_information():
    found = fit_dose(build(COUNTS))
    expected = found.log_threshold_se_expected, found.slope_se_expected
    observed = found.log_threshold_se_observed, found.slope_se_observed
    assert expected == pytest.approx((0.085020, 1.244354), abs=1e-6)
    assert observed == pytest.approx((0.091349, 1.419048), abs=1e-6)


def test_without_guessing_it_is_the_logistic_regression_of_a_textbook():
    found = fit_dose(BEETLES, chance=0)
    assert found.slope == pytest.approx(34.270, abs=5e-4)
    assert found.slope * found.log_threshold == pytest.approx(60.717, abs=5e-4)
    assert found.slope_se_expected == pytest.approx(2.91, abs=5e-3)


def test_the_deviance_of_a_textbook_example_comes_back():
    found = fit_dose(BEETLES, chance=0)
    assert (found.fit.statistic, found.fit.df) == (pytest.approx(11.23, abs=5e-3), 6)
    assert found.fit.p_value == pytest.approx(stats.chi2.sf(found.fit.statistic, 6), rel=1e-9)


def test_without_guessing_both_kinds_of_information_agree():
    found = fit_dose(BEETLES, chance=0)
    assert found.slope_se_observed == pytest.approx(found.slope_se_expected, rel=1e-9)
    assert found.log_threshold_se_observed == pytest.approx(
        found.log_threshold_se_expected, rel=1e-9
    )


@pytest.mark.parametrize("chance", [1 / 3, 1 / 2])
def test_a_general_optimiser_finds_no_better_curve(chance):
    steps = build([14, 15, 18, 20, 23, 24])

    def lost(curve):
        x = np.log10([step.concentration for step in steps])
        pc = chance + (1 - chance) / (1 + np.exp(-curve[1] * (x - curve[0])))
        correct = np.array([step.correct for step in steps])
        return -float((correct * np.log(pc) + (24 - correct) * np.log1p(-pc)).sum())

    best = optimize.minimize(lost, [0.8, 4.0], method="Nelder-Mead", tol=1e-10)
    found = fit_dose(steps, chance)
    assert found.log_likelihood == pytest.approx(-best.fun, abs=1e-9)
    assert (found.log_threshold, found.slope) == pytest.approx(tuple(best.x), abs=1e-4)


def test_the_curve_is_half_way_to_1_at_the_threshold():
    found = fit_dose(build(COUNTS))
    middle = Step(found.threshold, 16, 24)
    again = fit_dose([*build(COUNTS), middle])
    assert again.log_threshold == pytest.approx(found.log_threshold, abs=1e-7)
    assert again.fitted[3] == pytest.approx(2 / 3, abs=1e-7)


@pytest.mark.parametrize("level", [0.8, 0.95, 0.99])
def test_limits_are_where_the_deviance_reaches_the_chi_square_quantile(level):
    found = fit_dose(build(COUNTS), level=level)
    cut = stats.chi2.ppf(level, 1)
    for limit in found.log_threshold_interval:
        assert threshold_deviance(build(COUNTS), 1 / 3, limit) == pytest.approx(cut, abs=1e-6)


def test_limits_of_the_threshold_are_powers_of_ten():
    found = fit_dose(build(COUNTS))
    powers = tuple(10**limit for limit in found.log_threshold_interval)
    assert found.threshold_interval == pytest.approx(powers)
    assert powers[0] < found.threshold < powers[1]


def test_the_estimate_itself_has_no_deviance():
    found = fit_dose(build(COUNTS))
    assert threshold_deviance(build(COUNTS), 1 / 3, found.log_threshold) == pytest.approx(
        0, abs=1e-9
    )


@pytest.mark.parametrize(
    ("correct", "reason", "open_sides"),
    [
        ([8, 8, 8, 8], dose.NO_MORE_THAN_GUESSING, (False, True)),
        ([0, 0, 0, 0], dose.NO_MORE_THAN_GUESSING, (False, True)),
        ([24, 24, 24, 24], dose.ALL_CORRECT, (True, False)),
        ([14, 14, 14, 14], dose.NO_RISE, (True, True)),
        ([24, 16, 16, 8], dose.NO_RISE, (True, True)),
        ([8, 8, 24, 24], dose.JUMP, (False, False)),
        ([8, 8, 15, 24], dose.JUMP, (False, False)),
        ([5, 4, 24, 24], dose.JUMP, (False, False)),
    ],
    ids=["guessing", "none", "all", "level", "falling", "jump", "jump with a stop", "below"],
)
def test_answers_without_a_curve_give_a_reason_and_what_limits_they_can(
    correct, reason, open_sides
):
    found = fit_dose(build(correct))
    assert (found.threshold, found.slope, found.fit, found.notes[0]) == (None, None, None, reason)
    assert tuple(limit is None for limit in found.threshold_interval) == open_sides


def test_single_answers_of_one_person_are_a_jump():
    found = fit_dose(build([0, 0, 1, 1, 1], 1))
    assert found.threshold is None
    assert found.notes[0] == dose.JUMP


def test_one_concentration_gives_a_reason_and_no_limits():
    found = fit_dose(build([20]))
    assert (found.threshold, found.threshold_interval) == (None, None)
    assert found.notes == (dose.ONE_STEP,)


def test_open_sides_have_a_sentence():
    assert dose.NO_HIGH in fit_dose(build([8, 9, 8, 11])).notes
    assert dose.NO_LOW in fit_dose(build([24, 23, 24, 24])).notes


def test_two_concentrations_fit_exactly_and_are_not_tested():
    found = fit_dose(build([12, 20]))
    assert found.fitted == pytest.approx((12 / 24, 20 / 24))
    assert found.fit is None
    assert dose.NO_FIT_TEST in found.notes


def test_a_shallow_curve_puts_the_threshold_nowhere():
    # Rates that creep up from 0.3667 to 0.3680 are too slow to reach half way within ten widths.
    found = fit_dose(build([11000, 11020, 11040], 30000))
    assert (found.threshold, found.log_threshold_se_observed) == (None, None)
    assert dose.FAR_AWAY in found.notes
    assert found.slope > 0


def test_a_rough_test_of_fit_is_called_rough():
    assert dose.FEW_EXPECTED in fit_dose(build(COUNTS)).notes
    assert dose.FEW_EXPECTED not in fit_dose(build([40, 60, 80], 100)).notes


def test_the_order_of_steps_changes_nothing():
    assert fit_dose(build(COUNTS)[::-1]) == fit_dose(build(COUNTS))


@settings(max_examples=4)
@given(st.floats(1e-6, 1e6))
def test_another_unit_moves_the_threshold_and_keeps_the_slope(factor):
    scaled = build(COUNTS, series=[factor * 2.0**i for i in range(6)])
    found, plain = fit_dose(scaled), fit_dose(build(COUNTS))
    assert found.threshold == pytest.approx(factor * plain.threshold, rel=1e-6)
    assert found.slope == pytest.approx(plain.slope, rel=1e-6)


@given(st.lists(st.tuples(st.integers(0, 6), st.integers(6, 9)), min_size=1, max_size=6))
def test_any_counts_give_strict_json_and_limits_that_enclose_the_estimate(counts):
    found = fit_dose(build(*map(list, zip(*counts, strict=True))))
    json.dumps(dataclasses.asdict(found), allow_nan=False)
    if found.log_threshold is not None:
        low, high = found.log_threshold_interval
        assert low is None or low <= found.log_threshold
        assert high is None or high >= found.log_threshold


# Of 150 simulated panels of 20 at seven concentrations 142.5 covers are expected, sd 2.7; of 60
# panels 57, sd 1.7: too few to tell limits that cover too often.
@pytest.mark.parametrize(
    ("count", "least", "most"),
    [(60, 51, 60), pytest.param(150, 133, 149, marks=pytest.mark.long)],
)
def test_limits_cover_the_true_threshold_as_often_as_they_say(count, least, most):
    rng = np.random.default_rng(20201)
    logs = np.arange(7) * math.log10(2)
    pc = 1 / 3 + (2 / 3) / (1 + np.exp(-4 * (logs - 1.0)))
    panels = rng.binomial(20, pc, (count, 7)).tolist()
    deviances = [threshold_deviance(build(panel, 20), 1 / 3, 1.0) for panel in panels]
    assert least <= sum(one <= stats.chi2.ppf(0.95, 1) for one in deviances) <= most


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: fit_dose([]), "steps must hold at least one step, not none"),
        (lambda: fit_dose(build([1, 2], series=[0, 1])), "concentration must be above 0"),
        (lambda: fit_dose(build([1, 25])), r"correct must be .* \(24\), not 25"),
        (lambda: fit_dose(build([1, 2], series=[3, 3])), "must rise at every step, not stay 3"),
        (lambda: fit_dose(build([1, 2]), chance=1.0), "chance must be from 0 to below 1, not 1"),
        (
            lambda: fit_dose(build([1, 2]), chance=-0.1),
            "chance must be from 0 to below 1, not -0.1",
        ),
        (lambda: fit_dose(build([1, 2]), level=0.0), "level must be above 0 and below 1, not 0"),
        (lambda: threshold_deviance(build([1]), 1 / 3, 0.0), "steps must be two or more, not 1"),
        (lambda: threshold_deviance(build([1, 2]), 1 / 3, math.inf), "log_threshold must be fin"),
    ],
)
def test_impossible_input_is_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()
