import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.methods.registry import COUNTED
from server.stats.binomial import critical_number, power
from server.stats.forced_choice import TETRAD, TRIANGLE, TWO_AFC, TWO_OF_FIVE
from server.stats.power import critical_numbers, power_curve, power_of_d_prime

THIRD = 1 / 3
NUMBERS = [1, 2, 3, 12, 24, 100, 1000]


def test_the_sawtooth_equals_computed_values(triangle_sawtooth_row):
    # pd = 30 %: see the file's head.
    row = triangle_sawtooth_row
    n = int(row["n"])
    found, attained = power_curve(n, THIRD, 0.05, [THIRD + 0.2, THIRD])
    assert (found, attained) == pytest.approx((float(row["power"]), float(row["alpha"])), abs=5e-11)
    assert critical_numbers(np.array([n]), THIRD, 0.05) == int(row["x"])


def test_power_falls_exactly_where_the_critical_number_rises():
    n = np.arange(3, 200)
    fell = np.diff(power_curve(n, THIRD, 0.05, THIRD + 0.2)) < 0
    assert (fell == (np.diff(critical_numbers(n, THIRD, 0.05)) > 0)).all()


def test_both_risks_of_five_percent_hold_at_some_numbers_and_fail_at_the_next():
    # Triangle, pd 50 %, beta 0.05: kept at 23, 25, 27 and from 29 on, not at 24, 26 and 28
    # (table of ISO 4120 from memory, recomputed; beta 0.048050, 0.067659 and 0.0502926).
    beta = 1 - power_curve(np.arange(23, 60), THIRD, 0.05, 2 / 3)
    assert (beta[:6] <= 0.05).tolist() == [True, False, True, False, True, False]
    assert (beta[6:] <= 0.05).all()
    assert beta[[0, 1, 5]] == pytest.approx([0.048050, 0.067659, 0.0502926], abs=5e-7)


@pytest.mark.parametrize(("chance", "sided"), [(THIRD, "one"), (0.1, "one"), (0.5, "two")])
@pytest.mark.parametrize("alpha", [0.001, 0.05, 0.3])
def test_arrays_give_what_single_numbers_give(chance, sided, alpha):
    shares = np.linspace(0, 1, 7)
    expected = [[power(n, chance, alpha, float(p), sided) for p in shares] for n in NUMBERS]
    found = power_curve(np.array(NUMBERS)[:, None], chance, alpha, shares, sided)
    assert found == pytest.approx(np.array(expected), rel=1e-13)


@pytest.mark.parametrize("sided", ["one", "two"])
def test_critical_numbers_are_those_of_single_numbers(sided):
    expected = [critical_number(n, 0.5, 0.05, sided) or n + 1 for n in NUMBERS]
    assert critical_numbers(np.array(NUMBERS), 0.5, 0.05, sided).tolist() == expected


def test_power_is_the_chance_of_a_significant_result_by_a_general_binomial_test():
    rejected = [stats.binomtest(k, 24, THIRD, "greater").pvalue <= 0.05 for k in range(25)]
    expected = [stats.binom.pmf(range(25), 24, p)[rejected].sum() for p in (0.4, 0.6, 0.9)]
    assert power_curve(24, THIRD, 0.05, [0.4, 0.6, 0.9]) == pytest.approx(expected, rel=1e-10)


def test_two_sided_power_is_the_same_whichever_sample_is_chosen():
    p = np.linspace(0, 0.5, 11)
    above, below = (power_curve(40, 0.5, 0.05, one, "two") for one in (p, 1 - p))
    assert above == pytest.approx(below, rel=1e-12)


@given(st.integers(1, 300), st.floats(0.001, 0.5), st.sampled_from(["one", "two"]))
def test_power_rises_with_the_proportion_correct(trials, alpha, sided):
    found = power_curve(trials, 0.5, alpha, np.linspace(0.5, 1, 30), sided)
    assert (np.diff(found) >= -1e-14).all()
    assert 0 <= found[0] <= alpha * (1 + 1e-9)


def test_power_rises_with_the_distance_from_the_attained_level_to_certainty():
    found = power_of_d_prime(TETRAD, 61, 0.05, np.linspace(0, 8, 50))
    assert (np.diff(found) >= -1e-14).all()
    assert (found[0], found[-1]) == pytest.approx((power(61, THIRD, 0.05, THIRD), 1), rel=1e-12)


@pytest.mark.parametrize("name", [n for n, one in COUNTED.items() if not one.model.without_d_prime])
def test_half_as_strong_a_difference_is_found_less_often(name):
    method = COUNTED[name]
    half, whole = power_of_d_prime(method.model, 40, 0.05, [0.75, 1.5], method.sided)
    assert half < whole


def test_simulated_tests_reject_as_often_as_the_power_says():
    rng = np.random.default_rng(1928)
    counts = rng.binomial(40, TWO_AFC.pc(0.7), 100_000)
    found = np.mean(counts >= critical_number(40, 0.5, 0.05))
    expected = power_of_d_prime(TWO_AFC, 40, 0.05, 0.7)
    assert found == pytest.approx(float(expected), abs=4 * 0.5 / 100_000**0.5)


def test_too_few_answers_have_no_power():
    assert power_curve([1, 2, 3], THIRD, 0.05, 1.0).tolist() == [0, 0, 1]


def test_no_numbers_give_an_empty_curve():
    assert power_curve(np.array([], dtype=int), THIRD, 0.05, 0.5).shape == (0,)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: power_curve([24, 0], THIRD, 0.05, 0.5), r"trials .* not 0"),
        (lambda: power_curve([24.5], THIRD, 0.05, 0.5), r"trials .* not 24.5"),
        (lambda: power_curve([24], THIRD, 0.05, [0.5, 1.5]), r"p_correct .* not 1.5"),
        (lambda: power_curve([24], THIRD, 0.05, [0.5, np.nan]), r"p_correct .* not nan"),
        (lambda: power_curve([24], THIRD, 1.0, 0.5), r"alpha .* not 1.0"),
        (lambda: power_curve([24], 0.0, 0.05, 0.5), r"chance .* not 0.0"),
        (lambda: power_curve([24], THIRD, 0.05, 0.5, "two"), r"chance .* 0.5 .* not 0.33"),
        (lambda: power_of_d_prime(TRIANGLE, 24, 0.05, [1.0, -1.0]), r"d_prime .* not -1"),
        (lambda: power_of_d_prime(TWO_OF_FIVE, 24, 0.05, [1.0]), "must have a d′"),
    ],
)
def test_impossible_curves_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
