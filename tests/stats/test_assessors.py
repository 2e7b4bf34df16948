"""Fish: six batches, four assessors, three scores each (ISO 8586, see the file's head).

Mean squares and F of the first three assessors are printed there (Table C.2, read in an identical
national edition); all other values were recomputed independently in two programs.
"""

import dataclasses
import json
import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats import assessors
from server.stats.anova import analyse_balanced
from server.stats.assessors import Performance, analyse_assessors
from server.stats.ratings import build_ratings
from tests.panels import from_cube, read_fish


def list_values(found: Performance, field: str) -> list:
    return [getattr(one, field) for one in found.assessors.values()]


@pytest.fixture(scope="module")
def fish():
    return analyse_assessors(read_fish())


def test_discrimination_is_that_printed_in_the_standard(fish):
    f = [round(one.f, 2) for one in list_values(fish, "discrimination")]
    assert f[:3] == [13.36, 2.66, 2.40]


def test_the_mean_squares_of_samples_are_those_printed_in_the_standard(fish):
    ratios = [one.f for one in list_values(fish, "discrimination")]
    squares = np.multiply(ratios, list_values(fish, "repeatability_mse"))
    assert squares.round(2).tolist()[:3] == [7.42, 7.83, 2.80]


def test_discrimination_equals_computed_values(fish):
    found = list_values(fish, "discrimination")
    assert [one.f for one in found] == pytest.approx([13.36, 2.660377358, 2.4, 13.8])
    p = [0.0001482907439, 0.07657100531, 0.09939265403, 0.000126475795]
    assert [one.p_value for one in found] == pytest.approx(p, rel=1e-8)


@pytest.mark.parametrize(
    ("field", "values"),
    [
        ("repeatability_mse", [0.5555555556, 2.944444444, 1.166666667, 0.4444444444]),
        ("repeatability_sd", [0.7453559925, 1.715938357, 1.08012345, 0.6666666667]),
        ("agreement_r", [0.9836800801, 0.8955998961, 0.734924177, 0.9763697887]),
        ("agreement_rho", [0.9856107606, 0.9428571429, 0.6957252428, 1]),
        ("slope", [1.243027888, 1.14469619, 0.4693400468, 1.078320648]),
        ("intercept", [-0.533421868, -1.483693786, 2.05053048, 0.4686144529]),
        ("level", [0.5416666667, -0.5138888889, -0.6805555556, 0.6527777778]),
        ("spread", [1.572918966, 1.615893286, 0.9660917831, 1.429840706]),
        ("interaction", [1.447916667, 4.642361111, 9.059027778, 0.8923611111]),
        ("interaction_share", [0.09025974026, 0.2893939394, 0.5647186147, 0.05562770563]),
    ],
)
def test_indicators_equal_computed_values(fish, field, values):
    assert list_values(fish, field) == pytest.approx(values, rel=1e-8)


def test_nobody_is_compared_with_a_panel_that_holds_their_own_values(fish):
    with_self = [0.991898453, 0.9477515038, 0.8132664268, 0.9873275295]
    assert all(np.abs(np.subtract(list_values(fish, "agreement_r"), with_self)) > 0.005)


def test_the_shares_make_up_the_interaction_of_the_panel(fish):
    squares = analyse_balanced(read_fish()).interaction.sum_of_squares
    assert sum(list_values(fish, "interaction")) == pytest.approx(squares)
    assert sum(list_values(fish, "interaction_share")) == pytest.approx(1)


def test_copied_rows_count_once(fish):
    copied = analyse_assessors(read_fish(copies=3))
    assert copied.assessors == fish.assessors
    assert copied.notes == (assessors.COPIES.format(3),)


def test_the_result_is_plain_data(fish):
    assert json.loads(json.dumps(dataclasses.asdict(fish), allow_nan=False))["notes"] == []


def test_discrimination_is_the_one_way_analysis_of_unequal_groups():
    groups = [4.0, 5.5, 5.0], [7.0, 6.0], [2.0, 3.5, 3.0, 2.5]
    labels = [name for name, group in zip("XYZ", groups, strict=True) for _ in group]
    found = analyse_assessors(build_ratings(["ann"] * 9, labels, [y for g in groups for y in g]))
    expected = stats.f_oneway(*groups)
    one = found.assessors["ann"].discrimination
    assert (one.f, one.p_value) == pytest.approx((expected.statistic, expected.pvalue))


