import dataclasses
import json
import math
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.contingency_tables import cochrans_q, mcnemar

from server.stats.cochran_q import NOBODY_DIFFERED, PAIRS_HINT, TOO_LARGE, analyse_cochran
from server.stats.friedman import analyse_friedman
from server.stats.paired_answers import compare_signs
from server.stats.rankings import build_rankings, rank_row

# Growth of diphtheria on four media, 69 specimens: Cochran (1950), Biometrika 37 (from
# memory), of which 59 grew on none.
MEDIA = [(1, 1, 1, 1)] * 4 + [(1, 1, 0, 1)] * 2 + [(0, 1, 1, 1)] * 3 + [(0, 1, 0, 1)]
ALL_MEDIA = [*MEDIA, *[(0, 0, 0, 0)] * 59]
# Ten users and three programs; data, Q and p of a course page (read).
PROGRAMS = [
    (1, 0, 1), (0, 0, 1), (0, 1, 0), (0, 1, 1), (0, 0, 1), (1, 1, 1), (0, 0, 1), (0, 1, 1),
    (0, 1, 1), (0, 1, 1),
]  # fmt: skip
# Twelve subjects under three conditions: Sheskin, Handbook of Parametric and Nonparametric
# Statistical Procedures, chapter 26, as quoted in a general manual (data read).
CONDITIONS = [
    (0, 1, 0), (1, 1, 0), (1, 1, 1), (0, 0, 0), (1, 0, 0), (0, 1, 1), (0, 0, 0), (1, 1, 0),
    (0, 1, 0), (1, 1, 1), (0, 1, 0), (1, 1, 0),
]  # fmt: skip

tables = st.integers(2, 4).flatmap(
    lambda samples: st.lists(
        st.lists(st.integers(0, 1), min_size=samples, max_size=samples), min_size=1, max_size=6
    )
)
mixed_tables = tables.filter(lambda rows: any(len(set(row)) > 1 for row in rows))


@pytest.mark.parametrize(
    ("answers", "yes", "q", "df", "p_value"),
    # Media: 8.05 (from memory). Programs: 8.2222 and .01639 (read). All else recomputed
    # independently (two programs).
    [
        (ALL_MEDIA, (6, 10, 7, 10), 8.052631579, 3, 0.04493640117),
        (PROGRAMS, (2, 6, 9), 8.222222222, 2, 0.01638955379),
        (CONDITIONS, (6, 9, 3), 6.75, 2, 0.03421811831),
    ],
    ids=["media", "programs", "conditions"],
)
def test_published_answers_have_the_published_q(answers, yes, q, df, p_value):
    found = analyse_cochran(answers)
    assert (found.yes, found.chi_square.df) == (yes, df)
    assert found.chi_square.statistic == pytest.approx(q, rel=1e-9)
    assert found.chi_square.p_value == pytest.approx(p_value, rel=1e-8)


@pytest.mark.parametrize(
    ("answers", "changes", "p_values", "adjusted"),
    # Recomputed independently (two programs); pairs (1, 2), (1, 3), ..., (2, 3), ...
    [
        (
            ALL_MEDIA,
            [(0, 4), (2, 3), (0, 4), (3, 0), (0, 0), (0, 3)],
            [0.125, 1, 0.125, 0.25, 1, 0.25],
            [0.75, 1, 0.75, 1, 1, 1],
        ),
        (
            PROGRAMS,
            [(1, 5), (0, 7), (1, 4)],
            [0.21875, 0.015625, 0.375],
            [0.4375, 0.046875, 0.4375],
        ),
        (
            CONDITIONS,
            [(1, 4), (4, 1), (6, 0)],
            [0.375, 0.375, 0.03125],
            [0.75, 0.75, 0.09375],
        ),
    ],
    ids=["media", "programs", "conditions"],
)
def test_pairs_have_the_computed_exact_values(answers, changes, p_values, adjusted):
    pairs = analyse_cochran(answers).pairs
    assert [(pair.first_only, pair.second_only) for pair in pairs] == changes
    assert [pair.p_value for pair in pairs] == pytest.approx(p_values, rel=1e-12)
    assert [pair.p_holm for pair in pairs] == pytest.approx(adjusted, rel=1e-12)


