import dataclasses
import json
import math

import numpy as np
import pytest

from server.stats.pca import fit_components
from server.stats.procrustes import turn
from server.stats.profiles import GAPS, Profile
from server.stats.sample_map import (
    NOBODY_COMPLETE,
    ONE_DIMENSION,
    TOO_FEW,
    draw_map,
    turn_panels,
)

PLANE = np.array([[0, 0], [4, 0], [0, 3], [4, 3], [-3, 1], [2, -3.0]])
SAMPLES = tuple("UVWXYZ")


def build(cells):
    people, samples, attributes = cells.shape
    return Profile(
        tuple(f"assessor {at}" for at in range(people)),
        tuple(f"sample {at}" for at in range(samples)),
        tuple(f"attribute {at}" for at in range(attributes)),
        cells,
    )


def rate(seed, people=6, attributes=4, noise=1.0, truth=PLANE):
    """Ratings of samples that truly lie in a plane, by assessors of different levels."""
    rng = np.random.default_rng(seed)
    means = truth @ np.linalg.qr(rng.normal(size=(attributes, 2)))[0].T
    levels = rng.normal(size=(people, 1, attributes))
    return means + levels + noise * rng.normal(size=(people, len(truth), attributes))


def count_held(panels, people):
    """Share of samples whose true place, laid over the map, is in their ellipse."""
    held = []
    for seed in range(panels):
        found = draw_map(build(rate(seed, people)), draws=100, seed=seed)
        places = np.array(found.components.scores)[:, :2]
        truth = PLANE - PLANE.mean(axis=0)
        truth = truth @ turn(places, truth).rotation
        held += [is_inside(*pair) for pair in zip(found.ellipses, truth, strict=True)]
    return np.mean(held)


def is_inside(ellipse, point):
    x, y = point - np.array(ellipse.centre)
    angle = math.radians(ellipse.angle)
    along = (x * math.cos(angle) + y * math.sin(angle)) / ellipse.semi_axes[0]
    across = (y * math.cos(angle) - x * math.sin(angle)) / ellipse.semi_axes[1]
    return along**2 + across**2 <= 1


@pytest.mark.parametrize("correlation", [False, True])
def test_the_map_is_that_of_the_means_and_ellipses_lie_around_its_samples(correlation):
    profile = build(rate(1))
    found = draw_map(profile, correlation, draws=20)
    means = profile.cells.mean(axis=0)
    assert found.components == fit_components(
        means, profile.samples, profile.attributes, correlation
    )
    assert [one.centre for one in found.ellipses] == [row[:2] for row in found.components.scores]


@pytest.mark.parametrize("people", [4, 8])
def test_ellipses_hold_the_truth_about_as_often_as_they_say(people):
    assert count_held(panels=40, people=people) == pytest.approx(0.95, abs=0.05)


@pytest.mark.long
@pytest.mark.parametrize("people", [4, 6, 8, 12, 20])
def test_ellipses_hold_the_truth_as_often_as_they_say_or_a_little_more(people):
    assert 0.93 <= count_held(panels=500, people=people) <= 0.98


def test_the_same_seed_draws_the_same_map():
    profile = build(rate(2))
    assert draw_map(profile, draws=20, seed=3) == draw_map(profile, draws=20, seed=3)


def test_levels_of_assessors_do_not_move_the_samples():
    cells = rate(3)
    moved = cells + np.arange(6)[:, None, None]
    one, other = draw_map(build(cells), draws=20), draw_map(build(moved), draws=20)
    areas = [[ellipse.area for ellipse in found.ellipses] for found in (one, other)]
    assert areas[0] == pytest.approx(areas[1], rel=1e-6)


def test_assessors_who_agree_to_the_digit_leave_ellipses_of_no_size():
    found = draw_map(build(np.repeat(rate(4)[:1], 5, axis=0)), draws=20)
    assert max(ellipse.semi_axes[0] for ellipse in found.ellipses) < 1e-6


def test_panels_are_turned_back_however_their_axes_come_out():
    # Two samples far apart on one axis: any sign that was not undone would show.
    cells = rate(5, noise=0.01)
    target = np.array(draw_map(build(cells), draws=2).components.scores)[:, :2]
    turned = turn_panels(cells, False, target, draws=50, seed=1)
    assert np.abs(turned - target).max() < 0.1


def test_who_has_a_gap_is_left_out_by_name():
    cells = rate(6)
    cells[2, 1, 0] = np.nan
    found = draw_map(build(cells), draws=20)
    assert found.notes == (GAPS.format("assessor 2"),)
    assert len(found.assessors) == 5


def test_an_attribute_without_spread_is_left_out_of_the_ellipses_too():
    cells = rate(7)
    cells[:, :, 1] = 0.1
    found = draw_map(build(cells), correlation=True, draws=20)
    rest = draw_map(build(np.delete(cells, 1, axis=2)), correlation=True, draws=20)
    assert [one.area for one in found.ellipses] == pytest.approx(
        [one.area for one in rest.ellipses]
    )


@pytest.mark.parametrize(
    ("cells", "note"),
    [
        (rate(8, people=2), TOO_FEW.format(2)),
        (rate(8, people=1), TOO_FEW.format(1)),
        (rate(8)[:, :2], ONE_DIMENSION),
        (rate(8)[:, :, :1], ONE_DIMENSION),
    ],
    ids=["two assessors", "one assessor", "two samples", "one attribute"],
)
def test_what_has_no_ellipses_has_a_reason(cells, note):
    found = draw_map(build(cells), draws=20)
    assert (found.ellipses, found.notes) == (None, (note,))


def test_if_nobody_rated_everything_there_is_no_map():
    found = draw_map(build(np.full((2, 3, 2), np.nan)), draws=20)
    assert (found.components, found.notes) == (None, (NOBODY_COMPLETE,))


def test_a_map_is_strict_json():
    found = draw_map(build(rate(9)), draws=20)
    assert json.dumps(dataclasses.asdict(found), allow_nan=False)


@pytest.mark.parametrize(("option", "value"), [("draws", 1), ("level", 1.0), ("seed", -1)])
def test_bad_options_are_named(option, value):
    with pytest.raises(ValueError, match=f"{option} must be"):
        draw_map(build(rate(10)), **{option: value})
