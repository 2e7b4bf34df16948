import math
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.rank_differences import (
    ALL_PAIRS_APPROXIMATE,
    ALL_TIED,
    NO_ONE_PAIR,
    NO_PAIR_OF_ALL,
    ONE_PAIR_APPROXIMATE,
    PAIR_BEFOREHAND,
    compare_pairs,
    honest_difference,
    honest_exact,
    least_difference,
    least_exact,
)
from server.stats.rankings import build_rankings, rank_row, untied_rows
from server.stats.studentized_range import studentized_range_tail

tables = st.integers(3, 4).flatmap(
    lambda samples: st.lists(
        st.lists(st.integers(1, 4), min_size=samples, max_size=samples), min_size=2, max_size=8
    ).filter(lambda rows: any(len(set(row)) > 1 for row in rows))
)


def rank(scores):
    return build_rankings([rank_row(row) for row in scores])


def test_the_least_difference_of_a_students_sheet_divides_by_six():
    # A student's ranking sheet (read): 7 assessors, 6 samples, least difference printed as
    # 15.06. The formula 1.96 √(J P (P + 1) / 6) gives 13.72; the sheet put its 5 degrees of
    # freedom where the 6 of the formula stands, which gives 15.03, and rounded on the way.
    assert least_difference(untied_rows(7, 6), 0.05) == pytest.approx(13.719748, abs=5e-7)
    assert 1.96 * math.sqrt(7 * 6 * 7 / 5) == pytest.approx(15.06, abs=0.035)


@pytest.mark.parametrize(
    ("assessors", "samples", "least", "honest"),
    # Recomputed: z √(J P (P + 1) / 6), and q √(J P (P + 1) / 12) of the studentised range.
    [
        (10, 3, 8.765225, 10.481348),
        (20, 4, 16.003039, 20.976057),
        (50, 6, 36.667569, 53.313107),
    ],
)
def test_normal_differences_equal_computed_values(assessors, samples, least, honest):
    rows = untied_rows(assessors, samples)
    assert least_difference(rows, 0.05) == pytest.approx(least, abs=5e-7)
    assert honest_difference(rows, 0.05) == pytest.approx(honest, abs=5e-7)


@pytest.mark.parametrize(
    ("assessors", "printed"),
    # Newell & MacFarlane (1987), Table 1, all pairs, 5 %, three samples (read; optical
    # character recognition); equal to exact enumeration.
    [(3, 6), (4, 7), (5, 8), (6, 9), (7, 10), (8, 10), (9, 11), (10, 11), (16, 14)],
)
def test_exact_differences_of_three_samples_equal_the_printed_table(assessors, printed):
    assert honest_exact(untied_rows(assessors, 3), 0.05) == printed


def test_sixteen_assessors_and_four_samples_need_one_more_than_printed():
    # The same table prints 19 for 16 assessors and four samples. Exactly, a difference of 19
    # or more has chance .0513, above the level it stands under; 20 is the smallest that keeps
    # it. The large-sample value, 18.8, rounded up is what the table has there.
    rows = untied_rows(16, 4)
    assert honest_exact(rows, 0.05) == 20
    assert math.ceil(honest_difference(rows, 0.05)) == 19
    sums = rank_sums_with(16, (31, 35, 44, 50))
    assert widest_pair(sums).p_all_pairs == pytest.approx(0.0513406, abs=5e-7)


def rank_sums_with(assessors, wanted):
    """Rankings of four samples that have the wanted rank sums, found by swapping."""
    ranks = np.tile(np.arange(1, 5), (assessors, 1))
    rng = np.random.default_rng(1)
    while (away := np.abs(ranks.sum(axis=0) - wanted).sum()) > 0:
        row, (one, other) = rng.integers(assessors), rng.choice(4, 2, replace=False)
        before = ranks[row].copy()
        ranks[row, [one, other]] = ranks[row, [other, one]]
        if np.abs(ranks.sum(axis=0) - wanted).sum() > away:
            ranks[row] = before
    return build_rankings(ranks.tolist())


def widest_pair(rankings):
    return compare_pairs(rankings).pairs[0]


def test_sixteen_assessors_and_five_samples_have_the_printed_value_by_the_large_sample_form():
    # Printed 25; too many orders to go through here, the large-sample value is 24.4.
    assert math.ceil(honest_difference(untied_rows(16, 5), 0.05)) == 25


