"""Fish: six batches, four assessors, three scores each (ISO 8586, see the file's head).

The model is that of Brockhoff, Schlich & Skovgaard (2015); values on these data were recomputed
independently in two programs. Other data are checked against a general linear-model library.
"""

import dataclasses
import functools
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.regression.linear_model import OLS

from server.stats import scaling
from server.stats.anova import analyse_balanced
from server.stats.ratings import build_ratings
from server.stats.scaling import analyse_scaling
from tests.panels import from_cube, read_fish


@pytest.fixture(scope="module")
def fish():
    return analyse_scaling(read_fish())


@pytest.mark.parametrize(
    ("name", "squares", "df", "mean_square"),
    [
        ("assessor", 26.04166667, 3, 8.680555556),
        ("sample", 104.9027778, 5, 20.98055556),
        ("scaling", 5.944221943, 3, 1.981407314),
        ("disagreement", 10.09744472, 12, 0.841453727),
        ("error", 61.33333333, 48, 1.277777778),
    ],
)
def test_the_table_equals_computed_values(fish, name, squares, df, mean_square):
    line = getattr(fish, name)
    assert (line.sum_of_squares, line.mean_square) == pytest.approx((squares, mean_square))
    assert line.df == df


@pytest.mark.parametrize(
    ("name", "f", "p"),
    [
        ("sample_test", 24.93370091, 5.975219523e-06),
        ("scaling_test", 2.354743048, 0.1233652498),
        ("disagreement_test", 0.6585290037, 0.7811330344),
    ],
)
def test_tests_equal_computed_values(fish, name, f, p):
    found = getattr(fish, name)
    assert (found.f, found.p_value) == pytest.approx((f, p), rel=1e-8)


def test_coefficients_equal_computed_values(fish):
    expected = [1.179928505, 1.158215279, 0.5942009797, 1.067655236]
    assert list(fish.coefficients.values()) == pytest.approx(expected, rel=1e-9)


def test_copied_rows_change_nothing(fish):
    assert analyse_scaling(read_fish(copies=4)) == fish


def test_the_result_is_plain_data(fish):
    assert json.loads(json.dumps(dataclasses.asdict(fish), allow_nan=False))["notes"] == []


def test_scaling_is_what_slopes_on_the_panels_means_explain():
    cube = np.random.default_rng(2015).normal(size=(5, 6, 3)) + np.arange(6)[None, :, None]
    people, samples, _ = (place.ravel() for place in np.indices(cube.shape))
    panel = cube.mean(axis=(0, 2))
    dummies = np.column_stack(
        [people[:, None] == np.arange(5), samples[:, None] == np.arange(1, 6)]
    )
    slopes = (people[:, None] == np.arange(1, 5)) * panel[samples][:, None]
    less = OLS(cube.ravel(), dummies.astype(float)).fit()
    more = OLS(cube.ravel(), np.column_stack([dummies, slopes])).fit()
    assert analyse_scaling(from_cube(cube)).scaling.sum_of_squares == pytest.approx(
        less.ssr - more.ssr
    )


@given(st.integers(0, 10_000), st.integers(2, 6), st.integers(3, 6))
def test_both_parts_make_up_the_interaction_and_the_coefficients_have_mean_one(seed, i, j):
    ratings = from_cube(np.random.default_rng(seed).normal(size=(i, j, 2)))
    found, whole = analyse_scaling(ratings), analyse_balanced(ratings).interaction
    both = found.scaling.sum_of_squares + found.disagreement.sum_of_squares
    assert both == pytest.approx(whole.sum_of_squares)
    assert found.scaling.df + found.disagreement.df == whole.df
    assert np.mean(list(found.coefficients.values())) == pytest.approx(1)


def test_known_coefficients_come_back():
    truth = np.array([0.5, 1.0, 1.5, 1.0])
    cube = np.multiply.outer(truth, [-3.0, -1, 1, 3])[:, :, None] + np.array([-0.5, 0.5])
    found = analyse_scaling(from_cube(cube))
    assert list(found.coefficients.values()) == pytest.approx(truth.tolist())
    assert (found.sample_test, found.scaling_test) == (None, None)
    assert scaling.NO_DISAGREEMENT in found.notes


def test_a_scale_used_the_other_way_round_has_a_negative_coefficient():
    cube = np.tile(np.arange(5.0), (4, 1))[:, :, None] + np.random.default_rng(1).normal(
        size=(4, 5, 2)
    )
    cube[2] = -cube[2]
    found = analyse_scaling(from_cube(cube))
    assert found.coefficients["a02"] < 0
    assert scaling.REVERSED.format("a02") in found.notes


