import dataclasses
import json
import math

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.friedman import analyse_friedman
from server.stats.rank_differences import least_difference
from server.stats.rank_pairs import (
    AFTER_THE_TEST,
    NO_ERROR,
    ONE_ASSESSOR,
    compare_conover,
    compare_nemenyi,
)
from server.stats.rankings import build_rankings, rank_row, untied_rows

# Twelve homeowners rank four grasses, ties as means: Conover (1999), Practical Nonparametric
# Statistics, pp. 371-375 (from memory; the chi-square p of .044 was read).
GRASS = [
    (4, 3, 2, 1), (4, 2, 3, 1), (3, 1.5, 1.5, 4), (3, 1, 2, 4), (4, 2, 1, 3), (2, 2, 2, 4),
    (1, 3, 2, 4), (2, 4, 1, 3), (3.5, 1, 2, 3.5), (4, 1, 3, 2), (4, 2, 3, 1), (3.5, 1, 2, 3.5),
]  # fmt: skip
# Times of 22 players by three ways to round a base: Hollander & Wolfe (1973), Nonparametric
# Statistical Methods, p. 140 (from memory).
BASES = [
    (5.40, 5.50, 5.55), (5.85, 5.70, 5.75), (5.20, 5.60, 5.50), (5.55, 5.50, 5.40),
    (5.90, 5.85, 5.70), (5.45, 5.55, 5.60), (5.40, 5.40, 5.35), (5.45, 5.50, 5.35),
    (5.25, 5.15, 5.00), (5.85, 5.80, 5.70), (5.25, 5.20, 5.10), (5.65, 5.55, 5.45),
    (5.60, 5.35, 5.45), (5.05, 5.00, 4.95), (5.50, 5.50, 5.40), (5.45, 5.55, 5.50),
    (5.55, 5.55, 5.35), (5.45, 5.50, 5.55), (5.50, 5.45, 5.25), (5.65, 5.60, 5.40),
    (5.70, 5.65, 5.55), (6.30, 6.30, 6.25),
]  # fmt: skip
tables = st.integers(3, 5).flatmap(
    lambda samples: st.lists(st.permutations(range(1, samples + 1)), min_size=2, max_size=8).filter(
        lambda rows: len(set(map(tuple, rows))) > 1
    )
)


def rank(scores):
    return build_rankings([rank_row(row) for row in scores])


@pytest.mark.parametrize(
    ("scores", "sums", "squares"),
    [(GRASS, (38, 23.5, 24.5, 34), 356.5), (BASES, (53, 47, 32), 306)],
)
def test_ranks_have_the_published_sums(scores, sums, squares):
    # Sums of the grasses from memory; those of the bases and squares recomputed (two programs).
    rankings = rank(scores)
    assert rankings.rank_sums() == sums
    assert sum(value**2 for row in rankings.ranks for value in row) == squares


@pytest.mark.parametrize(
    ("scores", "statistic", "p_value"),
    # Published as 8.0973 (from memory) and .044 (read); 11.1429 and .003805 (from memory).
    [(GRASS, 8.097345133, 0.04404213782), (BASES, 11.14285714, 0.003805040776)],
)
def test_friedmans_test_of_them_has_the_published_value(scores, statistic, p_value):
    found = analyse_friedman(rank(scores)).chi_square
    assert found.statistic == pytest.approx(statistic, rel=1e-9)
    assert found.p_value == pytest.approx(p_value, rel=1e-8)


@pytest.mark.parametrize(("scores", "uncorrected"), [(GRASS, 7.625), (BASES, 10.63636364)])
def test_without_regard_to_ties_the_statistic_is_smaller(scores, uncorrected):
    # Recomputed independently (two programs); that of the grasses has p = .054, beyond 5 %.
    found = analyse_friedman(rank(scores))
    assert found.statistic_uncorrected == pytest.approx(uncorrected, rel=1e-9)


def test_the_grasses_are_told_apart_only_if_ties_are_allowed_for():
    found = analyse_friedman(rank(GRASS))
    assert stats.chi2.sf(found.statistic_uncorrected, 3) > 0.05 > found.chi_square.p_value


@pytest.mark.parametrize(
    ("scores", "f", "p_value"),
    # The first published as 3.19 (from memory); recomputed independently (two programs).
    [(GRASS, 3.192197907, 0.03621547464), (BASES, 7.12173913, 0.002171298388)],
)
def test_the_f_form_has_the_published_value(scores, f, p_value):
    found = analyse_friedman(rank(scores)).f_form
    assert found.statistic == pytest.approx(f, rel=1e-9)
    assert found.p_value == pytest.approx(p_value, rel=1e-8)


@pytest.mark.parametrize(
    ("scores", "least"),
    # The first published as 11.48 (from memory); recomputed independently (two programs).
    [(GRASS, 11.48167759), (BASES, 11.56787649)],
)
def test_conovers_least_difference_has_the_published_value(scores, least):
    assert compare_conover(rank(scores)).least == pytest.approx(least, rel=1e-9)


@pytest.mark.parametrize(
    ("scores", "p_values"),
    # Recomputed independently (two programs).
    [
        (
            GRASS,
            (0.01489517645, 0.02260271446, 0.4834342679, 0.8604370329, 0.07173650804, 0.1017423956),
        ),
        (BASES, (0.3012090214, 0.0006914534761, 0.01228285735)),
    ],
)
def test_conovers_pairs_have_computed_values(scores, p_values):
    found = compare_conover(rank(scores))
    assert [pair.p_value for pair in found.pairs] == pytest.approx(p_values, rel=1e-8)