@pytest.mark.parametrize(
    "scores",
    [
        [(1, 2, 3), (1, 3, 2), (2, 1, 3)],
        [(1, 1, 3), (1, 2, 2), (1, 2, 3)],
        [(1, 2, 3, 4), (1, 2, 2, 4)],
    ],
)
def test_every_p_equals_going_through_all_orders(scores):
    rankings = rank(scores)
    sums = np.array(
        [np.sum(one, axis=0) for one in product(*(permutations(row) for row in rankings.ranks))]
    )
    for pair in compare_pairs(rankings).pairs:
        alone = (
            np.mean(np.abs(sums[:, 0] - sums[:, 1]) >= pair.difference) if pair.difference else 1
        )
        widest = np.mean(np.ptp(sums, axis=1) >= pair.difference)
        assert (pair.p_one_pair, pair.p_all_pairs) == pytest.approx((alone, widest), rel=1e-9)


@given(tables)
def test_looking_at_all_pairs_never_makes_a_p_smaller(scores):
    pairs = compare_pairs(rank(scores)).pairs
    assert all(pair.p_all_pairs >= pair.p_one_pair * (1 - 1e-9) for pair in pairs)


@given(tables)
def test_pairs_come_from_the_widest_on_and_p_grows_as_they_get_closer(scores):
    pairs = compare_pairs(rank(scores)).pairs
    differences, ps = zip(*((pair.difference, pair.p_all_pairs) for pair in pairs), strict=True)
    assert list(differences) == sorted(differences, reverse=True)
    assert list(ps) == sorted(ps)


@given(tables, st.floats(0.01, 0.3))
def test_a_pair_is_apart_just_where_its_difference_reaches_the_exact_one(scores, alpha):
    found = compare_pairs(rank(scores), alpha)
    for pair in found.pairs:
        assert pair.apart_alone == _reaches(pair.difference, found.least_exact)
        assert pair.apart_among_all == _reaches(pair.difference, found.honest_exact)


def _reaches(difference, critical):
    return critical is not None and difference >= critical


@pytest.mark.parametrize("rows", [untied_rows(60, 3), untied_rows(20, 4)])
def test_large_panels_come_close_to_the_normal_differences(rows):
    assert least_exact(rows, 0.05) == pytest.approx(least_difference(rows, 0.05), abs=1.5)
    assert honest_exact(rows, 0.05) == pytest.approx(honest_difference(rows, 0.05), abs=1.5)


def test_ties_make_the_normal_differences_smaller():
    tied = build_rankings([[1.5, 1.5, 3]] * 10).rows()
    assert least_difference(tied, 0.05) < least_difference(untied_rows(10, 3), 0.05)


def test_the_normal_form_fits_the_spread_of_shuffled_ties():
    ranks = np.array([rank_row(row) for row in [(1, 1, 2, 3), (1, 2, 2, 2), (1, 2, 3, 4)] * 8])
    shuffled = np.random.default_rng(6).permuted(np.tile(ranks, (20_000, 1, 1)), axis=2)
    sums = shuffled.sum(axis=1)
    least = least_difference(build_rankings(ranks.tolist()).rows(), 0.05)
    spread = np.std(sums[:, 0] - sums[:, 1])
    assert least == pytest.approx(1.959964 * spread, rel=0.02)


def test_what_cannot_be_gone_through_is_approximated_and_said():
    found = compare_pairs(build_rankings([list(range(1, 10))] * 4))
    assert (found.all_pairs, found.honest_exact) == ("studentised range", None)
    assert found.notes == (PAIR_BEFOREHAND, ALL_PAIRS_APPROXIMATE)


def test_the_approximation_is_close_to_the_exact_p_of_a_panel_of_twelve():
    rankings = rank_sums_with(12, (20, 28, 34, 38))
    scale = math.sqrt(12 * 4 * 5 / 12)
    exact = widest_pair(rankings).p_all_pairs
    assert studentized_range_tail([18 / scale], 4, math.inf)[0] == pytest.approx(exact, abs=0.01)


def test_thousands_of_assessors_get_normal_values_at_once():
    row = list(range(1, 11))
    found = compare_pairs(build_rankings([row, row[::-1]] * 1_000 + [row] * 20))
    z = 20 * 9 / math.sqrt(2_020 * 10 * 11 / 6)
    assert found.one_pair == "normal"
    assert found.pairs[0].p_one_pair == pytest.approx(math.erfc(z / math.sqrt(2)), rel=1e-9)
    assert ONE_PAIR_APPROXIMATE in found.notes


def test_if_everybody_ties_everything_no_pair_is_compared():
    found = compare_pairs(build_rankings([[2, 2, 2]] * 4))
    assert (found.pairs, found.least, found.honest, found.notes) == ((), None, None, (ALL_TIED,))


def test_few_assessors_may_reach_no_difference_at_all():
    found = compare_pairs(build_rankings([[1, 2, 3]] * 2))
    assert (found.least_exact, found.honest_exact) == (None, None)
    assert {NO_ONE_PAIR, NO_PAIR_OF_ALL} <= set(found.notes)


def test_a_level_of_zero_is_refused():
    with pytest.raises(ValueError, match=r"alpha .* not 0"):
        compare_pairs(build_rankings([[1, 2]]), 0)
