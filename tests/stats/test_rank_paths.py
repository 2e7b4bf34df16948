"""Fish: six batches, four assessors, three scores each (ISO 8586, see the file's head).

The paths are those of Hirst & Næs (1994), recomputed independently in two programs.
"""

import dataclasses
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.rank_paths import GAPS, NONE_COMPLETE, trace_ranks
from server.stats.ratings import Ratings, build_ratings
from tests.panels import read_fish


def build(rows: np.ndarray) -> Ratings:
    places = [place for place in np.ndindex(rows.shape) if np.isfinite(rows[place])]
    people, names = [f"a{i}" for i, _ in places], [f"s{j:02}" for _, j in places]
    return build_ratings(people, names, [float(rows[place]) for place in places])


@pytest.fixture(scope="module")
def fish():
    return trace_ranks(read_fish())


def test_the_order_is_that_of_the_panels_means(fish):
    assert fish.order == ("5", "3", "4", "6", "2", "1")


def test_paths_equal_computed_values(fish):
    assert fish.paths["1"].steps == (-2.5, -4, -4, -4, -2.5, 0)
    assert fish.ideal == (-2.5, -4, -4.5, -4, -2.5, 0)


def test_depths_and_areas_equal_computed_values(fish):
    assert [one.deepest for one in fish.paths.values()] == [-4, -4, -4.5, -4.5]
    assert [one.area for one in fish.paths.values()] == [-17, -16.5, -13.5, -17.5]


def test_the_result_is_plain_data(fish):
    assert json.loads(json.dumps(dataclasses.asdict(fish), allow_nan=False))["notes"] == []


@given(st.integers(0, 10_000), st.integers(2, 12))
def test_no_path_is_deeper_than_the_ideal_one_and_all_end_at_zero(seed, samples):
    found = trace_ranks(build(np.random.default_rng(seed).normal(size=(4, samples))))
    for path in found.paths.values():
        assert np.all(np.array(path.steps) >= np.array(found.ideal))
        assert path.steps[-1] == 0


@pytest.mark.parametrize("samples", [2, 4, 5, 7, 12])
def test_the_ideal_path_is_as_deep_as_the_formula_says(samples):
    found = trace_ranks(build(np.arange(float(samples))[None, :]))
    assert min(found.ideal) == -(samples**2 - samples % 2) / 8
    assert found.paths["a0"].steps == found.ideal


def test_a_constant_assessor_stays_at_zero():
    found = trace_ranks(build(np.array([[1.0, 2, 3], [5, 5, 5]])))
    assert found.paths["a1"].steps == (0, 0, 0)


def test_a_reversed_assessor_goes_above():
    found = trace_ranks(build(np.array([[1.0, 5, 9], [2, 6, 9], [3, 2, 1]])))
    assert found.paths["a2"].steps == (1, 1, 0)


def test_equal_means_of_samples_stay_in_the_order_of_their_labels():
    # Computed in floating point, the second and third means differ in their last bit.
    found = trace_ranks(build(np.array([[1.0, 0.1 + 0.2, 0.3]])))
    assert found.order == ("s01", "s02", "s00")


def test_who_has_a_gap_has_no_path():
    found = trace_ranks(build(np.array([[1.0, 2, 3], [1, np.nan, 3], [2, 1, 3]])))
    assert set(found.paths) == {"a0", "a2"}
    assert found.notes == (GAPS.format("a1"),)


def test_without_a_complete_assessor_nothing_is_estimable():
    found = trace_ranks(build(np.array([[1.0, np.nan], [np.nan, 2]])))
    assert (found.paths, found.notes) == ({}, (NONE_COMPLETE,))
