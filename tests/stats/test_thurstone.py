import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.forced_choice import DUO_TRIO, TETRAD, TRIANGLE, TWO_AFC, TWO_OF_FIVE
from server.stats.thurstone import ForcedChoice, d_prime_se, pc_from_share, share_from_pc


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


@pytest.mark.parametrize("pc", [0, 0.2, 1 / 3])
def test_the_distance_at_or_below_chance_is_zero_without_an_error(pc):
    assert TRIANGLE.d_prime(pc) == 0
    assert d_prime_se(TRIANGLE, pc, 60) is None


def test_all_correct_has_neither_a_distance_nor_an_error():
    assert TRIANGLE.d_prime(1) is None
    assert d_prime_se(TRIANGLE, 1, 24) is None


def test_a_model_needs_only_its_curve_and_the_slope_of_it():
    # pc = 1 - (1 - g) / (1 + d)^4, whose d' is known.
    model = ForcedChoice(
        "power law", 0.25, lambda d: 1 - 0.75 * (1 + d) ** -4, lambda d: 3 * (1 + d) ** -5
    )
    pc = np.linspace(0.26, 0.999, 50)
    assert model.d_prime(pc) == pytest.approx((0.75 / (1 - pc)) ** 0.25 - 1, rel=1e-12)


@pytest.mark.parametrize("shape", [(0,), (1,), (3, 2), (2, 1, 4)])
def test_arrays_keep_their_shape(shape):
    pc = TRIANGLE.pc(np.full(shape, 1.5))
    assert pc.shape == TRIANGLE.slope(np.full(shape, 1.5)).shape == shape
    assert TRIANGLE.d_prime(pc).shape == shape


@pytest.mark.parametrize("value", [1, 1.0, np.float64(1), np.int64(1)])
def test_a_number_of_any_kind_gives_a_plain_number(value):
    assert type(TRIANGLE.pc(value)) is type(TRIANGLE.slope(value)) is float
    assert type(TRIANGLE.d_prime(value / 2)) is float


def test_a_distance_as_large_as_a_number_can_be_is_always_correct():
    assert TRIANGLE.pc(1e308) == 1


@given(st.sampled_from([TRIANGLE, DUO_TRIO, TWO_AFC, TETRAD]), st.floats(0.001, 6))
def test_a_distance_comes_back_from_its_proportion(model, d):
    assert model.d_prime(model.pc(d)) == pytest.approx(d, abs=1e-10)


def test_two_cups_exactly_at_chance_have_no_error_although_the_slope_is_not_0():
    # d' ends at 0: the estimate cannot spread to both sides.
    assert TWO_AFC.slope(0.0) > 0
    assert d_prime_se(TWO_AFC, 0.5, 60) is None


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
        (lambda: TRIANGLE.pc(np.array([1, -2])), "d_prime .* not -2"),
        (lambda: TRIANGLE.pc(np.array([1, math.nan])), "d_prime .* not nan"),
        (lambda: TRIANGLE.d_prime(np.array([1.5, 1])), "pc .* not 1.5"),
        (lambda: TRIANGLE.d_prime(np.array([0.5, math.nan])), "pc .* not nan"),
        (lambda: d_prime_se(TWO_OF_FIVE, 0.5, 10), "model must have a d′"),
        (lambda: d_prime_se(TRIANGLE, 0.5, 0), "trials .* not 0"),
        (lambda: share_from_pc(math.nan, 1 / 3), "pc .* not nan"),
        (lambda: pc_from_share(-0.1, 1 / 3), "share .* not -0.1"),
        (lambda: pc_from_share(0.1, 1), "chance .* not 1"),
    ],
)
def test_impossible_arguments_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
