"""Six targets judged by four judges: Shrout & Fleiss (1979), table 2.

Their table 4 prints .17, .29, .71 and .44, .62, .91 (.290, .715, .620 and .909 read in a
source, the others from memory), their table 3 mean squares of 11.24, 32.49, 1.02 and 6.26 (from
memory). All digits beyond, and what is printed nowhere: recomputed independently (two programs).
"""

import dataclasses
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.icc import (
    NO_SURPLUS,
    NO_TEST,
    NO_TOTAL,
    NO_VARIANCE,
    NOT_CONNECTED,
    ONE_ASSESSOR,
    ONE_SAMPLE,
    TOO_FEW_WHOLE,
    WHOLE_ONLY,
    analyse_icc,
    cronbach_alpha,
)
from tests.panels import read_fish

NO = None
JUDGES = np.array(
    [
        [9, 6, 8, 7, 10, 6],
        [2, 1, 4, 1, 5, 2],
        [5, 3, 6, 2, 6, 4],
        [8, 2, 8, 6, 9, 7],
    ],
    dtype=float,
)
HARSH = JUDGES + np.array([[0], [0], [0], [10]])  # the fourth judge ten points higher
NAMES = ("1,1", "2,1", "3,1", "1,k", "2,k", "3,k")


@pytest.fixture(scope="module")
def judges():
    return analyse_icc(JUDGES)


def with_gaps(rng: np.random.Generator, gaps: int = 10) -> np.ndarray:
    """Eight assessors, six samples; true variances 4 of samples, 2 of assessors, 1 of error."""
    table = 2 * rng.normal(size=6) + 2**0.5 * rng.normal(size=(8, 1)) + rng.normal(size=(8, 6))
    table.ravel()[rng.choice(48, gaps, replace=False)] = np.nan
    return table


@pytest.mark.parametrize(
    ("name", "printed", "value", "low", "high"),
    [
        ("1,1", 0.17, 0.1657417684, -0.1329323249, 0.7225600623),
        ("2,1", 0.29, 0.2897637795, 0.01878651337, 0.7610843696),
        ("3,1", 0.71, 0.7148407148, 0.342464765, 0.94585826),
        ("1,k", 0.44, 0.4427971337, -0.8844421552, 0.9124154203),
        ("2,k", 0.62, 0.6200505476, 0.0711368153, 0.9272320402),
        ("3,k", 0.91, 0.9093155424, 0.6756747138, 0.9858916782),
    ],
)
def test_the_six_forms_equal_published_values(judges, name, printed, value, low, high):
    found = judges.coefficients[name]
    assert round(found.value, 2) == printed
    assert (found.value, *found.interval) == pytest.approx((value, low, high), rel=1e-8)


@pytest.mark.parametrize(
    ("name", "f", "df", "p"),
    [
        ("1", 1.794678492, (5, 18), 0.1647688083),
        ("2", 11.02724796, (5, 15), 0.0001345665165),
        ("3", 11.02724796, (5, 15), 0.0001345665165),
    ],
)
def test_single_values_and_means_have_the_same_test(judges, name, f, df, p):
    single, mean = (judges.coefficients[f"{name},{of}"].test for of in "1k")
    assert single == mean
    assert (single.f, single.p_value) == pytest.approx((f, p), rel=1e-8)
    assert single.df == df


def test_the_mean_squares_equal_published_values(judges):
    assert judges.mean_squares == pytest.approx(
        {
            "sample": 11.24166667,
            "assessor": 32.48611111,
            "error": 1.019444444,
            "within": 6.263888889,
        }
    )


@pytest.mark.parametrize(
    ("name", "value", "low", "high", "f"),
    [
        ("1,1", -0.2202380952, -0.2977679642, 0.1612345889, 0.2780487805),
        ("2,1", 0.05945072698, 0.0005344363691, 0.3386662712, 11.02724796),
        ("3,1", 0.7148407148, 0.342464765, 0.94585826, 11.02724796),
        ("1,k", -2.596491228, -11.16321755, 0.4346813495, 0.2780487805),
        ("2,k", 0.2018097066, 0.002134323496, 0.6719572828, 11.02724796),
        ("3,k", 0.9093155424, 0.6756747138, 0.9858916782, 11.02724796),
    ],
)
def test_a_judge_ten_points_higher_lowers_agreement_not_consistency(name, value, low, high, f):
    found = analyse_icc(HARSH).coefficients[name]
    expected = pytest.approx((value, low, high, f), rel=1e-8)
    assert (found.value, *found.interval, found.test.f) == expected


