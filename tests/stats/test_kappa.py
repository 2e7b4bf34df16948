"""Thirty subjects sorted by six raters into five categories: Fleiss (1971), table 1.

κ 0.430 and 0.430244520060141, and .245 .245 .520 .471 .566 by category: read in the test-suite of a
general statistics program that prints them for these data; 0.430 also from memory of the paper.
The rest: recomputed independently (two programs).
"""

import dataclasses
import json
import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.kappa import (
    NO_PAIR,
    ONE_CATEGORY,
    ONE_NAMED,
    UNUSED,
    analyse_fleiss,
    count_categories,
    find_ac1,
)

NO = None
# Depression, personality disorder, schizophrenia, neurosis, other.
# fmt: off
SUBJECTS = [
    [0, 0, 0, 6, 0], [0, 3, 0, 0, 3], [0, 1, 4, 0, 1], [0, 0, 0, 0, 6], [0, 3, 0, 3, 0],
    [2, 0, 4, 0, 0], [0, 0, 4, 0, 2], [2, 0, 3, 1, 0], [2, 0, 0, 4, 0], [0, 0, 0, 0, 6],
    [1, 0, 0, 5, 0], [1, 1, 0, 4, 0], [0, 3, 3, 0, 0], [1, 0, 0, 5, 0], [0, 2, 0, 3, 1],
    [0, 0, 5, 0, 1], [3, 0, 0, 1, 2], [5, 1, 0, 0, 0], [0, 2, 0, 4, 0], [1, 0, 2, 0, 3],
    [0, 0, 0, 0, 6], [0, 1, 0, 5, 0], [0, 2, 0, 1, 3], [2, 0, 0, 4, 0], [1, 0, 0, 4, 1],
    [0, 5, 0, 1, 0], [4, 0, 0, 0, 2], [0, 2, 0, 4, 0], [1, 0, 5, 0, 0], [0, 0, 0, 0, 6],
]
# fmt: on
# Krippendorff (2011), twelve units and four observers, with gaps.
OBSERVERS = [
    [1, 2, 3, 3, 2, 1, 4, 1, 2, NO, NO, NO],
    [1, 2, 3, 3, 2, 2, 4, 1, 2, 5, NO, NO],
    [NO, 3, 3, 3, 2, 3, 4, 2, 2, 5, 1, 3],
    [1, 2, 3, 3, 2, 4, 4, 1, 2, 5, 1, NO],
]


@pytest.fixture(scope="module")
def fleiss():
    return analyse_fleiss(SUBJECTS)


def draw(seed: int, judges: int = 5) -> np.ndarray:
    rng = np.random.default_rng(seed)
    return rng.multinomial(judges, [0.5, 0.3, 0.2], size=25)


def test_kappa_equals_published_values(fleiss):
    assert fleiss.value == pytest.approx(0.430244520060141, rel=1e-12)
    assert (fleiss.observed, fleiss.expected) == pytest.approx((0.5555555556, 0.2199382716))


def test_kappa_by_category_equals_published_values(fleiss):
    assert [round(one, 3) for one in fleiss.by_category] == [0.245, 0.245, 0.52, 0.471, 0.566]
    computed = (0.2447552448, 0.2447552448, 0.52, 0.4711272727, 0.5661178068)
    assert fleiss.by_category == pytest.approx(computed, rel=1e-9)


def test_the_test_of_kappa_equals_computed_values(fleiss):
    assert (fleiss.se, fleiss.z) == pytest.approx((0.0243739321, 17.65183058), rel=1e-8)
    assert fleiss.p_value < 1e-60


def test_kappa_is_the_weighted_mean_of_its_categories(fleiss):
    shares = np.sum(SUBJECTS, axis=0) / 180
    weights = shares * (1 - shares)
    assert fleiss.value == pytest.approx(np.average(fleiss.by_category, weights=weights))


