import dataclasses
import json
import math
from itertools import combinations, permutations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.durbin import (
    AFTER_THE_TEST,
    ALL_TIED,
    F_REPORTED,
    NO_ERROR,
    analyse_durbin,
)
from server.stats.friedman import analyse_friedman
from server.stats.incomplete_blocks_anova import analyse_incomplete
from server.stats.rank_pairs import compare_conover
from server.stats.rankings import build_rankings, rank_row
from server.stats.ratings import build_ratings

# Seven people each rank three of seven kinds of ice cream: Conover (1999), Practical
# Nonparametric Statistics, p. 391 (data and results as printed were read in a source).
ICE_CREAM = {
    (1, 2, 4): (2, 3, 1),
    (2, 3, 5): (3, 1, 2),
    (3, 4, 6): (2, 1, 3),
    (4, 5, 7): (1, 2, 3),
    (1, 5, 6): (3, 1, 2),
    (2, 6, 7): (3, 1, 2),
    (1, 3, 7): (3, 1, 2),
}
TRIPLES = list(combinations(range(4), 3))
untied = st.lists(st.permutations([1, 2, 3]), min_size=4, max_size=4)
tied = st.lists(st.lists(st.integers(1, 3), min_size=3, max_size=3), min_size=4, max_size=4).filter(
    lambda rows: any(len(set(row)) > 1 for row in rows)
)


def rate(blocks, values):
    cells = [
        (f"p{at:03}", f"s{sample}", float(value))
        for at, (held, row) in enumerate(zip(blocks, values, strict=True))
        for sample, value in zip(held, row, strict=True)
    ]
    return build_ratings(*zip(*cells, strict=True))


def taste():
    return analyse_durbin(rate(ICE_CREAM, ICE_CREAM.values()))


def test_seven_ice_creams_have_the_printed_rank_sums():
    assert taste().rank_sums == (8, 9, 4, 3, 5, 6, 7)


def test_seven_ice_creams_have_the_printed_chi_square():
    found = taste().chi_square
    assert (found.statistic, found.df) == (pytest.approx(12), 6)
    assert found.p_value == pytest.approx(0.0619688, abs=5e-8)


def test_seven_ice_creams_have_the_printed_f():
    found = taste().f_form
    assert (found.statistic, found.df) == (pytest.approx(8), (6, 8))
    assert found.p_value == pytest.approx(0.005, abs=5e-4)


def test_seven_ice_creams_have_the_computed_digits():
    # Recomputed independently (two programs).
    found = taste()
    assert found.chi_square.p_value == pytest.approx(0.06196880442, rel=1e-8)
    assert found.f_form.p_value == pytest.approx(0.004904419077, rel=1e-8)


def test_seven_ice_creams_have_the_printed_least_difference():
    assert taste().least == pytest.approx(2.824267, abs=5e-7)


def test_where_both_forms_disagree_the_exact_p_is_reported():
    # Of 6^7 = 279 936 ways to rank, 5 040 give a statistic as large as 12.
    found = taste()
    assert (found.distribution, found.p_value) == ("exact", found.p_exact)
    assert found.p_exact == pytest.approx(5_040 / 279_936, rel=1e-12)


def test_pairs_of_ice_creams_are_apart_beyond_the_least_difference():
    found = taste()
    assert len(found.pairs) == 21
    assert all(pair.apart == (abs(pair.difference) >= found.least) for pair in found.pairs)
    assert AFTER_THE_TEST in found.notes


@given(tied)
def test_the_exact_p_equals_going_through_all_orders(rows):
    found = analyse_durbin(rate(TRIPLES, rows))
    ranks = [rank_row(row) for row in rows]
    sums = []
    for orders in product(*(set(permutations(row)) for row in ranks)):
        total = np.zeros(4)
        for held, row in zip(TRIPLES, orders, strict=True):
            total[list(held)] += row
        sums.append(total)
    spread = np.var(sums, axis=1)
    expected = np.mean(spread >= np.var(found.rank_sums) - 1e-9)
    assert found.p_exact == pytest.approx(expected, rel=1e-9)


@given(untied)
def test_the_f_form_is_the_analysis_of_variance_of_the_ranks(rows):
    ratings = rate(TRIPLES, rows)
    found, anova = analyse_durbin(ratings), analyse_incomplete(ratings)
    if found.f_form is None:
        assert anova.sample_test is None
        return
    assert anova.sample_test.f == pytest.approx(found.f_form.statistic, rel=1e-9)
    assert anova.sample_test.df == found.f_form.df


@given(st.lists(st.permutations([1, 2, 3, 4]), min_size=2, max_size=6))
def test_in_complete_blocks_it_is_friedmans_test_with_conovers_pairs(rows):
    found = analyse_durbin(rate([range(4)] * len(rows), rows))
    rankings = build_rankings([rank_row(row) for row in rows])
    friedman, conover = analyse_friedman(rankings), compare_conover(rankings)
    assert found.chi_square.statistic == pytest.approx(friedman.chi_square.statistic, abs=1e-9)
    assert found.p_exact == pytest.approx(friedman.p_exact, rel=1e-9)
    assert (found.least or 0) == pytest.approx(conover.least or 0, rel=1e-9)