@pytest.mark.parametrize(
    ("answers", "p_values"),
    # Recomputed in R, without a correction for continuity; None where nobody differs.
    [
        (
            ALL_MEDIA,
            [
                0.0455002638964,
                0.654720846019,
                0.0455002638964,
                0.0832645166636,
                None,
                0.0832645166636,
            ],
        ),
        (PROGRAMS, [0.1024704349, 0.008150971594, 0.1797124949]),
        (CONDITIONS, [0.1797124949, 0.1797124949, 0.01430587844]),
    ],
    ids=["media", "programs", "conditions"],
)
def test_the_changes_of_pairs_have_the_computed_chi_square(answers, p_values):
    signs = [compare_signs(x.first_only, x.second_only) for x in analyse_cochran(answers).pairs]
    found = [one.chi_square and one.chi_square.p_value for one in signs]
    assert found == [p and pytest.approx(p, rel=1e-9) for p in p_values]


def test_specimens_that_grew_on_nothing_change_nothing_but_shares():
    few, all_ = analyse_cochran(MEDIA), analyse_cochran(ALL_MEDIA)
    same = {"assessors": 69, "shares": all_.shares}
    assert dataclasses.replace(few, **same) == all_
    assert (all_.informative, all_.shares[0]) == (6, 6 / 69)


def test_growth_on_four_media_is_not_detected_exactly_though_it_is_by_chi_square():
    # Six specimens that grew on some only: .0449 by chi-square, .0527 by going through all ways.
    found = analyse_cochran(ALL_MEDIA)
    assert (found.distribution, found.detected) == ("exact", False)
    assert found.p_exact == pytest.approx(216 / 4096, rel=1e-9)
    assert found.chi_square.p_value < 0.05


@given(mixed_tables)
def test_the_exact_p_equals_going_through_all_ways(rows):
    ways = product(*(sorted(set(permutations(row))) for row in rows))
    squares = np.array([(np.sum(way, axis=0) ** 2).sum() for way in ways])
    observed = (np.sum(rows, axis=0) ** 2).sum()
    found = analyse_cochran(rows).p_exact
    assert found == pytest.approx(np.mean(squares >= observed), rel=1e-9)


@given(mixed_tables)
def test_q_equals_a_general_statistics_library(rows):
    found, reference = analyse_cochran(rows).chi_square, cochrans_q(np.array(rows))
    assert found.statistic == pytest.approx(reference.statistic, abs=1e-9)
    assert found.p_value == pytest.approx(reference.pvalue, rel=1e-9)


@given(mixed_tables)
def test_q_is_friedmans_statistic_of_the_answers(rows):
    found = analyse_cochran(rows)
    friedman = analyse_friedman(build_rankings([rank_row(row) for row in rows]))
    assert found.chi_square.statistic == pytest.approx(friedman.chi_square.statistic, abs=1e-9)
    assert found.p_exact == pytest.approx(friedman.p_exact, rel=1e-9)


@given(tables)
def test_pairs_equal_a_general_statistics_library(rows):
    table = np.array(rows)
    for pair in analyse_cochran(rows).pairs:
        one, other = table[:, int(pair.first) - 1], table[:, int(pair.second) - 1]
        crossed = [[np.sum((one == x) & (other == y)) for y in (0, 1)] for x in (0, 1)]
        assert pair.p_value == pytest.approx(min(1, mcnemar(crossed, exact=True).pvalue), rel=1e-9)


@given(tables, st.integers(0, 3))
def test_rows_of_equal_answers_change_no_statistic_and_no_p(rows, number):
    more = [*rows, *[[1] * len(rows[0])] * number, *[[0] * len(rows[0])] * number]
    few, many = analyse_cochran(rows), analyse_cochran(more)
    assert (few.chi_square, few.p_value, few.pairs) == (many.chi_square, many.p_value, many.pairs)


@given(mixed_tables)
def test_asking_the_opposite_changes_no_statistic_and_no_p(rows):
    found = analyse_cochran(rows)
    opposite = analyse_cochran([[1 - one for one in row] for row in rows])
    assert opposite.chi_square.statistic == pytest.approx(found.chi_square.statistic, abs=1e-9)
    assert opposite.p_exact == pytest.approx(found.p_exact, rel=1e-9)


