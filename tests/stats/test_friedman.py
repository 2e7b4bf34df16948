import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.friedman import (
    ALL_TIED,
    NO_F_ALL_ALIKE,
    NO_F_ONE_ASSESSOR,
    TOO_LARGE,
    analyse_friedman,
    friedman_critical,
    friedman_least_p,
    friedman_p,
    friedman_statistic,
)
from server.stats.rankings import build_rankings, rank_row, untied_rows

# Ten tasters score three beers; printed in a handbook of nonparametric methods with
# worked examples for a statistics package (its chapter 14, read).
BEERS = [
    (4, 5, 8),
    (3, 7, 6),
    (2, 8, 8),
    (5, 7, 9),
    (1, 3, 6),
    (4, 4, 6),
    (3, 6, 8),
    (2, 5, 5),
    (2, 7, 9),
    (6, 4, 5),
]

tables = st.integers(2, 5).flatmap(
    lambda samples: st.lists(
        st.lists(st.integers(1, 5), min_size=samples, max_size=samples), min_size=2, max_size=8
    ).filter(lambda rows: any(len(set(row)) > 1 for row in rows))
)


def rank(scores):
    return build_rankings([rank_row(row) for row in scores])


def test_scores_of_three_beers_have_the_printed_rank_sums():
    assert rank(BEERS).rank_sums() == (12.5, 20.5, 27)


def test_three_beers_have_the_printed_statistic_without_a_correction_for_ties():
    assert analyse_friedman(rank(BEERS)).statistic_uncorrected == pytest.approx(10.55, abs=1e-9)


def test_three_beers_corrected_for_ties_have_the_computed_statistic():
    # Recomputed; a general statistics environment agrees.
    found = analyse_friedman(rank(BEERS)).chi_square
    assert found.statistic == pytest.approx(11.40540541, abs=5e-9)
    assert found.p_value == pytest.approx(0.0033369345, abs=5e-11)


@pytest.mark.parametrize(("alpha", "printed"), [(0.05, 6.2), (0.01, 9.6)])
def test_ten_assessors_and_three_samples_have_the_printed_exact_criticals(alpha, printed):
    # The same handbook's table of exact critical values.
    assert friedman_critical(10, 3, alpha) == pytest.approx(printed, abs=1e-9)


def test_seven_assessors_and_six_samples_have_the_printed_statistic():
    # A student's ranking sheet (read) prints 34.51; more digits recomputed.
    found = friedman_statistic([7, 14, 21, 28, 36, 41], untied_rows(7, 6))
    assert found == pytest.approx(34.51020408, abs=5e-9)


@pytest.mark.parametrize(
    ("rank_sums", "assessors", "exact", "chi_square"),
    # Recomputed by enumeration: the chi-square p-value is half as large again, or too small.
    [
        ((8, 14, 20), 7, 0.0036222565, 0.0058409773),
        ((5, 8, 11), 4, 0.125, 0.1053992246),
    ],
)
def test_exact_and_chi_square_p_equal_computed_values(rank_sums, assessors, exact, chi_square):
    rows = untied_rows(assessors, 3)
    statistic = friedman_statistic(rank_sums, rows)
    assert friedman_p(rank_sums, rows) == pytest.approx(exact, abs=5e-11)
    assert stats.chi2.sf(statistic, 2) == pytest.approx(chi_square, abs=5e-11)


def test_the_statistic_of_eight_fourteen_twenty_is_the_computed_one():
    # Recomputed.
    found = friedman_statistic((8, 14, 20), untied_rows(7, 3))
    assert found == pytest.approx(10.285714, abs=5e-7)


@pytest.mark.parametrize(
    ("assessors", "samples", "alpha", "critical"),
    # Friedman (1937) and Siegel & Castellan (1988), tables of exact values (from memory);
    # statistics there rounded to a digit or two.
    [
        (3, 3, 0.05, 6.0),
        (4, 3, 0.05, 6.5),
        (5, 3, 0.05, 6.4),
        (4, 3, 0.01, 8.0),
        (3, 4, 0.05, 7.4),
        (4, 4, 0.05, 7.8),
    ],
)
def test_small_tables_have_the_exact_criticals_of_handbooks(assessors, samples, alpha, critical):
    assert friedman_critical(assessors, samples, alpha) == pytest.approx(critical, abs=1e-9)


def test_two_assessors_and_three_samples_never_reach_five_percent():
    # Equal rankings by chance: 1 in 6.
    assert friedman_critical(2, 3, 0.05) is None


@pytest.mark.parametrize(("assessors", "samples"), [(3, 3), (5, 4), (7, 2), (1, 5)])
def test_no_p_is_smaller_than_that_of_equal_rankings(assessors, samples):
    expected = math.factorial(samples) ** (1.0 - assessors)
    least = friedman_least_p(untied_rows(assessors, samples))
    assert least == pytest.approx(expected, rel=1e-12)


@given(tables)
def test_statistic_and_p_equal_those_of_a_general_library(scores):
    rankings = rank(scores)
    if len(rankings.samples) > 2:
        found = analyse_friedman(rankings).chi_square
        expected = stats.friedmanchisquare(*np.array(scores).T)
        assert (found.statistic, found.p_value) == pytest.approx(tuple(expected), rel=1e-9)


