"""Three rankings of ten objects with ties: Kendall, Rank Correlation Methods.

The same example stands in a numerical library's manual: W 0.828, chi-square 22.349 on 9 degrees of
freedom, p 0.0078 (from memory; the formula with ties was read there). All digits beyond, and the
values of Shrout & Fleiss's judges: recomputed independently (two programs).
"""

import dataclasses
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.concordance import (
    ALL_TIED,
    CONSTANT,
    NO_PAIR,
    NO_REST,
    ONE_ASSESSOR,
    ONE_SAMPLE,
    SOME_PAIRS,
    TOO_FEW_WHOLE,
    WHOLE_ONLY,
    analyse_concordance,
)

NO = None
RANKINGS = [
    [1, 4.5, 2, 4.5, 3, 7.5, 6, 9, 7.5, 10],
    [2.5, 1, 2.5, 4.5, 4.5, 8, 9, 6.5, 10, 6.5],
    [2, 1, 4.5, 4.5, 4.5, 4.5, 8, 8, 8, 10],
]
# Shrout & Fleiss (1979), table 2: six targets judged by four judges.
JUDGES = [[9, 6, 8, 7, 10, 6], [2, 1, 4, 1, 5, 2], [5, 3, 6, 2, 6, 4], [8, 2, 8, 6, 9, 7]]


def draw(seed: int, assessors: int = 5, samples: int = 7) -> np.ndarray:
    return np.random.default_rng(seed).normal(size=(assessors, samples))


@pytest.mark.parametrize(
    ("table", "w", "uncorrected", "statistic", "df", "p", "spearman", "pearson"),
    [
        (
            RANKINGS,
            0.8277310924,
            0.795959596,
            22.3487395,
            9,
            0.007837043635,
            0.7426217115,
            0.7426217115,
        ),
        (
            JUDGES,
            0.887037037,
            0.8553571429,
            17.74074074,
            5,
            0.003289509244,
            0.8495875653,
            0.7603077176,
        ),
    ],
    ids=["ten objects", "judges"],
)
def test_concordance_equals_published_values(
    table, w, uncorrected, statistic, df, p, spearman, pearson
):
    found = analyse_concordance(table)
    assert (found.w, found.w_uncorrected) == pytest.approx((w, uncorrected), rel=1e-8)
    assert (found.mean_spearman, found.mean_pearson) == pytest.approx((spearman, pearson), rel=1e-8)
    test = found.chi_square
    assert (test.statistic, test.p_value, test.df) == pytest.approx((statistic, p, df), rel=1e-8)


def test_ten_objects_print_as_in_the_book():
    found = analyse_concordance(RANKINGS)
    assert (round(found.w, 3), round(found.chi_square.statistic, 3)) == (0.828, 22.349)


@given(st.integers(0, 10_000))
def test_the_test_is_friedmans_with_ties(seed):
    table = np.random.default_rng(seed).integers(0, 4, (5, 6)).astype(float)
    table[0] = range(6)
    found, theirs = analyse_concordance(table).chi_square, stats.friedmanchisquare(*table.T)
    assert (found.statistic, found.p_value) == pytest.approx(tuple(theirs))


@given(st.integers(0, 10_000))
def test_without_ties_the_mean_rank_correlation_follows_from_w(seed):
    found = analyse_concordance(draw(seed))
    assert found.w == pytest.approx(found.w_uncorrected)
    assert found.mean_spearman == pytest.approx((5 * found.w - 1) / 4)


@given(st.integers(0, 10_000))
def test_an_assessor_is_compared_with_the_mean_of_the_others(seed):
    table = draw(seed)
    found = analyse_concordance(table, ["ann", "bo", "cy", "di", "ed"]).with_rest["cy"]
    rest = table[[0, 1, 3, 4]].mean(axis=0)
    assert found == pytest.approx(stats.spearmanr(table[2], rest).statistic)


