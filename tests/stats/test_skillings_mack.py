import dataclasses
import json
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.durbin import analyse_durbin
from server.stats.friedman import analyse_friedman
from server.stats.rankings import build_rankings, rank_row
from server.stats.ratings import build_ratings
from server.stats.skillings_mack import (
    ALL_TIED,
    LEFT_OUT,
    ONE_SAMPLE,
    REPEATED,
    TIES_COST,
    TOO_LARGE,
    analyse_skillings_mack,
)

NONE = float("nan")
# Times of four ways to put something together, in nine blocks with gaps: Skillings & Mack
# (1981), Technometrics 23, Table 1 (data read; statistic and p from memory).
ASSEMBLY = [
    (3.2, 4.1, 3.8, 4.2),
    (3.1, 3.9, 3.4, 4.0),
    (4.3, 3.5, 4.6, 4.8),
    (3.5, 3.6, 3.9, 4.0),
    (3.6, 4.2, 3.7, 3.9),
    (4.5, 4.7, 3.7, NONE),
    (NONE, 4.2, 3.4, NONE),
    (4.3, 4.6, 4.4, 4.9),
    (3.5, NONE, 3.7, 3.9),
]
full = st.integers(2, 4).flatmap(
    lambda samples: st.lists(
        st.lists(st.integers(1, 4), min_size=samples, max_size=samples), min_size=2, max_size=6
    ).filter(lambda rows: any(len(set(row)) > 1 for row in rows))
)


def rate(table, samples="ABCDEFGHIJKL"):
    cells = [
        (f"p{at:02}", samples[place], value)
        for at, row in enumerate(table)
        for place, value in enumerate(row)
        if not math.isnan(value)
    ]
    return build_ratings(*zip(*cells, strict=True))


def test_assembly_times_have_the_published_statistic():
    # 15.493, p .0014.
    found = analyse_skillings_mack(rate(ASSEMBLY)).chi_square
    assert (found.statistic, found.df) == (pytest.approx(15.493, abs=5e-4), 3)
    assert found.p_value == pytest.approx(0.0014, abs=5e-5)


def test_assembly_times_have_the_computed_sums_and_digits():
    # Recomputed independently (two programs).
    found = analyse_skillings_mack(rate(ASSEMBLY))
    assert found.weighted_sums == pytest.approx(
        (-14.12559752, 4.281244146, -4.281244146, 14.12559752), rel=1e-9
    )
    assert found.chi_square.statistic == pytest.approx(15.4930488, rel=1e-8)
    assert found.chi_square.p_value == pytest.approx(0.001440296302, rel=1e-8)
    assert found.statistic_uncorrected == pytest.approx(found.chi_square.statistic, rel=1e-12)


def test_the_exact_p_of_assembly_times_agrees_with_shuffling_them():
    found = analyse_skillings_mack(rate(ASSEMBLY))
    assert (found.distribution, found.p_value) == ("exact", found.p_exact)
    shuffled = shuffle(ASSEMBLY, 40_000)
    share = np.mean(shuffled >= found.chi_square.statistic - 1e-9)
    assert abs(share - found.p_exact) < 4 * math.sqrt(found.p_exact / 40_000)


def shuffle(table, times):
    """Statistics of blocks without ties shuffled at random, by the published formula."""
    rng = np.random.default_rng(20)
    table = np.array(table)
    there = ~np.isnan(table)
    sums = np.zeros((times, table.shape[1]))
    for row in there:
        size = row.sum()
        ranks = rng.permuted(np.tile(np.arange(1.0, size + 1), (times, 1)), axis=1)
        sums[:, row] += (12 / (size + 1)) ** 0.5 * (ranks - (size + 1) / 2)
    shared = -(there.T.astype(float) @ there)
    np.fill_diagonal(shared, 0)
    np.fill_diagonal(shared, -shared.sum(axis=1))
    inverse = np.linalg.inv(shared[1:, 1:])  # any three of the four sums
    return np.einsum("ij,jk,ik->i", sums[:, 1:], inverse, sums[:, 1:])


