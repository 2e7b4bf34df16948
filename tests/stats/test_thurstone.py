import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from server.stats.thurstone import TRIANGLE, d_prime_se, pc_from_share, share_from_pc

proportions = st.floats(0.34, 0.999)


@pytest.mark.parametrize(
    ("d", "expected"),
    # Computed independently by quadrature; at 1 the published value is .42 (Ennis 1993,
    # from memory).
    [(0.5, 0.3558346496), (1, 0.4180466747), (2, 0.6048069328)],
)
def test_the_proportion_correct_equals_computed_values(d, expected):
    assert TRIANGLE.pc(d) == pytest.approx(expected, abs=5e-11)


@pytest.mark.parametrize("d", [0.01, 0.3, 1, 1.5, 2, 3, 4, 6])
def test_the_proportion_correct_is_a_tail_of_the_noncentral_f_distribution(d):
    # P(F'(1, 1; 2 d²/3) > 3), formula from memory (Bi, Ennis & O'Mahony 1997), by scipy.stats.ncf.
    assert TRIANGLE.pc(d) == pytest.approx(stats.ncf.sf(3, 1, 1, 2 * d**2 / 3), abs=1e-9)


@pytest.mark.parametrize("d", [0.01, 0.3, 1, 1.5, 2, 3, 4, 6])
def test_the_proportion_correct_equals_the_published_integral(d):
    # Ennis (1993), from memory: 2 ∫ (Φ(-z√3 + d√(2/3)) + Φ(-z√3 - d√(2/3))) φ(z) dz from 0.
    def integrand(z):
        shift = d * math.sqrt(2 / 3)
        both = stats.norm.cdf([-z * math.sqrt(3) + shift, -z * math.sqrt(3) - shift])
        return 2 * sum(both) * stats.norm.pdf(z)

    assert TRIANGLE.pc(d) == pytest.approx(integrate.quad(integrand, 0, 12)[0], abs=1e-9)


@pytest.mark.parametrize("d", [0, 0.5, 1, 1.5, 2, 3])
def test_simulated_tasters_who_pick_the_farthest_cup_are_as_often_correct(d):
    rng = np.random.default_rng(4120)
    a1, a2, b = rng.normal([[0], [0], [d]], 1, (3, 400_000))
    right = np.abs(a1 - a2) < np.minimum(np.abs(a1 - b), np.abs(a2 - b))
    error = math.sqrt(TRIANGLE.pc(d) * (1 - TRIANGLE.pc(d)) / right.size)
    assert abs(right.mean() - TRIANGLE.pc(d)) < 4 * error


@pytest.mark.parametrize("d", [0.05, 0.5, 1, 2, 3, 5])
def test_the_slope_is_the_derivative_of_the_proportion_correct(d):
    step = 1e-5
    difference = (TRIANGLE.pc(d + step) - TRIANGLE.pc(d - step)) / (2 * step)
    assert TRIANGLE.slope(d) == pytest.approx(difference, rel=1e-7)


def test_samples_that_do_not_differ_are_told_apart_by_chance():
    assert TRIANGLE.pc(0) == TRIANGLE.chance == 1 / 3


@pytest.mark.parametrize(
    ("pc", "d", "b"),
    # d' and B = pc (1 - pc) / slope², computed independently. ASTM E2262 and Bi, Ennis &
    # O'Mahony (1997), J. Sens. Stud. 12:87, tabulate them; their print was not at hand.
    [
        (0.40, 0.8791122123, 11.8576967),
        (0.50, 1.46626278, 6.87729012),
        (0.60, 1.975585151, 6.17934983),
        (0.70, 2.503704919, 6.59935716),
        (0.80, 3.128584981, 8.13959688),
        (0.90, 4.027625986, 12.7795283),
        (0.95, 4.800718326, 20.8810273),
    ],
)
def test_distance_and_its_variance_factor_equal_computed_values(pc, d, b):
    assert TRIANGLE.d_prime(pc) == pytest.approx(d, rel=1e-9)
    assert d_prime_se(TRIANGLE, pc, 1) ** 2 == pytest.approx(b, rel=1e-8)


@pytest.mark.parametrize(
    ("correct", "trials", "d", "variance"),
    # Computed independently; 14 of 24 as standard error .50829016.
    [
        (14, 24, 1.89123506, 0.50829016**2),
        (40, 80, 1.46626278, 0.0859661265),
        (52, 80, 2.23306313, 0.0784443171),
    ],
)
def test_single_results_equal_computed_values(correct, trials, d, variance):
    pc = correct / trials
    assert TRIANGLE.d_prime(pc) == pytest.approx(d, abs=5e-9)
    assert d_prime_se(TRIANGLE, pc, trials) ** 2 == pytest.approx(variance, rel=5e-8)


@given(st.floats(0.001, 6))
def test_a_distance_comes_back_from_its_proportion(d):
    assert TRIANGLE.d_prime(TRIANGLE.pc(d)) == pytest.approx(d, abs=1e-8)


@given(st.floats(0, 0.001))
def test_a_tiny_distance_comes_back_as_well_as_its_proportion_can_tell(d):
    assert TRIANGLE.d_prime(TRIANGLE.pc(d)) == pytest.approx(d, abs=1e-7)


@given(proportions)
def test_a_proportion_comes_back_from_its_distance(pc):
    assert TRIANGLE.pc(TRIANGLE.d_prime(pc)) == pytest.approx(pc, abs=1e-14)


@given(proportions, proportions)
def test_more_correct_answers_mean_a_larger_distance(one, other):
    low, high = sorted((one, other))
    assert TRIANGLE.d_prime(low) <= TRIANGLE.d_prime(high)


@pytest.mark.parametrize("pc", [0, 0.2, 1 / 3])
def test_the_distance_at_or_below_chance_is_zero_without_an_error(pc):
    assert TRIANGLE.d_prime(pc) == 0
    assert d_prime_se(TRIANGLE, pc, 60) is None


def test_all_correct_has_neither_a_distance_nor_an_error():
    assert TRIANGLE.d_prime(1) is None
    assert d_prime_se(TRIANGLE, 1, 24) is None


@given(st.floats(0, 1), st.sampled_from([1 / 3, 1 / 2, 1 / 10]))
def test_a_share_comes_back_from_its_proportion(share, chance):
    assert share_from_pc(pc_from_share(share, chance), chance) == pytest.approx(share, abs=1e-12)


@pytest.mark.parametrize(("correct", "trials", "share"), [(8, 12, 0.5), (14, 24, 0.375)])
def test_shares_equal_worked_examples(correct, trials, share):
    # ISO 4120:1983 practical example (counts printed in FAO V7180F); 14 of 24 from memory of
    # the manner of ASTM E1885.
    assert share_from_pc(correct / trials, 1 / 3) == pytest.approx(share)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: TRIANGLE.pc(-1), "d_prime .* not -1"),
        (lambda: TRIANGLE.slope(math.inf), "d_prime .* not inf"),
        (lambda: TRIANGLE.d_prime(1.2), "pc .* not 1.2"),
        (lambda: d_prime_se(TRIANGLE, 0.5, 0), "trials .* not 0"),
        (lambda: share_from_pc(math.nan, 1 / 3), "pc .* not nan"),
        (lambda: pc_from_share(-0.1, 1 / 3), "share .* not -0.1"),
        (lambda: pc_from_share(0.1, 1), "chance .* not 1"),
    ],
)
def test_impossible_arguments_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