def test_correlations_are_those_of_a_general_library():
    cube = np.random.default_rng(11132).integers(0, 8, size=(5, 7, 2)).astype(float)
    found, means = analyse_assessors(from_cube(cube)), cube.mean(axis=2)
    for place, one in enumerate(found.assessors.values()):
        rest = np.delete(means, place, axis=0).mean(axis=0)
        line = stats.linregress(rest, means[place])
        assert (one.agreement_r, one.slope) == pytest.approx((line.rvalue, line.slope))
        assert one.agreement_rho == pytest.approx(
            stats.spearmanr(means[place].round(10), rest.round(10)).statistic
        )


def test_one_value_a_cell_has_neither_discrimination_nor_repeatability():
    found = analyse_assessors(from_cube([[[1], [3], [5]], [[2], [3], [7]], [[4], [1], [6]]]))
    one = found.assessors["a00"]
    assert (one.discrimination, one.repeatability_mse, one.repeatability_sd) == (None,) * 3
    assert one.notes == (assessors.NO_REPEAT.format("a00"),)


def test_one_value_a_cell_still_has_agreement_and_interaction():
    found = analyse_assessors(from_cube([[[1], [3], [5]], [[2], [3], [7]], [[4], [1], [6]]]))
    expected = stats.pearsonr([1, 3, 5], [3, 2, 6.5]).statistic
    assert found.assessors["a00"].agreement_r == pytest.approx(expected)
    assert found.notes == (assessors.SINGLE,)


def test_a_constant_assessor_has_no_agreement():
    cube = np.random.default_rng(1).normal(size=(4, 3, 2))
    cube[2] = 5
    one = analyse_assessors(from_cube(cube)).assessors["a02"]
    assert (one.agreement_r, one.agreement_rho, one.slope, one.spread) == (None, None, 0, 0)
    assert assessors.CONSTANT.format("a02") in one.notes


def test_a_constant_assessor_leaves_the_others_their_figures():
    cube = np.random.default_rng(1).normal(size=(4, 3, 2))
    cube[2] = 5
    found = analyse_assessors(from_cube(cube)).assessors
    assert all(found[name].agreement_r is not None for name in ("a00", "a01", "a03"))


def test_exact_repeats_have_no_f():
    cube = np.random.default_rng(2).normal(size=(3, 4, 2))
    cube[1] = np.array([0.1 + 0.2, 1.1, 2.2, 3.3])[:, None]
    one = analyse_assessors(from_cube(cube)).assessors["a01"]
    assert (one.discrimination, one.repeatability_mse) == (None, 0)
    assert assessors.EXACT.format("a01") in one.notes


def test_one_assessor_has_no_rest_of_the_panel():
    found = analyse_assessors(from_cube([[[1, 2], [4, 5.5], [3, 3]]]))
    one = found.assessors["a00"]
    assert (one.agreement_r, one.slope, one.interaction_share) == (None, None, None)
    assert found.notes == (assessors.ALONE, assessors.NO_INTERACTION)
    assert one.discrimination is not None


def test_two_assessors_are_each_others_rest():
    found = analyse_assessors(from_cube(np.random.default_rng(3).normal(size=(2, 5, 2))))
    assert assessors.TWO in found.notes
    assert list_values(found, "interaction_share") == pytest.approx([0.5, 0.5])


def test_two_samples_allow_no_other_agreement_than_one_or_minus_one():
    found = analyse_assessors(from_cube([[[1, 2], [5, 7]], [[2, 3], [5, 5]], [[6, 5], [1, 3]]]))
    assert list_values(found, "agreement_r") == [-1, 1, -1]
    assert assessors.TWO_SAMPLES.format("a00") in found.assessors["a00"].notes