def test_among_samples_that_do_not_differ_the_chi_square_keeps_the_level():
    p_values = stats.chi2.sf(shuffle(ASSEMBLY * 3, 20_000), 3)
    assert np.mean(p_values <= 0.05) == pytest.approx(0.05, abs=0.008)


@given(full)
def test_without_gaps_it_is_friedmans_test(rows):
    found = analyse_skillings_mack(rate(rows))
    friedman = analyse_friedman(build_rankings([rank_row(row) for row in rows]))
    assert found.statistic_uncorrected == pytest.approx(friedman.statistic_uncorrected, abs=1e-9)
    assert found.chi_square.statistic == pytest.approx(friedman.chi_square.statistic, abs=1e-9)
    assert found.p_exact == pytest.approx(friedman.p_exact, rel=1e-9)


@given(st.lists(st.permutations([1, 2, 3]), min_size=4, max_size=4))
def test_in_a_balanced_design_without_ties_it_is_durbins_test(rows):
    table = [(*row[:place], NONE, *row[place:]) for place, row in enumerate(rows)]
    found, durbin = analyse_skillings_mack(rate(table)), analyse_durbin(rate(table))
    assert found.chi_square.statistic == pytest.approx(durbin.chi_square.statistic, abs=1e-9)
    assert found.p_exact == pytest.approx(durbin.p_exact, rel=1e-9)


def test_any_increasing_change_of_an_assessors_scale_changes_nothing():
    bent = [tuple(math.exp(value) for value in row) for row in ASSEMBLY]
    found = analyse_skillings_mack(rate(bent))
    assert found == analyse_skillings_mack(rate(ASSEMBLY))


def test_an_assessor_of_one_sample_is_left_out_and_named():
    alone = [*ASSEMBLY, (NONE, NONE, 3.0, NONE)]
    found = analyse_skillings_mack(rate(alone))
    assert found.chi_square == analyse_skillings_mack(rate(ASSEMBLY)).chi_square
    assert LEFT_OUT.format("p09") in found.notes


def test_repeated_values_count_as_their_mean():
    people, samples = ["a"] * 3 + ["b"] * 2, ["X", "X", "Y", "X", "Y"]
    found = analyse_skillings_mack(build_ratings(people, samples, [1, 5, 2, 1, 2]))
    assert (found.weighted_sums, found.notes) == ((0.0, 0.0), (REPEATED,))


def test_groups_that_nobody_links_are_not_tested():
    found = analyse_skillings_mack(rate([(1, 2, NONE, NONE), (NONE, NONE, 1, 2)]))
    assert (found.chi_square, found.p_value) == (None, None)
    assert found.notes[-1].endswith("A, B / C, D.")


def test_a_sample_only_ever_tied_costs_a_degree_of_freedom():
    found = analyse_skillings_mack(rate([(1, 2, NONE), (NONE, 3, 3), (2, 4, NONE)]))
    assert (found.chi_square.df, found.p_exact) == (1, 0.5)
    assert TIES_COST.format(1, 2) in found.notes


@pytest.mark.parametrize(
    ("table", "reason"),
    [
        ([(1, 1), (2, 2)], ALL_TIED),
        ([(1,), (2,)], ONE_SAMPLE),
        ([(1, NONE), (NONE, 2)], ALL_TIED),
    ],
    ids=["all tied", "one sample", "one sample each"],
)
def test_nothing_to_test_is_said(table, reason):
    found = analyse_skillings_mack(rate(table))
    assert (found.chi_square, found.p_value, found.distribution) == (None, None, None)
    assert reason in found.notes


def test_a_large_panel_has_the_chi_square_p_and_says_so():
    table = np.random.default_rng(3).random((40, 7))
    table[::3, 0] = NONE
    found = analyse_skillings_mack(rate(table))
    assert (found.distribution, found.p_value) == ("chi-square", found.chi_square.p_value)
    assert TOO_LARGE in found.notes


@pytest.mark.parametrize("table", [ASSEMBLY, [(1,), (2,)], [(1, 1), (2, 2)]])
def test_the_result_is_strict_json(table):
    found = dataclasses.asdict(analyse_skillings_mack(rate(table)))
    assert json.loads(json.dumps(found, allow_nan=False))["samples"]
