"""Fish: six batches, four assessors, three scores each (ISO 8586, see the file's head).

The means are printed there; all other values were recomputed independently in two programs.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.anova import (
    COPIES,
    NO_INTERACTION,
    ONE_ASSESSOR,
    ONE_REPLICATE,
    ONE_SAMPLE,
    analyse_balanced,
    compare,
)
from server.stats.ratings import build_ratings
from tests.panels import from_cube, read_fish


@pytest.fixture(scope="module")
def fish():
    return analyse_balanced(read_fish())


def test_the_means_are_those_printed_in_the_standard(fish):
    assert [round(mean, 2) for mean in fish.means] == [7.5, 6.17, 4.25, 4.92, 3.92, 5.33]


@pytest.mark.parametrize(
    ("name", "squares", "df", "mean_square"),
    [
        ("assessor", 26.04166667, 3, 8.680555556),
        ("sample", 104.9027778, 5, 20.98055556),
        ("interaction", 16.04166667, 15, 1.069444444),
        ("error", 61.33333333, 48, 1.277777778),
    ],
)
def test_the_table_equals_computed_values(fish, name, squares, df, mean_square):
    line = getattr(fish, name)
    assert (line.sum_of_squares, line.mean_square) == pytest.approx((squares, mean_square))
    assert line.df == df


def test_samples_are_tested_over_the_interaction(fish):
    assert fish.sample_test.f == pytest.approx(19.61818182, rel=1e-9)
    assert fish.sample_test.p_value == pytest.approx(4.24489244e-06, rel=1e-8)
    assert fish.sample_test.df == (5, 15)


def test_samples_are_not_tested_over_repeat_error_nor_over_a_pooled_error(fish):
    # 16.41956522 takes cups for people; 17.082714 on 63 df (a general mixed-model library in R)
    # pools the interaction with the error, its variance component being negative here.
    assert fish.sample_test.f != pytest.approx(16.41956522, rel=1e-3)
    assert fish.sample_test.f != pytest.approx(17.082714, rel=1e-3)


@pytest.mark.parametrize(
    ("above", "below", "f", "p"),
    [
        ("interaction", "error", 0.8369565217, 0.6336323153),
        ("assessor", "interaction", 8.116883117, 0.001905944),
        ("assessor", "error", 6.793478261, 0.0006561762151),
        ("sample", "error", 16.41956522, 2.005587028e-09),
    ],
)
def test_other_ratios_equal_computed_values(fish, above, below, f, p):
    found = compare(getattr(fish, above), getattr(fish, below))
    assert (found.f, found.p_value) == pytest.approx((f, p), rel=1e-6)


def test_a_negative_component_is_kept_and_said(fish):
    assert tuple(fish.components.values()) == pytest.approx(
        (0.4228395062, -0.06944444444, 1.277777778)
    )
    assert any("negative" in note and "assessor:sample" in note for note in fish.notes)


def test_the_error_of_a_mean_comes_from_the_interaction(fish):
    assert fish.se == pytest.approx(0.2985303508, rel=1e-9)  # not 0.3263150035, of repeat error
    low, high = fish.intervals[0]
    assert (high - low) / 2 == pytest.approx(stats.t.ppf(0.975, 15) * fish.se)


@pytest.mark.parametrize("copies", [2, 3, 5])
def test_copying_every_row_changes_nothing(fish, copies):
    copied = analyse_balanced(read_fish(copies))
    assert copied.sample_test == fish.sample_test
    assert (copied.intervals, copied.error) == (fish.intervals, fish.error)
    assert COPIES.format(copies) in copied.notes


def test_cell_means_alone_give_the_same_test(fish):
    ratings = read_fish()
    alone = analyse_balanced(from_cube(ratings.means()[:, :, None]))
    assert alone.sample_test.f == pytest.approx(fish.sample_test.f)
    assert alone.sample_test.df == fish.sample_test.df


def test_one_value_a_cell_leaves_interaction_and_error_together():
    alone = analyse_balanced(from_cube(read_fish().means()[:, :, None]))
    assert (alone.interaction_test, alone.components["assessor:sample"]) == (None, None)
    assert ONE_REPLICATE in alone.notes


def test_two_samples_give_the_square_of_the_paired_t():
    rng = np.random.default_rng(8586)
    cube = rng.normal(size=(9, 2, 1))
    found = analyse_balanced(from_cube(cube))
    paired = stats.ttest_rel(cube[:, 0, 0], cube[:, 1, 0])
    assert found.sample_test.f == pytest.approx(paired.statistic**2)
    assert found.sample_test.p_value == pytest.approx(paired.pvalue)


def test_one_assessor_tests_no_sample():
    found = analyse_balanced(from_cube(np.arange(6.0).reshape(1, 3, 2)))
    assert (found.sample_test, found.se, found.intervals) == (None, None, None)
    assert ONE_ASSESSOR in found.notes


def test_one_sample_has_nothing_to_be_compared_with():
    found = analyse_balanced(from_cube(np.array([[[1.0, 2]], [[2, 4]]])))
    assert found.sample_test is None
    assert ONE_SAMPLE in found.notes


def test_assessors_who_agree_to_the_digit_give_no_f():
    cube = np.add.outer([1.0, 2, 3], [0.1, 0.7, 0.3])[:, :, None]
    found = analyse_balanced(from_cube(cube))
    assert found.sample_test is None
    assert NO_INTERACTION in found.notes


def test_cells_of_different_size_are_refused():
    with pytest.raises(ValueError, match="as many values in every cell, not 1 to 2"):
        analyse_balanced(build_ratings(["a", "a", "a"], ["X", "X", "Y"], [1, 2, 3]))


@given(st.integers(0, 10_000), st.floats(-50, 50), st.floats(0.1, 20))
def test_another_unit_changes_no_test(seed, shift, unit):
    cube = np.random.default_rng(seed).normal(size=(4, 3, 2))
    one, other = analyse_balanced(from_cube(cube)), analyse_balanced(from_cube(shift + unit * cube))
    assert other.sample_test.f == pytest.approx(one.sample_test.f, rel=1e-6)


@given(st.integers(0, 10_000))
def test_an_assessors_level_changes_no_test_of_samples(seed):
    rng = np.random.default_rng(seed)
    cube, level = rng.normal(size=(4, 3, 2)), rng.normal(0, 9, size=(4, 1, 1))
    one, other = analyse_balanced(from_cube(cube)), analyse_balanced(from_cube(cube + level))
    assert other.sample_test.f == pytest.approx(one.sample_test.f, rel=1e-6)


def test_the_risk_of_a_false_alarm_is_the_level():
    # 800 panels of 6 assessors, 4 samples that do not differ, 2 values a cell.
    rng = np.random.default_rng(13299)
    people, crossed = rng.normal(size=(800, 6, 1, 1)), rng.normal(size=(800, 6, 4, 1))
    cubes = people + crossed + rng.normal(size=(800, 6, 4, 2))
    alarms = sum(analyse_balanced(from_cube(one)).sample_test.p_value <= 0.05 for one in cubes)
    assert abs(alarms / 800 - 0.05) < 4 * (0.05 * 0.95 / 800) ** 0.5