def test_the_mean_squares_of_the_higher_judge_equal_computed_values():
    assert analyse_icc(HARSH).mean_squares == pytest.approx(
        {
            "sample": 11.24166667,
            "assessor": 237.4861111,
            "error": 1.019444444,
            "within": 40.43055556,
        }
    )


@pytest.mark.parametrize("name", ["1", "2", "3"])
def test_a_mean_of_k_follows_from_one_value_by_spearman_and_brown(judges, name):
    one, mean = (judges.coefficients[f"{name},{of}"] for of in "1k")
    for single, stepped in (
        (one.value, mean.value),
        *zip(one.interval, mean.interval, strict=True),
    ):
        assert stepped == pytest.approx(4 * single / (1 + 3 * single))


def test_fish_have_the_consistency_that_their_f_says():
    # ISO 8586 example; its F of samples, 19.61818182, was recomputed independently (two programs).
    found = analyse_icc(read_fish().means()).coefficients["3,k"]
    assert found.value == pytest.approx(1 - 1 / 19.61818182, rel=1e-9)
    assert (found.test.f, found.test.df) == (pytest.approx(19.61818182, rel=1e-9), (5, 15))


@given(st.integers(0, 10_000), st.floats(-50, 50), st.floats(0.1, 20))
def test_another_unit_changes_nothing(seed, shift, unit):
    table = with_gaps(np.random.default_rng(seed), gaps=seed % 12)
    one, other = analyse_icc(table), analyse_icc(shift + unit * table)
    for name in NAMES:
        expected = pytest.approx(one.coefficients[name].value, rel=1e-5, abs=1e-5)
        assert other.coefficients[name].value == expected


def test_gaps_take_the_interval_and_say_so():
    table = JUDGES.copy()
    table[0, 1] = np.nan
    found = analyse_icc(table)
    assert all(
        one.interval is None and one.value and one.test for one in found.coefficients.values()
    )
    assert found.notes[0].startswith("1 of 24 cells are empty")


@pytest.mark.parametrize("seed", range(3))
def test_components_with_gaps_equate_quadratic_forms_to_their_expectations(seed):
    # Re-derived with projections of the whole design: E y'Qy is a trace for each variance.
    table = with_gaps(np.random.default_rng(seed))
    places, y = np.argwhere(~np.isnan(table)), table[~np.isnan(table)]
    people, samples = (np.eye(size)[places[:, at]] for at, size in enumerate(table.shape))
    spans = [x @ np.linalg.pinv(x) for x in (np.hstack([people, samples]), people, samples)]
    forms = [spans[0] - spans[1], spans[0] - spans[2], np.eye(len(y)) - spans[0]]
    spread = [samples @ samples.T, people @ people.T, np.eye(len(y))]
    expected = [[np.trace(form @ part) for part in spread] for form in forms]
    solved = np.linalg.solve(expected, [y @ form @ y for form in forms])
    assert list(analyse_icc(table).components.values()) == pytest.approx(solved.tolist())


def test_components_with_gaps_are_right_on_average():
    rng = np.random.default_rng(1979)
    found = np.array([list(analyse_icc(with_gaps(rng)).components.values()) for _ in range(500)])
    error = found.std(axis=0) / 500**0.5
    assert (abs(found.mean(axis=0) - [4, 2, 1]) < 4 * error).all()


def test_the_test_with_gaps_keeps_its_level():
    # No sample differs; level 5 %.
    rng = np.random.default_rng(1953)
    count = 500
    alarms = {"1,1": 0, "3,1": 0}
    for _ in range(count):
        table = with_gaps(rng) * 0 + rng.normal(size=(8, 6))
        level = analyse_icc(table + rng.normal(size=(8, 1))).coefficients["3,1"].test.p_value
        alarms["3,1"] += level <= 0.05
        alarms["1,1"] += analyse_icc(table).coefficients["1,1"].test.p_value <= 0.05
    assert all(abs(hits / count - 0.05) < 4 * (0.0475 / count) ** 0.5 for hits in alarms.values())


@pytest.mark.parametrize(
    ("table", "reason"), [([[1, 2, 3]], ONE_ASSESSOR), ([[1], [2], [3]], ONE_SAMPLE)]
)
def test_one_assessor_or_one_sample_has_a_reason_only(table, reason):
    found = analyse_icc(table)
    assert all(one.value is None for one in found.coefficients.values())
    assert found.notes == (reason,)