def test_two_samples_leave_no_disagreement_to_test_against():
    found = analyse_scaling(from_cube(np.random.default_rng(3).normal(size=(4, 2, 2))))
    assert (found.sample_test, found.scaling_test, found.disagreement.df) == (None, None, 0)
    assert scaling.TWO_SAMPLES in found.notes


def test_one_value_a_cell_tests_samples_but_no_disagreement():
    found = analyse_scaling(from_cube(np.random.default_rng(4).normal(size=(4, 5, 1))))
    assert found.sample_test is not None
    assert found.disagreement_test is None
    assert scaling.ONE_REPLICATE in found.notes


def test_exact_repeats_of_single_cells_leave_disagreement_untested():
    cube = np.random.default_rng(5).normal(size=(3, 4, 1)).repeat(2, axis=2)
    people, names, values = [], [], []
    for (i, j, _), value in np.ndenumerate(cube):
        people.append(f"a{i}")
        names.append(f"s{j}")
        values.append(float(value))
    found = analyse_scaling(build_ratings(people, names, values))
    assert found.disagreement_test is None


def test_equal_means_of_all_samples_have_no_scale():
    cube = np.array([[[1.0], [2], [3]], [[3], [2], [1]]])
    found = analyse_scaling(from_cube(cube))
    assert (found.coefficients, found.scaling, found.sample_test) == (None, None, None)
    assert scaling.NO_SPREAD in found.notes


@pytest.mark.parametrize(
    ("shape", "reason"), [((1, 3, 2), scaling.ONE_ASSESSOR), ((3, 1, 2), scaling.ONE_SAMPLE)]
)
def test_too_few_to_compare_is_said(shape, reason):
    found = analyse_scaling(from_cube(np.random.default_rng(6).normal(size=shape)))
    assert found.coefficients is None
    assert reason in found.notes


def test_gaps_are_not_estimable_and_it_is_said():
    found = analyse_scaling(build_ratings(["a", "a", "b"], ["X", "Y", "X"], [1, 2, 3]))
    assert (found.coefficients, found.sample, found.notes) == (
        None,
        None,
        (scaling.UNEQUAL.format(0, 1),),
    )


@given(st.integers(0, 10_000))
def test_levels_of_assessors_change_nothing(seed):
    rng = np.random.default_rng(seed)
    cube, level = rng.normal(size=(4, 4, 2)), rng.normal(0, 9, size=(4, 1, 1))
    one, other = analyse_scaling(from_cube(cube)), analyse_scaling(from_cube(cube + level))
    assert other.sample_test.f == pytest.approx(one.sample_test.f, rel=1e-6)
    assert other.coefficients == pytest.approx(one.coefficients, rel=1e-6, abs=1e-6)


@functools.cache
def analyse_panels(panels: int, spread: float) -> list:
    """Analyse panels of 6 assessors x 5 samples x 2 values with no interaction to scale."""
    rng = np.random.default_rng(39156)
    samples = spread * rng.normal(size=(panels, 1, 5, 1))
    crossed = rng.normal(size=(panels, 6, 5, 1)) + rng.normal(size=(panels, 6, 1, 1))
    cubes = samples + crossed + rng.normal(size=(panels, 6, 5, 2))
    return [analyse_scaling(from_cube(one)) for one in cubes]


def count_alarms(panels: int, spread: float, test: str) -> int:
    """Panels in which a true hypothesis was rejected."""
    return sum(getattr(one, test).p_value <= 0.05 for one in analyse_panels(panels, spread))


SIMULATED = [(0.0, "sample_test"), (0.0, "scaling_test"), (2.0, "scaling_test")]


@pytest.mark.parametrize(("spread", "test"), SIMULATED)
def test_the_risk_of_a_false_alarm_is_the_level(spread, test):
    # 8 to 35 of 400 panels; a chance of two in a thousand that a right test fails this.
    least, most = stats.binom.interval(0.998, 400, 0.05)
    assert least <= count_alarms(400, spread, test) <= most


@pytest.mark.long
@pytest.mark.parametrize(("spread", "test"), SIMULATED)
def test_the_risk_of_a_false_alarm_is_the_level_in_many_panels(spread, test):
    n = 20_000
    assert abs(count_alarms(n, spread, test) / n - 0.05) < 4 * (0.05 * 0.95 / n) ** 0.5
