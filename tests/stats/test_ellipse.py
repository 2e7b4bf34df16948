import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.bootstrap import draw_panels
from server.stats.ellipse import find_cloud_ellipse, find_drawn_ellipse, find_mean_ellipse

# Synthetic; results recomputed independently (two programs).
CLOUD = np.array(
    [
        [1, 2], [2, 1.5], [3, 3.5], [2.5, 2], [1.5, 1],
        [3.5, 3], [2, 3], [4, 4.5], [3, 2.5], [2.5, 4],
    ]
)  # fmt: skip

spots = st.tuples(st.integers(-9, 9), st.integers(-9, 9))
clouds = st.lists(spots, min_size=3, max_size=9).map(lambda rows: np.array(rows, dtype=float))


def measure_inside(ellipse, points):
    """Return how far out points lie; 1 on the ellipse."""
    x, y = (points - np.array(ellipse.centre)).T
    angle = math.radians(ellipse.angle or 0.0)
    along = (x * math.cos(angle) + y * math.sin(angle)) / ellipse.semi_axes[0]
    across = (y * math.cos(angle) - x * math.sin(angle)) / ellipse.semi_axes[1]
    return along**2 + across**2


def test_the_ellipse_of_a_cloud_equals_computed_values():
    found = find_cloud_ellipse(CLOUD)
    assert found.centre == pytest.approx((2.5, 2.7))
    assert found.semi_axes == pytest.approx((3.268210805, 1.304284554), rel=5e-10)
    assert (found.area, found.angle) == pytest.approx((13.39159435, 52.73931908), rel=5e-10)


def test_the_ellipse_of_a_mean_equals_computed_values():
    found = find_mean_ellipse(CLOUD)
    assert found.semi_axes == pytest.approx((1.337371623, 0.5337211264), rel=5e-10)


@given(clouds.filter(lambda cloud: np.linalg.matrix_rank(cloud - cloud.mean(axis=0)) == 2))
def test_distances_are_those_of_mahalanobis(cloud):
    away = cloud - cloud.mean(axis=0)
    squared = np.einsum("ij,jk,ik->i", away, np.linalg.inv(np.cov(cloud.T)), away)
    expected = squared / stats.chi2.ppf(0.9, 2)
    found = find_cloud_ellipse(cloud, 0.9)
    assert measure_inside(found, cloud) == pytest.approx(expected, rel=1e-6, abs=1e-9)


@given(clouds)
def test_a_quarter_turn_turns_the_ellipse(cloud):
    found, turned = find_cloud_ellipse(cloud), find_cloud_ellipse(cloud @ [[0, 1], [-1, 0]])
    assert turned.semi_axes == pytest.approx(found.semi_axes, abs=1e-6)
    if found.angle is not None:
        assert math.sin(math.radians(turned.angle - found.angle)) == pytest.approx(
            math.copysign(1, turned.angle - found.angle), abs=1e-6
        )


@pytest.mark.parametrize(
    ("points", "angle"),
    [([[0, 0], [1, 0], [2, 0]], 0.0), ([[0, 0], [0, 1]], 90.0), ([[0, 2], [1, 1], [2, 0]], 135.0)],
)
def test_points_on_a_line_have_an_ellipse_without_width(points, angle):
    found = find_cloud_ellipse(points)
    assert (found.semi_axes[1], found.area) == (0.0, 0.0)
    assert found.angle == pytest.approx(angle)


@pytest.mark.parametrize(
    "points", [[[0.1, 0.7]] * 3, [[1, 0], [-1, 0], [0, 1], [0, -1]]], ids=["a point", "a circle"]
)
def test_what_has_no_direction_has_no_angle(points):
    assert find_cloud_ellipse(points).angle is None


def test_too_few_points_have_no_ellipse():
    assert find_cloud_ellipse([[1, 2]]) is None
    assert find_mean_ellipse([[1, 2], [3, 4]]) is None
    assert find_drawn_ellipse(CLOUD, 2, (0.0, 0.0)) is None


def test_means_of_drawn_panels_give_nearly_the_ellipse_of_the_mean():
    drawn = draw_panels(len(CLOUD), 20_000, seed=3) @ CLOUD
    found = find_drawn_ellipse(drawn, len(CLOUD), (2.5, 2.7))
    assert found.semi_axes == pytest.approx(find_mean_ellipse(CLOUD).semi_axes, rel=0.02)


def test_the_ellipse_of_a_mean_holds_the_truth_as_often_as_it_says():
    rng = np.random.default_rng(11)
    panels = rng.normal(size=(2000, 5, 2)) @ [[2.0, 1.0], [0.0, 0.5]]
    held = [measure_inside(find_mean_ellipse(one, 0.9), np.zeros((1, 2)))[0] <= 1 for one in panels]
    assert np.mean(held) == pytest.approx(0.9, abs=4 * math.sqrt(0.09 / 2000))


@pytest.mark.parametrize(
    ("points", "level", "message"),
    [
        ([1, 2], 0.95, r"points must have shape \(n, 2\), not \(2,\)"),
        ([[1, float("nan")]], 0.95, "points must be finite, not nan"),
        ([[1, 2]], 0.0, "level must be above 0 and below 1, not 0.0"),
    ],
)
def test_bad_arguments_are_named(points, level, message):
    with pytest.raises(ValueError, match=message):
        find_cloud_ellipse(points, level)


@pytest.mark.parametrize(("draws", "n", "name"), [([[1, 2]], 5, "draws"), ([[1, 2]] * 2, 0, "n")])
def test_drawn_means_that_cannot_be_are_refused(draws, n, name):
    with pytest.raises(ValueError, match=f"{name} must be"):
        find_drawn_ellipse(draws, n, (0.0, 0.0))