@given(st.integers(0, 10_000))
def test_kappa_equals_a_general_library(seed):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of the library's own imports
        from statsmodels.stats.inter_rater import fleiss_kappa
    assert analyse_fleiss(draw(seed)).value == pytest.approx(fleiss_kappa(draw(seed)))


def test_the_standard_error_is_how_far_kappa_strays_by_chance():
    found = [analyse_fleiss(draw(seed)) for seed in range(1500)]
    spread = np.std([one.value for one in found])
    assert spread == pytest.approx(np.mean([one.se for one in found]), rel=0.08)


def test_chance_alone_is_called_agreement_as_often_as_said():
    alarms = sum(analyse_fleiss(draw(seed)).p_value <= 0.05 for seed in range(1500)) / 1500
    assert abs(alarms - 0.05) < 4 * (0.0475 / 1500) ** 0.5 + 0.01  # z is approximate


def test_one_category_alone_has_no_kappa():
    found = analyse_fleiss([[3, 0], [3, 0]])
    assert (found.value, found.z, found.by_category) == (None, None, (None, None))
    assert found.notes == (ONE_CATEGORY, UNUSED.format(1, "all"), UNUSED.format(2, "no"))


def test_an_unused_category_changes_no_kappa_and_is_said(fleiss):
    found = analyse_fleiss([[*row, 0] for row in SUBJECTS])
    assert (found.value, found.se) == pytest.approx((fleiss.value, fleiss.se))
    assert (found.by_category[5], found.notes) == (None, (UNUSED.format(6, "no"),))


@pytest.mark.parametrize(
    ("counts", "told"),
    [
        ([[3, 0], [2, 0]], "one number, 2 or more, in every row, not 2 to 3"),
        ([[1, 0], [0, 1]], "in every row, not 1"),
        ([[3, -1], [2, 0]], "whole numbers of 0 or more, not -1"),
        ([[1.5, 1.5]], "whole numbers of 0 or more, not 1.5"),
        ([[float("nan"), 2]], "whole numbers of 0 or more, not nan"),
        ([], "subjects and categories, not the shape"),
    ],
)
def test_counts_that_are_none_are_refused(counts, told):
    with pytest.raises(ValueError, match=told):
        analyse_fleiss(counts)


def test_ac1_equals_the_computed_value(fleiss):
    found = find_ac1(SUBJECTS)
    assert found.value == pytest.approx(0.4478845158, rel=1e-9)
    assert found.observed == pytest.approx(fleiss.observed)


def test_ac1_with_gaps_equals_published_values():
    # 0.775 in Gwet's handbook (from memory); the digits beyond from one program.
    _, counts = count_categories(OBSERVERS)
    assert find_ac1(counts).value == pytest.approx(0.7754440681, rel=1e-9)


def test_ac1_stays_high_where_nearly_all_answers_are_one():
    counts = [[4, 0]] * 40 + [[3, 1]] * 2
    assert analyse_fleiss(counts).value < 0 < 0.9 < find_ac1(counts).value


@pytest.mark.parametrize(
    ("counts", "reason"), [([[3], [3]], ONE_NAMED), ([[1, 0], [0, 1]], NO_PAIR)]
)
def test_ac1_has_a_reason_where_it_has_no_value(counts, reason):
    found = find_ac1(counts)
    assert (found.value, found.notes) == (None, (reason,))


def test_categories_are_counted_sample_by_sample():
    categories, counts = count_categories(OBSERVERS)
    assert categories == (1, 2, 3, 4, 5)
    assert counts[[5, 9, 11]].tolist() == [[1, 1, 1, 1, 0], [0, 0, 0, 0, 3], [0, 0, 1, 0, 0]]


@pytest.mark.parametrize("table", [SUBJECTS, [[3, 0], [3, 0]]])
def test_the_result_is_plain_data(table):
    found = dataclasses.asdict(analyse_fleiss(table))
    assert json.loads(json.dumps(found, allow_nan=False))