def test_one_sample_has_nothing_but_repeatability_and_level():
    found = analyse_assessors(from_cube([[[1, 3]], [[2, 2.5]], [[5, 6]]]))
    one = found.assessors["a00"]
    assert (one.discrimination, one.agreement_r, one.spread) == (None, None, None)
    assert (one.repeatability_mse, one.level) == pytest.approx((2, 2 - 9.75 / 3))
    assert assessors.ONE_SAMPLE.format("a00") in one.notes


def test_a_rest_that_tells_nothing_apart_cannot_be_agreed_with():
    found = analyse_assessors(from_cube([[[1, 2], [4, 5], [3, 3]], *[[[4, 5]] * 3] * 2]))
    one = found.assessors["a00"]
    assert (one.agreement_r, one.slope) == (None, None)
    assert assessors.REST_CONSTANT.format("a00") in one.notes


def test_equal_differences_leave_no_interaction_to_share():
    cube = np.add.outer([1.0, 2, 3], [0.1, 0.7, 0.3])[:, :, None] + np.array([0, 0.5])
    found = analyse_assessors(from_cube(cube))
    assert list_values(found, "interaction_share") == [None] * 3
    assert assessors.NO_INTERACTION in found.notes


def test_a_gap_does_not_blame_those_who_rated_other_samples():
    # Additive values: whoever rated what, all agree and levels are what they were made of.
    levels, samples = np.array([0.0, 3, -1, 2]), np.array([1.0, 5, 2, 8, 4])
    cube = np.add.outer(levels, samples)[:, :, None]
    cube[0, :2] = cube[1, 4] = cube[3, 2] = np.nan
    found = analyse_assessors(from_cube(cube))
    assert list_values(found, "agreement_r") == pytest.approx([1] * 4)
    assert list_values(found, "slope") == pytest.approx([1] * 4)
    assert list_values(found, "level") == pytest.approx((levels - 1).tolist())


def test_a_panel_in_two_halves_has_no_levels():
    cube = np.full((4, 4, 2), np.nan)
    cube[:2, :2] = [[[1, 2], [5, 7]], [[2, 3], [5, 5]]]
    cube[2:, 2:] = [[[3, 2], [5, 8]], [[2, 4], [6, 5]]]
    found = analyse_assessors(from_cube(cube))
    assert list_values(found, "level") == [None] * 4
    assert assessors.GAPS in found.notes


def test_who_shares_no_sample_with_the_rest_has_no_agreement():
    cube = np.random.default_rng(4).normal(size=(3, 4, 2))
    cube[0, 1:] = np.nan
    one = analyse_assessors(from_cube(cube)).assessors["a00"]
    assert (one.agreement_r, one.shared_samples) == (None, 1)
    assert assessors.FEW.format("a00") in one.notes


@given(st.integers(0, 10_000), st.floats(-20, 20), st.floats(0.2, 5))
def test_how_one_uses_the_scale_changes_no_agreement_of_ones_own(seed, shift, stretch):
    cube = np.random.default_rng(seed).normal(size=(4, 5, 2))
    one = analyse_assessors(from_cube(cube)).assessors["a01"]
    cube[1] = shift + stretch * cube[1]
    other = analyse_assessors(from_cube(cube)).assessors["a01"]
    assert other.agreement_r == pytest.approx(one.agreement_r, abs=1e-6)
    assert other.discrimination.f == pytest.approx(one.discrimination.f, rel=1e-6)
    assert other.slope == pytest.approx(stretch * one.slope, rel=1e-6, abs=1e-6)


@given(st.integers(0, 10_000))
def test_turning_ones_scale_round_turns_the_sign_of_agreement(seed):
    cube = np.random.default_rng(seed).normal(size=(4, 5, 2))
    one = analyse_assessors(from_cube(cube)).assessors["a01"]
    cube[1] = 10 - cube[1]
    other = analyse_assessors(from_cube(cube)).assessors["a01"]
    assert other.agreement_r == pytest.approx(-one.agreement_r, abs=1e-8)


def test_a_large_panel_takes_no_time():
    ratings = from_cube(np.random.default_rng(5).normal(size=(60, 12, 3)))
    began = time.perf_counter()
    analyse_assessors(ratings)
    assert time.perf_counter() - began < 1