def test_two_samples_of_a_block_make_comparisons_of_pairs():
    # All pairs of three samples once, the first always before the second: sums 2, 3, 4.
    found = analyse_durbin(rate(combinations(range(3), 2), [(1, 2)] * 3))
    assert (found.rank_sums, found.chi_square.statistic) == ((2, 3, 4), pytest.approx(8 / 3))


def simulate(copies, times=20_000):
    """Shares of alarms at 5 % by chi-square and by F among ice creams that do not differ."""
    rng = np.random.default_rng(11)
    sums = np.zeros((times, 8))
    for held in list(ICE_CREAM) * copies:
        sums[:, held] += rng.permuted(np.tile([1.0, 2, 3], (times, 1)), axis=1)
    blocks, left = 7 * copies, 14 * copies - 6
    t1 = 6 * ((sums[:, 1:] - 6 * copies) ** 2).sum(axis=1) / (2 * blocks)
    with np.errstate(divide="ignore"):
        t2 = (t1 / 6) / (np.maximum(14 * copies - t1, 0) / left)
    return np.mean(stats.chi2.sf(t1, 6) <= 0.05), np.mean(stats.f.sf(t2, 6, left) <= 0.05)


def test_among_few_blocks_the_chi_square_is_timid_and_the_f_form_rash():
    chi_square, f_form = simulate(copies=1)
    assert chi_square == 0
    assert f_form == pytest.approx(0.093, abs=0.01)


def test_among_many_blocks_both_forms_keep_the_level():
    assert simulate(copies=8) == pytest.approx((0.05, 0.05), abs=0.007)


def test_the_exact_p_keeps_the_level_where_the_f_form_does_not():
    # All orders of seven blocks, one in every six, at random.
    rng = np.random.default_rng(4)
    p_values = [
        analyse_durbin(rate(ICE_CREAM, [rng.permutation(3) for _ in ICE_CREAM])).p_value
        for _ in range(30)
    ]
    assert sum(p <= 0.05 for p in p_values) <= 5  # of 30 at 5 %; more has a chance of .3 %


def test_many_blocks_have_the_f_form_reported_and_say_so():
    rng = np.random.default_rng(6)
    blocks = list(combinations(range(9), 4))
    found = analyse_durbin(rate(blocks, [rng.random(4) for _ in blocks]))
    assert (found.distribution, found.p_value) == ("F", found.f_form.p_value)
    assert F_REPORTED in found.notes


def test_ranks_that_leave_no_error_have_no_f_form():
    found = analyse_durbin(rate([range(3)] * 4, [(1, 2, 3)] * 4))
    assert (found.f_form, found.least, found.pairs) == (None, None, ())
    assert (NO_ERROR in found.notes, found.distribution) == (True, "exact")


def test_one_block_has_no_f_form():
    found = analyse_durbin(rate([range(3)], [(1, 2, 3)]))
    assert (found.f_form, found.p_exact) == (None, 1.0)


def test_nobody_telling_samples_apart_is_said():
    found = analyse_durbin(rate(TRIPLES, [(1, 1, 1)] * 4))
    assert (found.p_value, found.notes) == (None, (ALL_TIED,))


@pytest.mark.parametrize(
    ("ratings", "told"),
    [
        (
            rate([(0, 1), (0, 2)], [(1, 2)] * 2),
            "ratings must be balanced.* not blocks of 2 samples, samples in 1 to 2 blocks, "
            "pairs in 0 to 1",
        ),
        (rate([(0,), (1,)], [(1,), (2,)]), "ratings must be balanced.* not blocks of 1 samples"),
        (rate([(0,)], [(1,)]), "ratings must be of two samples or more, not 1"),
        (build_ratings(["a"] * 3, ["X", "X", "Y"], [1, 2, 3]), "one value .* not 2"),
    ],
)
def test_what_is_no_balanced_design_is_refused(ratings, told):
    with pytest.raises(ValueError, match=told):
        analyse_durbin(ratings)


@pytest.mark.parametrize("alpha", [0, 1, math.nan])
def test_a_level_outside_0_to_1_is_refused(alpha):
    with pytest.raises(ValueError, match="alpha must be above 0 and below 1"):
        analyse_durbin(rate(ICE_CREAM, ICE_CREAM.values()), alpha)


@pytest.mark.parametrize("rows", [[(1, 2, 3)] * 4, [(1, 1, 1)] * 4, [(1, 1, 2)] * 4])
def test_the_result_is_strict_json(rows):
    found = dataclasses.asdict(analyse_durbin(rate(TRIPLES, rows)))
    assert json.loads(json.dumps(found, allow_nan=False))["samples"]
