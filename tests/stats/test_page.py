import math
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.page import (
    ALL_TIED,
    ORDER_BEFOREHAND,
    TOO_LARGE,
    analyse_page,
    page_critical,
    page_moments,
    page_p,
    page_statistic,
    page_z,
)
from server.stats.rankings import build_rankings, rank_row, untied_rows

orders = st.integers(3, 5).flatmap(
    lambda samples: st.lists(st.permutations(list(range(1, samples + 1))), min_size=2, max_size=8)
)


def along(ranks):
    rankings = build_rankings(ranks)
    return analyse_page(rankings, rankings.samples)


@pytest.mark.parametrize(
    ("samples", "assessors", "criticals"),
    # Page (1963), reprinted in Siegel & Castellan (1988), levels .05, .01, .001 (read as
    # embedded in the source of general rank statistics); equal to exact enumeration.
    [
        (3, 4, (54, 55, 56)),
        (3, 7, (91, 93, 96)),
        (3, 10, (128, 131, 134)),
        (4, 6, (163, 167, 172)),
        (4, 8, (214, 220, 225)),
    ],
)
def test_criticals_equal_the_printed_table(samples, assessors, criticals):
    found = [page_critical(assessors, samples, alpha) for alpha in (0.05, 0.01, 0.001)]
    assert tuple(found) == criticals


def test_criticals_that_a_copied_page_gives_for_the_wrong_assessors_are_put_right():
    # A mirror of an encyclopedia's page gives, at .05 and three samples, "56 for 4 subjects,
    # 54 for 5". 54 belongs to 4 and 66 to 5: L of 5 assessors is 60 on average, so 54 would
    # be evidence against the order. 56 is the largest L of 4, significant at .001.
    assert (page_critical(4, 3, 0.05), page_critical(5, 3, 0.05)) == (54, 66)
    assert page_moments(untied_rows(5, 3))[0] == 60


def test_four_conditions_of_a_worked_example_have_its_statistic_and_z():
    # A general statistics manual, data of Cohen & Holliday (1983) (read): rank sums of six
    # subjects, L = 173.5; z recomputed.
    statistic = page_statistic([8.5, 12, 17, 22.5])
    assert statistic == 173.5
    assert page_z(statistic, untied_rows(6, 4)) == pytest.approx(3.32340187, abs=5e-9)


def test_the_worked_example_is_beyond_the_printed_critical_of_one_in_a_thousand():
    # The manual prints 172, which is exact.
    assert page_critical(6, 4, 0.001) == 172
    assert page_p(173.5, untied_rows(6, 4)) < 0.001


@given(orders)
def test_statistic_and_exact_p_equal_those_of_a_general_library(ranks):
    found = along(ranks)
    expected = stats.page_trend_test(np.array(ranks), ranked=True, method="exact")
    assert found.statistic == expected.statistic
    assert found.p_exact == pytest.approx(expected.pvalue, rel=1e-9)


@given(orders)
def test_the_normal_p_equals_that_of_a_general_library(ranks):
    expected = stats.page_trend_test(np.array(ranks), ranked=True, method="asymptotic")
    assert along(ranks).p_normal == pytest.approx(expected.pvalue, rel=1e-9)


@pytest.mark.parametrize(
    "ranks",
    [
        [[1.5, 1.5, 3], [1, 2.5, 2.5], [2, 1, 3]],
        [[1, 2, 3], [2, 2, 2], [1.5, 1.5, 3]],
        [[1.5, 1.5, 3.5, 3.5], [1, 3, 3, 3], [2, 1, 4, 3]],
    ],
)
def test_with_ties_p_and_variance_equal_going_through_every_order(ranks):
    found = along(ranks)
    everything = [
        page_statistic([sum(column) for column in zip(*one, strict=True)])
        for one in product(*(permutations(row) for row in ranks))
    ]
    assert found.p_exact == pytest.approx(np.mean(np.array(everything) >= found.statistic))
    assert (found.expected, found.se) == pytest.approx((np.mean(everything), np.std(everything)))


@given(orders)
def test_the_opposite_order_mirrors_the_statistic(ranks):
    rankings = build_rankings(ranks)
    one = analyse_page(rankings, rankings.samples)
    other = analyse_page(rankings, rankings.samples[::-1])
    assert one.z == pytest.approx(-other.z, abs=1e-9)
    assert one.p_exact + other.p_exact >= 1


def test_p_falls_as_the_statistic_grows():
    found = [page_p(at / 2, untied_rows(6, 4)) for at in range(240, 362)]
    assert found == sorted(found, reverse=True)


def test_everybody_along_the_order_has_the_smallest_p_there_is():
    found = along([list(range(1, 11))] * 30)
    assert found.p_exact == pytest.approx(math.factorial(10) ** -30.0, rel=1e-9)


def test_a_tied_panel_agrees_with_shuffled_ranks():
    ranks = [rank_row(row) for row in [(1, 2, 2, 3), (1, 1, 2, 3), (2, 1, 3, 3), (1, 2, 3, 4)] * 3]
    found = along(ranks)
    shuffled = np.random.default_rng(3).permuted(np.tile(ranks, (40_000, 1, 1)), axis=2)
    sums = shuffled.sum(axis=1) @ np.arange(1, 5)
    assert page_p(found.expected + 15, build_rankings(ranks).rows()) == pytest.approx(
        np.mean(sums >= found.expected + 15), abs=0.004
    )


def test_two_assessors_of_three_samples_never_reach_one_in_a_thousand():
    assert page_critical(2, 3, 0.001) is None


def test_the_order_must_have_been_written_down_before():
    assert ORDER_BEFOREHAND in along([[1, 2, 3]]).notes


def test_many_samples_have_a_normal_p_only_and_a_reason():
    found = along([list(range(1, 12))] * 4)
    assert (found.p_exact, TOO_LARGE in found.notes) == (None, True)
    assert found.p_normal < 0.001


def test_if_everybody_ties_everything_there_is_no_z_and_a_reason():
    found = along([[2, 2, 2]] * 4)
    assert (found.z, found.p_normal, found.p_exact) == (None, None, 1)
    assert ALL_TIED in found.notes


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: page_critical(4, 3, 1.0), "alpha .* not 1"),
        (lambda: page_critical(4, 30, 0.05), "fewer .* not 4 and 30"),
        (lambda: analyse_page(build_rankings([[1, 2]], ["A", "B"]), ["A"]), "order .* not A$"),
        (lambda: analyse_page(build_rankings([[1, 2]]), ["1", "3"]), "order .* not 1, 3$"),
    ],
)
def test_impossible_trends_are_refused_by_name_and_value(call, told):
    with pytest.raises(ValueError, match=told):
        call()
