"""Checked against plain means and against least squares on the full set of dummy columns."""

import numpy as np
import pytest

from server.stats.rest_of_panel import find_rest, fit_additive


def fit_by_dummies(means: np.ndarray, weights: np.ndarray) -> np.ndarray:
    """Return fitted cell means by weighted least squares, columns written out."""
    people, samples = means.shape
    rows = [(i, j) for i, j in np.ndindex(means.shape) if weights[i, j]]
    columns = np.zeros((len(rows), people + samples))
    for row, (i, j) in enumerate(rows):
        columns[row, [i, people + j]] = 1
    root = np.sqrt([weights[place] for place in rows])
    values = np.array([means[place] for place in rows])
    solved = np.linalg.lstsq(columns * root[:, None], values * root, rcond=None)[0]
    return np.add.outer(solved[:people], solved[people:])


def test_without_gaps_the_rest_are_plain_means():
    means = np.random.default_rng(1).normal(size=(5, 4))
    expected = [np.delete(means, place, axis=0).mean(axis=0) for place in range(5)]
    assert find_rest(means) == pytest.approx(np.array(expected), abs=1e-9)


def test_weighted_fits_equal_least_squares_on_dummy_columns():
    rng = np.random.default_rng(2)
    means, weights = rng.normal(size=(6, 5)), rng.integers(0, 4, size=(6, 5))
    weights[:, 0] = weights[0] = 2
    fitted = fit_additive(means, weights)
    expected = fit_by_dummies(means, weights)
    assert np.add.outer(fitted.assessor, fitted.sample) == pytest.approx(expected)
    assert fitted.residual == pytest.approx(np.where(weights > 0, means - expected, 0))


def test_with_gaps_the_rest_is_the_fit_to_the_others():
    rng = np.random.default_rng(3)
    means = rng.normal(size=(5, 4))
    means[0, 1] = means[3, 2] = means[4, 0] = np.nan
    others = np.delete(means, 1, axis=0)
    expected = fit_by_dummies(np.nan_to_num(others), (~np.isnan(others)).astype(float))
    assert find_rest(means)[1] == pytest.approx(expected.mean(axis=0), abs=1e-9)


def test_a_sample_of_nobody_else_has_no_rest():
    means = np.array([[1.0, 2, 3], [2, 3, np.nan], [4, 4, np.nan]])
    assert np.isnan(find_rest(means)[0]).tolist() == [False, False, True]


def test_samples_that_the_others_do_not_connect_have_no_rest():
    means = np.array([[1.0, 2, 3, 4], [2, 3, np.nan, np.nan], [np.nan, np.nan, 4, 4]])
    assert np.isnan(find_rest(means)[0]).all()


def test_one_assessor_has_no_rest():
    assert np.isnan(find_rest(np.array([[1.0, 2]]))).all()


def test_two_halves_are_not_connected():
    weights = np.array([[1, 1, 0, 0], [0, 0, 1, 1]])
    assert not fit_additive(np.ones((2, 4)), weights).connected