def test_two_samples_are_compared_by_the_sign_test():
    found = analyse_cochran([(1, 0)] * 9 + [(0, 1)] * 2 + [(1, 1)] * 5)
    assert found.p_exact == pytest.approx(stats.binomtest(9, 11).pvalue, rel=1e-12)
    assert found.chi_square.statistic == pytest.approx(49 / 11, rel=1e-12)


def simulate_alarms(tables):
    """How often words ticked alike come out at 5 %, by the exact p and by chi-square.

    Some of the 12 assessors tick more readily than others; a word of three samples.
    """
    rng = np.random.default_rng(15)
    readiness = rng.uniform(0.1, 0.9, (tables, 12, 1))
    ticks = (rng.random((tables, 12, 3)) < readiness).astype(int)
    found = [analyse_cochran(one.tolist()) for one in ticks]
    tested = [one for one in found if one.chi_square]
    return (
        sum(one.detected for one in found) / tables,
        sum(one.chi_square.p_value <= 0.05 for one in tested) / tables,
    )


def test_words_ticked_alike_raise_alarms_no_more_often_than_the_level():
    exact, chi_square = simulate_alarms(300)
    assert exact <= 0.08
    assert exact <= chi_square + 0.01


@pytest.mark.long
def test_over_many_words_ticked_alike_the_exact_p_keeps_the_level():
    exact, _ = simulate_alarms(4_000)
    assert 0.025 <= exact <= 0.055


def test_answers_all_alike_have_no_q_and_say_so():
    found = analyse_cochran([(1, 1, 1), (0, 0, 0)])
    assert (found.chi_square, found.p_exact, found.p_value, found.detected) == (
        *[None] * 3,
        False,
    )
    assert found.notes == (NOBODY_DIFFERED,)


def test_one_assessor_can_find_nothing():
    found = analyse_cochran([(1, 0, 0)])
    assert (found.p_exact, found.detected) == (1, False)


def test_many_answers_on_many_samples_have_the_chi_square_p_and_say_so():
    found = analyse_cochran(np.random.default_rng(2).integers(0, 2, (60, 12)).tolist())
    assert (found.distribution, found.p_value) == ("chi-square", found.chi_square.p_value)
    assert TOO_LARGE in found.notes


def test_a_pair_apart_without_a_difference_overall_is_called_a_hint():
    # Eight changed between two samples, many more between the two others, either way.
    others = [(0, 0, 1, 0), (0, 0, 0, 1), (1, 1, 0, 1), (1, 1, 1, 0)] * 8
    found = analyse_cochran([(1, 0, 1, 0), (1, 0, 0, 1)] * 4 + others)
    assert ([pair.apart for pair in found.pairs].count(True), found.detected) == (1, False)
    assert PAIRS_HINT in found.notes


@pytest.mark.parametrize(
    ("answers", "samples", "told"),
    [
        ([], None, "answers must hold at least one"),
        ([(1,)], None, "answers must be on two samples or more, not 1"),
        ([(1, 0), (1, 0, 1)], None, "answers must be 2 in every row, not 3"),
        ([(1, 2)], None, "answers must be 0 or 1, not 2"),
        ([(1, math.nan)], None, "answers must be 0 or 1, not nan"),
        ([(1, 0)], ["X"], "samples must be 2 different labels"),
        ([(1, 0)], ["X", "X"], "samples must be 2 different labels"),
    ],
)
def test_bad_answers_are_refused(answers, samples, told):
    with pytest.raises(ValueError, match=told):
        analyse_cochran(answers, samples)


def test_a_level_outside_0_to_1_is_refused():
    with pytest.raises(ValueError, match=r"alpha must be above 0 and below 1, not 1\.5"):
        analyse_cochran(PROGRAMS, alpha=1.5)


@pytest.mark.parametrize("answers", [PROGRAMS, [(0, 0)], [(True, False)]])
def test_the_result_is_strict_json(answers):
    found = dataclasses.asdict(analyse_cochran(answers))
    assert json.loads(json.dumps(found, allow_nan=False))["samples"]
