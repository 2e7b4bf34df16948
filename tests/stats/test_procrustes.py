import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import linalg, spatial

from server.stats.procrustes import stack, turn


def draw(seed, rows=5, columns=3):
    return np.random.default_rng(seed).normal(size=(rows, columns))


def rotate(degrees):
    angle = math.radians(degrees)
    return np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])


@given(st.integers(0, 10_000))
def test_the_symmetric_residual_equals_that_of_a_general_library(seed):
    one, other = draw(seed), draw(seed + 1)
    expected = spatial.procrustes(one, other)[2]
    assert turn(one, other, scaled=True).symmetric == pytest.approx(expected, rel=1e-9)


@given(st.integers(0, 10_000))
def test_the_rotation_equals_that_of_a_general_library(seed):
    one, other = draw(seed), draw(seed + 1)
    expected, _ = linalg.orthogonal_procrustes(other - other.mean(axis=0), one - one.mean(axis=0))
    assert turn(one, other).rotation == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("reflected", [False, True])
@pytest.mark.parametrize("degrees", [0, 30, 137, 270])
def test_a_rotation_made_by_hand_is_found(degrees, reflected):
    one = draw(1, columns=2)
    made = rotate(degrees) @ (np.diag([1, -1]) if reflected else np.eye(2))
    found = turn(one, 2.5 * one @ made.T + 7, scaled=True)
    assert found.rotation == pytest.approx(made, abs=1e-9)
    assert (found.scale, found.residual) == pytest.approx((0.4, 0.0), abs=1e-9)


@given(st.integers(0, 10_000))
def test_stretching_leaves_no_more_than_not_stretching(seed):
    one, other = draw(seed), draw(seed + 1)
    assert turn(one, other, scaled=True).residual <= turn(one, other).residual + 1e-12


@given(st.integers(0, 10_000))
def test_the_residual_is_total_less_what_is_shared(seed):
    # min tr (X - cYR)'(X - cYR) = tr X'X - (tr D)²/tr Y'Y, Gower & Dijksterhuis (from memory).
    one, other = stack([draw(seed), draw(seed + 1)])
    found = turn(one, other, scaled=True)
    assert found.residual == pytest.approx(found.symmetric * (one**2).sum(), rel=1e-9)


def test_the_narrower_is_filled_up_with_nothing():
    one = draw(3, columns=2)
    assert turn(np.c_[one, np.zeros(5)], one).residual == pytest.approx(0, abs=1e-12)
    assert turn(one, one[:, :1]).rotation.shape == (2, 2)


@pytest.mark.parametrize("turned_round", [False, True])
def test_a_single_point_has_no_shape(turned_round):
    pair = (draw(4), np.full((5, 3), 0.1))
    found = turn(*(pair[::-1] if turned_round else pair), scaled=True)
    assert (found.symmetric, math.isfinite(found.residual)) == (None, True)


def test_a_constant_column_leaves_no_dust():
    assert not stack([np.full((7, 1), 0.1)]).any()


@pytest.mark.parametrize(
    ("other", "message"),
    [
        ([[1.0]], r"of the same samples, not of shape \(1, 1\)"),
        ([1.0, 2.0], r"not of shape \(2,\)"),
        ([[1.0], [float("nan")]], "configurations must be finite, not nan"),
    ],
)
def test_bad_configurations_are_named(other, message):
    with pytest.raises(ValueError, match=message):
        turn([[1.0], [2.0]], other)
