"""Silicon resistivity in five instruments: data set SiRstv of the NIST StRD.

Data and certified values from memory of it, recomputed independently in two programs.
"""

import dataclasses
import json

import numpy as np
import pytest
from scipy import stats

from server.stats import laboratories
from server.stats.laboratories import compare_laboratories

SILICON = {
    "1": [196.3052, 196.1240, 196.1890, 196.2569, 196.3403],
    "2": [196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
    "3": [196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
    "4": [196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
    "5": [196.2119, 196.1051, 196.1850, 196.0052, 196.2090],
}


@pytest.fixture
def silicon():
    return compare_laboratories(SILICON)


def test_the_f_is_the_certified_one(silicon):
    assert silicon.test.f == pytest.approx(1.18046237440255, rel=1e-9)
    assert silicon.test.df == (4, 20)


def test_the_sums_of_squares_are_the_certified_ones(silicon):
    found = silicon.between.sum_of_squares, silicon.within.sum_of_squares
    assert found == pytest.approx((5.11462616e-02, 2.16636560e-01), rel=1e-9)


def test_precision_follows_from_the_mean_squares(silicon):
    between, within = 5.11462616e-02 / 4, 2.16636560e-01 / 20
    assert silicon.repeatability_sd == pytest.approx(within**0.5)
    expected = (within + (between - within) / 5) ** 0.5
    assert silicon.reproducibility_sd == pytest.approx(expected)


def test_the_result_is_plain_data(silicon):
    assert json.loads(json.dumps(dataclasses.asdict(silicon), allow_nan=False))["notes"] == []


def test_h_and_k_are_distances_and_spreads_in_common_units(silicon):
    h = [one.h for one in silicon.laboratories.values()]
    k = [one.k for one in silicon.laboratories.values()]
    means = [np.mean(values) for values in SILICON.values()]
    assert h == pytest.approx(stats.zscore(means, ddof=1).tolist())
    assert np.mean(np.square(k)) == pytest.approx(1)


def test_equal_laboratories_hold_no_suspect(silicon):
    found = silicon.highest, silicon.lowest, silicon.widest
    assert [one.verdict for one in found] == ["none"] * 3


def test_unequal_numbers_give_the_general_one_way_analysis():
    values = {"a": [1.0, 2, 4], "b": [3.0, 5], "c": [2.0, 2, 3, 7], "d": [4.0]}
    found, expected = compare_laboratories(values), stats.f_oneway(*values.values())
    assert (found.test.f, found.test.p_value) == pytest.approx(
        (expected.statistic, expected.pvalue)
    )
    assert laboratories.SOME_SINGLE.format("d") in found.notes
    assert laboratories.UNEQUAL.format(2, 4, 2) in found.notes


def test_a_far_mean_is_an_outlier():
    values = {name: [5.0, 5.1 + place / 50] for place, name in enumerate("abcdef")}
    found = compare_laboratories(values | {"far": [9.0, 9.1]})
    assert (found.highest.laboratory, found.highest.verdict) == ("far", "outlier")
    assert found.lowest.verdict == "none"


def test_a_wide_spread_is_an_outlier():
    values = {name: [5.0, 5.1 + place / 50] for place, name in enumerate("abcdef")}
    found = compare_laboratories(values | {"wide": [4.0, 6.1]})
    assert (found.widest.laboratory, found.widest.verdict) == ("wide", "outlier")


def test_between_the_limits_is_a_straggler():
    values = {str(place): [float(place % 2), float(place % 2) + 1] for place in range(9)}
    found = compare_laboratories(values | {"9": [3.0, 4.0]}).highest
    assert found.limit_5 < found.statistic < found.limit_1
    assert found.verdict == "straggler"


def test_a_negative_variance_is_kept_and_said():
    found = compare_laboratories({"a": [1.0, 5], "b": [2.0, 4.1], "c": [0.0, 6]})
    assert found.between_variance < 0
    assert found.reproducibility_sd == found.repeatability_sd
    assert any("negative" in note for note in found.notes)


@pytest.mark.parametrize("count", [500, pytest.param(2000, marks=pytest.mark.long)])
def test_the_variance_between_is_that_of_the_one_way_moments(count):
    rng = np.random.default_rng(8)
    estimates = [
        compare_laboratories(
            {str(i): (rng.normal(0, 2) + rng.normal(0, 1, size=n)).tolist() for i, n in sizes}
        ).between_variance
        for sizes in [list(enumerate([2, 3, 5, 2, 4, 3]))] * count
    ]
    assert np.mean(estimates) == pytest.approx(4, abs=4 * np.std(estimates) / count**0.5)


def test_one_value_each_has_means_only():
    found = compare_laboratories({"a": [1.0], "b": [2.0], "c": [4.0]})
    assert (found.test, found.repeatability_sd, found.widest, found.k_limits) == (None,) * 4
    assert found.laboratories["c"].h == pytest.approx(1.0910894512)
    assert found.notes == (laboratories.NO_REPEATS,)


def test_exact_repeats_have_no_spread_to_compare():
    found = compare_laboratories({"a": [0.1 + 0.2] * 3, "b": [2.0] * 3, "c": [4.0] * 3})
    assert (found.test, found.widest, found.laboratories["a"].k) == (None, None, None)
    assert laboratories.NO_SPREAD in found.notes


def test_equal_means_have_no_h():
    found = compare_laboratories({"a": [1.0, 3], "b": [2.0, 2], "c": [0.0, 4]})
    assert (found.highest, found.laboratories["a"].h) == (None, None)
    assert laboratories.SAME_MEANS in found.notes


def test_two_laboratories_have_no_outlier():
    found = compare_laboratories({"a": [1.0, 3], "b": [2.0, 5]})
    assert (found.highest, found.h_limits) == (None, None)
    assert laboratories.TOO_FEW in found.notes


def test_one_laboratory_has_a_repeatability_and_no_more():
    found = compare_laboratories({"a": [1.0, 3]})
    assert (found.test, found.reproducibility_sd, found.h_limits, found.k_limits) == (None,) * 4
    assert found.repeatability_sd == pytest.approx(2**0.5)
    assert laboratories.ONE in found.notes


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ({}, "values must be of at least one laboratory"),
        ({"a": []}, "values of 'a' must be at least one"),
        ({"a": [float("nan")]}, "values of 'a' must be finite, not nan"),
    ],
)
def test_bad_values_are_refused(values, message):
    with pytest.raises(ValueError, match=message):
        compare_laboratories(values)
