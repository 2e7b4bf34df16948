import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize, special

from server.stats.crossings import find_crossing

CURVES = {
    "a parabola": (lambda x: x * x - 2, 0, 2),
    "cosine": (lambda x: math.cos(x) - x, 0, 1),
    "a steep start": (lambda x: x**0.01 - 0.9, 0, 1),
    "far from straight": (lambda x: math.exp(x) - 1e-5, -50, 50),
    "nearly a jump": (lambda x: math.atan(1e6 * (x - 0.3)), -100, 7),
}


@pytest.mark.parametrize(("curve", "one", "other"), CURVES.values(), ids=CURVES)
def test_crossings_equal_those_of_another_implementation(curve, one, other):
    # scipy.optimize.brentq
    expected = optimize.brentq(curve, one, other, xtol=1e-15, rtol=1e-15)
    assert find_crossing(curve, one, other) == pytest.approx(expected, rel=1e-14)
    assert find_crossing(curve, other, one) == pytest.approx(expected, rel=1e-14)


@given(st.floats(-1e3, 1e3), st.floats(1e-3, 1e3), st.floats(1e-3, 1e3))
def test_a_known_crossing_is_found_from_either_side(place, below, above):
    def curve(x):
        return (x - place) * (2 + math.sin(x))

    found = find_crossing(curve, place - below, place + above, width=1e-12)
    assert found == pytest.approx(place, rel=1e-15, abs=1e-12)


def test_a_jump_is_halved_to_its_last_digits():
    assert find_crossing(lambda x: 1 if x > 0.3 else -1, 0, 1) == pytest.approx(0.3, rel=1e-15)


@pytest.mark.parametrize(("one", "other"), [(0.25, 1), (-1, 0.25)])
def test_an_end_may_be_the_crossing(one, other):
    assert find_crossing(lambda x: x - 0.25, one, other) == 0.25


def test_a_value_near_enough_ends_the_search():
    seen = []

    def curve(x):
        seen.append(special.ndtr(x) - 0.975)
        return seen[-1]

    found = find_crossing(curve, -8, 8, close=1e-3)
    assert abs(special.ndtr(found) - 0.975) <= 1e-3
    assert min(abs(value) for value in seen[:-1]) > 1e-3


def test_smooth_curves_take_a_dozen_looks():
    seen = []
    find_crossing(lambda x: seen.append(x) or math.cos(x) - x, 0, 1)
    assert len(seen) <= 12


def test_ends_of_one_sign_are_refused():
    with pytest.raises(ValueError, match=r"function must have two signs, not 2 and 5"):
        find_crossing(lambda x: x * x + 1, 1, 2)
