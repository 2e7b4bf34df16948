import numpy as np
import pytest

from server.stats.ratings import build_ratings

ROWS = (["bo", "ann", "bo", "ann"], ["Y", "X", "X", "Y"], [1.0, 2, 3, 4])


def test_labels_are_sorted_and_rows_keep_their_order():
    ratings = build_ratings(*ROWS)
    assert (ratings.assessors, ratings.samples) == (("ann", "bo"), ("X", "Y"))
    assert ratings.assessor.tolist() == [1, 0, 1, 0]


def test_cells_hold_the_mean_of_their_values():
    ratings = build_ratings(["ann"] * 3, ["X", "X", "Y"], [1.0, 2, 5])
    assert ratings.means().tolist() == [[1.5, 5]]
    assert ratings.counts().tolist() == [[2, 1]]


def test_an_empty_cell_has_no_mean():
    ratings = build_ratings(["ann", "bo"], ["X", "Y"], [1.0, 2])
    assert np.isnan(ratings.means()).tolist() == [[False, True], [True, False]]


def test_means_that_are_equal_on_paper_tie():
    ratings = build_ratings(["ann"] * 6, ["X"] * 3 + ["Y"] * 3, [0.1, 0.2, 0.3, 0.3, 0.2, 0.1])
    assert ratings.means()[0, 0] == ratings.means()[0, 1]


def test_the_order_of_rows_changes_no_cell():
    rng = np.random.default_rng(11132)
    rows = [(f"a{i}", f"s{j}", rng.normal()) for i in range(4) for j in range(3) for _ in range(2)]
    shuffled = [rows[place] for place in rng.permutation(len(rows))]
    straight = build_ratings(*map(list, zip(*rows, strict=True)))
    other = build_ratings(*map(list, zip(*shuffled, strict=True)))
    assert straight.means().tolist() == other.means().tolist()


@pytest.mark.parametrize(
    ("rows", "replicates"), [(ROWS, 1), ((["a", "a", "b"], ["X", "X", "X"], [1, 2, 3]), None)]
)
def test_replicates_are_told_where_all_cells_agree(rows, replicates):
    assert build_ratings(*rows).replicates() == replicates


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (([], [], []), "values must hold at least one value"),
        ((["a"], ["X", "Y"], [1.0]), r"samples must be as many as values \(1\), not 2"),
        ((["a"], ["X"], [float("nan")]), "values must be finite, not nan"),
        ((["a", "a"], ["X", "Y"], [1, 2], ["p", "p"]), "hold one sample each, not .* 'p'"),
    ],
)
def test_rows_that_do_not_fit_are_refused(arguments, message):
    with pytest.raises(ValueError, match=message):
        build_ratings(*arguments)