@given(tables)
def test_the_f_form_is_the_analysis_of_variance_of_the_ranks(scores):
    rankings = rank(scores)
    found = analyse_friedman(rankings).f_form
    if found is not None:
        ranks = np.array(rankings.ranks)
        between = len(ranks) * ((ranks.mean(axis=0) - ranks.mean()) ** 2).sum()
        within = ((ranks - ranks.mean()) ** 2).sum() - between  # assessors' means are all alike
        f = between / within * (len(ranks) - 1)
        assert found.statistic == pytest.approx(f, rel=1e-9, abs=1e-12)
        assert found.p_value == pytest.approx(stats.f.sf(f, *found.df), rel=1e-7)


@given(tables, st.randoms(use_true_random=False))
def test_neither_the_names_of_samples_nor_the_direction_matters(scores, random):
    one = analyse_friedman(rank(scores))
    places = random.sample(range(len(scores[0])), len(scores[0]))
    other = analyse_friedman(rank([[-row[place] for place in places] for row in scores]))
    assert one.p_exact == pytest.approx(other.p_exact, rel=1e-12)
    assert one.agreement == pytest.approx(other.agreement, rel=1e-12, abs=1e-12)


@given(st.lists(st.permutations([1, 2]), min_size=1, max_size=20))
def test_with_two_samples_the_exact_p_is_that_of_the_sign_test(ranks):
    first = sum(row == [1, 2] for row in ranks)
    expected = stats.binomtest(first, len(ranks)).pvalue
    assert analyse_friedman(build_rankings(ranks)).p_exact == pytest.approx(expected, rel=1e-9)


@given(st.integers(2, 9), st.integers(2, 4), st.floats(0.001, 0.3))
def test_a_critical_value_keeps_alpha_and_the_next_smaller_statistic_does_not(
    assessors, samples, alpha
):
    critical = friedman_critical(assessors, samples, alpha)
    rng = np.random.default_rng(assessors)
    drawn = rng.permuted(np.tile(np.arange(1, samples + 1), (20, assessors, 1)), axis=2)
    for sums in drawn.sum(axis=1).tolist():
        statistic = friedman_statistic(sums, untied_rows(assessors, samples))
        reached = critical is not None and statistic >= critical - 1e-9
        assert reached == (friedman_p(sums, untied_rows(assessors, samples)) <= alpha)


def test_exact_p_with_ties_agrees_with_shuffled_ranks():
    rankings = rank(BEERS)
    ranks = np.tile(np.array(rankings.ranks), (50_000, 1, 1))
    shuffled = np.random.default_rng(9).permuted(ranks, axis=2).sum(axis=1)
    moderate = (13.5, 20.5, 26.0)
    as_far = (shuffled**2).sum(axis=1) >= sum(total**2 for total in moderate)
    assert friedman_p(moderate, rankings.rows()) == pytest.approx(as_far.mean(), abs=0.002)


def test_under_chance_alone_the_exact_p_is_seldom_small():
    # 2,000 panels of six who order four samples at random.
    rng = np.random.default_rng(4)
    drawn = rng.permuted(np.tile(np.arange(1, 5), (2000, 6, 1)), axis=2).sum(axis=1).tolist()
    found = [friedman_p(sums, untied_rows(6, 4)) for sums in drawn]
    attained = max(p for p in found if p <= 0.05)
    assert np.mean([p <= attained for p in found]) == pytest.approx(attained, abs=0.012)


def test_if_everybody_ties_everything_there_is_no_statistic_and_a_reason():
    found = analyse_friedman(build_rankings([[2, 2, 2]] * 4))
    assert (found.chi_square, found.p_exact, found.f_form, found.agreement) == (None,) * 4
    assert found.notes == (ALL_TIED,)


def test_equal_rankings_agree_fully_and_have_no_f_form_but_a_reason():
    found = analyse_friedman(build_rankings([[1, 2.5, 2.5]] * 5))
    assert (found.agreement, found.f_form, found.notes) == (1, None, (NO_F_ALL_ALIKE,))


def test_one_assessor_has_a_p_of_one():
    found = analyse_friedman(build_rankings([[2, 1, 3]]))
    assert (found.p_exact, found.notes) == (1, (NO_F_ONE_ASSESSOR,))


def test_a_large_table_has_no_exact_p_but_a_reason():
    found = analyse_friedman(build_rankings([list(range(1, 13))] * 2))
    assert (found.p_exact, found.notes) == (None, (TOO_LARGE, NO_F_ALL_ALIKE))


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: friedman_critical(10, 3, 0.0), "alpha .* not 0"),
        (lambda: friedman_critical(0, 3, 0.05), "not 0"),
        (lambda: friedman_critical(2, 20, 0.05), "fewer .* not 2 and 20"),
    ],
)
def test_impossible_criticals_are_refused_by_name_and_value(call, told):
    with pytest.raises(ValueError, match=told):
        call()
