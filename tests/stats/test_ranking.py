import dataclasses
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.rank_differences import PAIR_BEFOREHAND
from server.stats.ranking import ONE_ASSESSOR, ONLY_A_HINT, ORDER_ONLY, TOO_FEW, analyse_ranking
from server.stats.rankings import build_rankings, rank_row

ALIKE = [[1, 2, 3]] * 3

tables = st.integers(2, 4).flatmap(
    lambda samples: st.lists(
        st.lists(st.integers(1, 4), min_size=samples, max_size=samples), min_size=1, max_size=6
    )
)


def analyse(ranks, **options):
    return analyse_ranking(build_rankings(ranks, list("ABCDEFGHIJKL")[: len(ranks[0])]), **options)


def test_three_assessors_who_agree_on_three_samples_reach_one_in_36():
    # Two more assessors follow the first with chance 1/6 each.
    found = analyse(ALIKE)
    assert found.p_value == pytest.approx(1 / 36, rel=1e-12)
    assert (found.distribution, found.detected) == ("exact", True)


def test_rank_sums_stand_in_the_order_of_the_samples():
    assert analyse([[3, 1, 2], [3, 1, 2]]).rank_sums == (6, 2, 4)


def test_assessors_who_tie_are_counted():
    assert analyse([[1, 2, 3], [1, 2.5, 2.5], [2, 2, 2]]).tied == 2


def test_a_large_table_takes_the_chi_square():
    found = analyse([list(range(1, 11))] * 5)
    assert (found.distribution, found.friedman.p_exact) == ("chi-square", None)
    assert found.p_value == found.friedman.chi_square.p_value


def test_two_samples_are_compared_by_signs_with_ties_left_out():
    found = analyse([[1, 2]] * 9 + [[2, 1]] * 2 + [[1.5, 1.5]])
    expected = stats.binomtest(9, 11).pvalue
    assert (found.signs.plus, found.signs.minus) == (9, 2)
    assert found.signs.exact_two_sided == pytest.approx(expected, rel=1e-12)


def test_with_two_samples_all_exact_p_values_are_one():
    found = analyse([[1, 2]] * 9 + [[2, 1]] * 2 + [[1.5, 1.5]])
    pair = found.differences.pairs[0]
    assert (found.p_value, pair.p_one_pair, pair.p_all_pairs) == pytest.approx(
        (found.signs.exact_two_sided,) * 3, rel=1e-12
    )


def test_without_a_predicted_order_there_is_no_trend():
    found = analyse(ALIKE)
    assert (found.page, found.trend_detected) == (None, None)


@pytest.mark.parametrize(("order", "detected"), [("ABC", True), ("CBA", False), ("BAC", False)])
def test_a_trend_is_detected_along_the_predicted_order_only(order, detected):
    assert analyse(ALIKE, order=list(order)).trend_detected is detected


def test_a_trend_of_very_many_samples_is_judged_by_the_normal_distribution():
    found = analyse([list(range(1, 13))] * 4, order=list("ABCDEFGHIJKL"))
    assert (found.page.p_exact, found.trend_detected) == (None, True)


def test_notes_of_all_parts_stand_together():
    assert {ORDER_ONLY, PAIR_BEFOREHAND} <= set(analyse(ALIKE).notes)


def test_a_pair_apart_without_a_difference_overall_is_called_a_hint():
    # Five assessors, rank sums 7 16 14 13: exactly, one pair p .034, overall p .15.
    ranks = [[1, 4, 2, 3], [1, 4, 2, 3], [2, 1, 4, 3], [2, 3, 4, 1], [1, 4, 2, 3]]
    found = analyse(ranks)
    assert found.differences.pairs[0].apart_alone
    assert (found.detected, ONLY_A_HINT in found.notes) == (False, True)


def test_one_assessor_is_told_to_be_too_few():
    found = analyse([[1, 2, 3]])
    assert (found.p_value, ONE_ASSESSOR in found.notes) == (1, True)


def test_two_assessors_and_three_samples_are_told_to_be_too_few():
    # Equal rankings come by chance once in six.
    found = analyse([[1, 2, 3]] * 2)
    assert (found.p_value, TOO_FEW in found.notes) == (pytest.approx(1 / 6), True)


def test_enough_assessors_are_not_called_too_few():
    assert TOO_FEW not in analyse([[1, 2, 3], [3, 2, 1], [2, 1, 3]]).notes


def test_all_tied_has_no_p_value_and_is_not_detected():
    found = analyse([[2, 2, 2]] * 4)
    assert (found.p_value, found.distribution, found.detected) == (None, None, False)


@given(tables)
def test_every_result_is_plain_data(scores):
    rankings = build_rankings([rank_row(row) for row in scores])
    found = analyse_ranking(rankings, order=rankings.samples)
    assert json.loads(json.dumps(dataclasses.asdict(found), allow_nan=False))["alpha"] == 0.05


def test_panels_who_order_at_random_are_seldom_found_to_differ():
    # Risk of one false pair or more among all pairs, and of the test itself: 400 panels.
    drawn = np.random.default_rng(8).permuted(np.tile(np.arange(1, 5), (400, 8, 1)), axis=2)
    found = [analyse_ranking(build_rankings(panel)) for panel in drawn.tolist()]
    assert np.mean([one.detected for one in found]) <= 0.08
    assert np.mean([any(p.apart_among_all for p in one.differences.pairs) for one in found]) <= 0.08


@pytest.mark.parametrize(
    ("options", "told"),
    [({"alpha": 1.0}, "alpha .* not 1"), ({"order": ["A", "B"]}, "order .* not A, B$")],
)
def test_impossible_analyses_are_refused_by_name_and_value(options, told):
    with pytest.raises(ValueError, match=told):
        analyse(ALIKE, **options)