@pytest.mark.parametrize(
    ("scores", "least", "p_values"),
    # Recomputed independently (two programs), without regard to ties.
    [
        (
            GRASS,
            16.2479836,
            (0.09969438013, 0.1421835268, 0.921602765, 0.9985934739, 0.3449675422, 0.4361919935),
        ),
        (BASES, 15.54635094, (0.637427167, 0.004409820445, 0.06137075926)),
    ],
)
def test_nemenyis_pairs_have_computed_values(scores, least, p_values):
    found = compare_nemenyi(rank(scores))
    assert found.least == pytest.approx(least, rel=1e-7)
    assert [pair.p_value for pair in found.pairs] == pytest.approx(p_values, rel=1e-6)


@pytest.mark.parametrize(("scores", "least"), [(GRASS, 12.39590065), (BASES, 13.00093028)])
def test_the_normal_least_difference_of_the_ranking_standard_has_computed_values(scores, least):
    # 1.96 √(J P (P + 1) / 6); recomputed independently (two programs).
    rows = untied_rows(len(scores), len(scores[0]))
    assert least_difference(rows, 0.05) == pytest.approx(least, rel=1e-9)


@given(tables)
def test_conovers_pairs_are_contrasts_of_an_analysis_of_variance_of_the_ranks(rows):
    cells = [
        (str(who), f"s{what}", float(x))
        for who, row in enumerate(rows)
        for what, x in enumerate(row)
    ]
    fit = smf.ols("y ~ who + what", pd.DataFrame(cells, columns=["who", "what", "y"])).fit()
    found = compare_conover(rank(rows))
    if found.se is None:
        assert fit.ssr == pytest.approx(0, abs=1e-9)
    else:
        assert found.se / len(rows) == pytest.approx(fit.bse["what[T.s1]"], rel=1e-6)
        assert found.pairs[0].p_value == pytest.approx(fit.pvalues["what[T.s1]"], rel=1e-6)


@given(tables)
def test_a_pair_is_apart_if_and_only_if_it_reaches_the_least_difference(rows):
    found = compare_conover(rank(rows), 0.2)
    assert all(pair.apart == (abs(pair.difference) >= found.least) for pair in found.pairs)


def test_nemenyis_chances_equal_a_general_statistics_library():
    found = compare_nemenyi(rank(GRASS)).pairs
    tails = stats.studentized_range.sf([pair.q for pair in found], 4, np.inf)
    assert [pair.p_value for pair in found] == pytest.approx(tails, rel=1e-6)


def test_samples_in_another_order_have_the_same_pairs():
    there = {(x.first, x.second): x.t for x in compare_conover(rank(GRASS)).pairs}
    turned = compare_conover(
        build_rankings([row[::-1] for row in GRASS], samples=["4", "3", "2", "1"])
    )
    assert {(x.second, x.first): -x.t for x in turned.pairs} == pytest.approx(there)


def simulate_alarms(tables, compare):
    """How often any pair of four samples in no order is called apart, at 5 %."""
    rng = np.random.default_rng(9)
    rows = [np.argsort(rng.random((15, 4)), axis=1) + 1 for _ in range(tables)]
    found = [compare(build_rankings(one.tolist())) for one in rows]
    return np.mean([any(pair.apart for pair in one.pairs) for one in found])


def test_one_conover_pair_of_six_comes_out_by_chance_more_often_than_the_level():
    # Six pairs at 5 % each: why an overall test, or Holm's p-values, must come first.
    assert simulate_alarms(300, compare_conover) > 0.12


def test_all_nemenyi_pairs_together_keep_the_level():
    assert simulate_alarms(300, compare_nemenyi) <= 0.07


def test_conovers_pairs_say_what_must_come_before_them():
    assert compare_conover(rank(GRASS)).notes == (AFTER_THE_TEST,)


@pytest.mark.parametrize(
    ("scores", "reason"),
    [
        ([(1, 2, 3)], ONE_ASSESSOR),
        ([(1, 2, 3)] * 4, NO_ERROR),
        ([(2, 2, 2)] * 4, NO_ERROR),
    ],
    ids=["one assessor", "all alike", "all tied"],
)
def test_where_there_is_no_error_conovers_pairs_are_not_estimable(scores, reason):
    found = compare_conover(rank(scores))
    assert (found.se, found.least, found.pairs, found.notes) == (None, None, (), (reason,))


def test_equal_rank_sums_have_a_nemenyi_chance_of_one():
    assert [pair.p_value for pair in compare_nemenyi(rank([(1, 1), (2, 2)])).pairs] == [1]


@pytest.mark.parametrize("compare", [compare_conover, compare_nemenyi])
@pytest.mark.parametrize("alpha", [0, 1, math.nan])
def test_a_level_outside_0_to_1_is_refused(compare, alpha):
    with pytest.raises(ValueError, match="alpha must be above 0 and below 1"):
        compare(rank(GRASS), alpha)


@pytest.mark.parametrize("compare", [compare_conover, compare_nemenyi])
@pytest.mark.parametrize("scores", [GRASS, [(1, 2)], [(1, 1)] * 3])
def test_the_result_is_strict_json(compare, scores):
    found = dataclasses.asdict(compare(rank(scores)))
    assert json.loads(json.dumps(found, allow_nan=False))["alpha"] == 0.05
