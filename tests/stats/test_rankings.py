import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.rankings import (
    build_rankings,
    check_ranking,
    rank_row,
    sum_of_squares,
    untied_rows,
)

scores = st.lists(st.integers(0, 6), min_size=2, max_size=9)


@given(scores)
def test_ranks_of_scores_equal_those_of_a_general_library(row):
    assert list(rank_row(row)) == stats.rankdata(row).tolist()


@given(scores)
def test_ranks_of_scores_are_a_ranking(row):
    check_ranking(rank_row(row))


@given(scores)
def test_ties_take_away_what_the_formula_says(row):
    groups = np.unique(row, return_counts=True)[1].astype(float)
    whole = len(row) * (len(row) ** 2 - 1) / 12
    rows = build_rankings([rank_row(row)]).rows()
    assert sum_of_squares(rows) == pytest.approx(whole - (groups**3 - groups).sum() / 12)


def test_labels_are_numbers_unless_given():
    assert build_rankings([[1, 2], [2, 1]]).samples == ("1", "2")


def test_rows_forget_which_sample_had_which_rank():
    assert build_rankings([[3, 1, 2], [1, 2, 3]]).rows() == untied_rows(2, 3)


@pytest.mark.parametrize(
    ("ranks", "told"),
    [
        ([1, 1, 3], r"ties as their mean \(1.5, 1.5, 3\), not 1, 1, 3"),
        ([1, 2, 2], r"ties as their mean \(1, 2.5, 2.5\), not 1, 2, 2"),
        ([1, 2, 4], "ranks must be 1 to 3, each once, ties as their mean, not 1, 2, 4"),
        ([0, 1, 2], "not 0, 1, 2"),
        ([1], "two samples or more, not 1"),
        ([1, float("nan")], "not 1, nan"),
    ],
)
def test_what_is_no_ranking_is_refused_with_what_it_should_be(ranks, told):
    with pytest.raises(ValueError, match=told):
        check_ranking(ranks)


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: build_rankings([]), "ranks must hold at least one"),
        (lambda: build_rankings([[1, 2], [1, 2, 3]]), "assessor 2 must be of 2 samples, not 3"),
        (lambda: build_rankings([[1, 2]], ["A"]), "samples must be 2 labels, not 1"),
        (lambda: build_rankings([[1, 2]], ["A", "A"]), "samples .* not twice A"),
        (lambda: build_rankings([[1, 2]], None, ["a", "b"]), "assessors must be 1 labels, not 2"),
        (lambda: untied_rows(0, 3), "not 0"),
        (lambda: untied_rows(3, 1), "samples must be 2 or more, not 1"),
    ],
)
def test_impossible_rankings_are_refused_by_name_and_value(call, told):
    with pytest.raises(ValueError, match=told):
        call()