def test_only_the_order_counts():
    one, other = analyse_concordance(draw(1)), analyse_concordance(np.exp(3 * draw(1)))
    assert (one.w, one.mean_spearman) == (other.w, other.mean_spearman)
    assert one.mean_pearson != other.mean_pearson


def test_somebody_upside_down_disagrees_with_the_rest():
    table = [[1, 2, 3, 4], [1, 2, 4, 3], [2, 1, 3, 4], [4, 3, 2, 1]]
    assert analyse_concordance(table).with_rest["4"] == pytest.approx(-1)


def test_random_orders_are_called_agreement_no_more_often_than_said():
    count = 300
    p_values = [analyse_concordance(draw(seed, 8, 8)).chi_square.p_value for seed in range(count)]
    alarms = sum(p <= 0.05 for p in p_values) / count
    assert 0.02 < alarms < 0.05 + 4 * (0.0475 / count) ** 0.5  # chi-square is a little cautious


def test_full_agreement_is_one_and_two_samples_are_enough():
    found = analyse_concordance([[1, 2], [3, 9], [5, 6]])
    assert (found.w, found.mean_spearman, found.notes) == (1, 1, ())


def test_a_constant_assessor_is_named_and_lowers_w():
    found = analyse_concordance([[1, 2, 3], [1, 2, 3], [4, 4, 4]], ["ann", "bo", "cy"])
    assert found.w == pytest.approx(2 / 3)
    assert (found.mean_spearman, found.with_rest["cy"]) == (1, None)
    assert found.notes == (SOME_PAIRS.format(2, 3), CONSTANT.format("cy"))


def test_all_values_equal_leave_nothing_to_estimate():
    found = analyse_concordance([[5, 5, 5], [2, 2, 2]])
    assert (found.w, found.chi_square, found.mean_spearman, found.mean_pearson) == (None,) * 4
    assert found.notes == (ALL_TIED, NO_PAIR, CONSTANT.format("1"), CONSTANT.format("2"))


def test_others_who_cancel_out_leave_no_rest_to_agree_with():
    found = analyse_concordance([[1, 2, 3], [3, 2, 1], [1, 3, 2]])
    assert found.with_rest["3"] is None
    assert found.notes == (NO_REST.format("3"),)


@pytest.mark.parametrize(
    ("table", "reason"), [([[1, 2, 3]], ONE_ASSESSOR), ([[1], [2]], ONE_SAMPLE)]
)
def test_one_assessor_or_one_sample_has_a_reason_only(table, reason):
    found = analyse_concordance(table)
    assert (found.w, found.mean_spearman, set(found.with_rest.values())) == (None, None, {None})
    assert found.notes == (reason,)


def test_w_is_of_the_samples_that_all_rated():
    gapped = [[*row, extra] for row, extra in zip(RANKINGS, (3, NO, 4), strict=True)]
    found = analyse_concordance(gapped)
    assert (found.w, found.samples) == (pytest.approx(0.8277310924), 10)
    assert found.notes == (WHOLE_ONLY.format(10, 11),)


def test_gaps_everywhere_leave_pairs_only():
    found = analyse_concordance([[1, 2, NO], [NO, 2, 3], [1, NO, 3]])
    assert (found.w, found.samples, found.notes) == (None, 0, (TOO_FEW_WHOLE, NO_PAIR))
    assert set(found.with_rest.values()) == {1}


@pytest.mark.parametrize("labels", [["ann"], ["ann", "ann"]])
def test_labels_that_do_not_fit_are_refused(labels):
    with pytest.raises(ValueError, match="assessors must be 2 different labels, not ann"):
        analyse_concordance([[1, 2], [2, 1]], labels)


@pytest.mark.parametrize("table", [JUDGES, [[1, NO], [2, 3]], [[5, 5], [5, 5]]])
def test_the_result_is_plain_data(table):
    found = dataclasses.asdict(analyse_concordance(table))
    assert json.loads(json.dumps(found, allow_nan=False))