def test_assessors_all_alike_agree_fully_without_test_or_interval():
    found = analyse_icc([[1, 2, 4]] * 3)
    assert all(one.value == 1 and one.test is None for one in found.coefficients.values())
    assert (found.coefficients["3,1"].interval, found.coefficients["1,1"].interval) == (None, None)
    assert {NO_TEST.format("1"), NO_TEST.format("2 and 3")} < set(found.notes)


def test_assessors_apart_by_level_only_are_consistent_yet_do_not_agree():
    found = analyse_icc([[1, 2, 4], [3, 4, 6]])
    assert found.coefficients["3,1"].value == pytest.approx(1)
    assert found.coefficients["2,1"].value < 0.6


def test_all_values_equal_leaves_no_variance_to_divide():
    found = analyse_icc([[5, 5, 5], [5, 5, 5]])
    assert all(one.value is None for one in found.coefficients.values())
    assert {NO_VARIANCE.format(name) for name in NAMES} < set(found.notes)


def test_samples_without_any_difference_of_means_have_no_reliability_of_a_mean():
    found = analyse_icc([[1, 2, 3], [3, 2, 1]])
    assert found.coefficients["1,1"].value == pytest.approx(-1)
    assert (found.coefficients["1,k"].value, found.coefficients["3,k"].value) == (None, None)


def test_two_samples_and_two_assessors_are_enough():
    found = analyse_icc([[1, 5], [2, 7]]).coefficients
    assert all(one.value is not None and one.interval is not None for one in found.values())


def test_a_constant_assessor_lowers_consistency_and_breaks_nothing():
    found = analyse_icc(np.vstack([JUDGES, np.full(6, 5.0)]))
    assert 0 < found.coefficients["3,1"].value < 0.7148407148


def test_samples_that_never_meet_have_the_one_way_form_only():
    table = [[1, 2, NO, NO], [3, 5, NO, NO], [NO, NO, 4, 4], [NO, NO, 6, 9]]
    found = analyse_icc(table)
    assert NOT_CONNECTED in found.notes
    assert [name for name in NAMES if found.coefficients[name].value is None] == [
        "2,1",
        "3,1",
        "2,k",
        "3,k",
    ]


def test_a_chain_of_values_without_surplus_leaves_no_error():
    found = analyse_icc([[1, 2, NO], [NO, 3, 5]])
    assert NO_SURPLUS.format("2 and 3") in found.notes
    assert found.coefficients["3,1"].value is None


@pytest.mark.parametrize("alpha", [0.0, 1.0, float("nan")])
def test_an_impossible_level_is_refused(alpha):
    with pytest.raises(ValueError, match="alpha must be above 0 and below 1"):
        analyse_icc(JUDGES, alpha)


def test_cronbachs_alpha_equals_the_computed_value():
    found = cronbach_alpha(JUDGES)
    assert (found.value, found.notes) == (pytest.approx(0.9093155424, rel=1e-9), ())


@given(st.integers(0, 10_000))
def test_cronbachs_alpha_is_the_consistency_of_the_mean(seed):
    table = with_gaps(np.random.default_rng(seed), gaps=0)
    assert cronbach_alpha(table).value == pytest.approx(
        analyse_icc(table).coefficients["3,k"].value
    )


def test_cronbachs_alpha_is_of_the_samples_that_all_rated():
    table = np.hstack([JUDGES, [[1], [2], [np.nan], [4]]])
    found = cronbach_alpha(table)
    assert found.value == pytest.approx(0.9093155424, rel=1e-9)
    assert found.notes == (WHOLE_ONLY.format(6, 7),)


@pytest.mark.parametrize(
    ("table", "reason"),
    [
        ([[1, 2, 3]], ONE_ASSESSOR),
        ([[1, NO, 3], [2, 2, NO]], TOO_FEW_WHOLE),
        ([[1, 2, 3], [3, 2, 1]], NO_TOTAL),
        ([[2, 2, 2], [2, 2, 2]], NO_TOTAL),
    ],
)
def test_cronbachs_alpha_has_a_reason_where_it_has_no_value(table, reason):
    found = cronbach_alpha(table)
    assert (found.value, found.notes) == (None, (reason,))


@pytest.mark.parametrize("table", [JUDGES, [[1, NO], [2, 3]], [[5, 5], [5, 5]]])
def test_the_result_is_plain_data(table):
    found = dataclasses.asdict(analyse_icc(table))
    assert json.loads(json.dumps(found, allow_nan=False))
