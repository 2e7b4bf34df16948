import dataclasses
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.correspondence import DEPENDENT, EMPTY, NO_AXES, fit_correspondence

# Fisher, R. A. (1940), Annals of Eugenics 10: eyes (blue, light, medium, dark) by hair (fair,
# red, medium, dark, black) of 5387 children in Caithness; canonical correlations 0.4464, 0.1735,
# 0.0293, the roots of the inertias (data and results from memory).
CAITHNESS = [
    [326, 38, 241, 110, 3],
    [688, 116, 584, 188, 4],
    [343, 84, 909, 412, 26],
    [98, 48, 403, 681, 85],
]


@st.composite
def tables(draw):
    columns = draw(st.integers(2, 5))
    row = st.lists(st.integers(1, 20), min_size=columns, max_size=columns)
    return np.array(draw(st.lists(row, min_size=2, max_size=5)), dtype=float)


def place(points):
    return np.array(points.coordinates)


def test_the_children_of_caithness_give_the_printed_canonical_correlations():
    found = fit_correspondence(CAITHNESS)
    assert np.sqrt(found.inertias) == pytest.approx((0.4464, 0.1735, 0.0293), abs=5e-5)
    assert found.total == 5387


@given(tables())
def test_total_times_inertia_is_the_chi_square_statistic_of_a_general_library(table):
    expected = stats.chi2_contingency(table, correction=False)
    found = fit_correspondence(table)
    assert (found.chi_square, found.df) == pytest.approx(
        (expected.statistic, expected.dof), abs=1e-8
    )


@given(tables())
def test_distances_between_rows_are_chi_square_distances_of_profiles(table):
    found = fit_correspondence(table)
    if not found.inertias:
        return
    profiles = table / table.sum(axis=1, keepdims=True)
    weights = table.sum() / table.sum(axis=0)
    expected = ((profiles[:, None] - profiles[None]) ** 2 * weights).sum(axis=2)
    places = place(found.rows)
    assert ((places[:, None] - places[None]) ** 2).sum(axis=2) == pytest.approx(expected, abs=1e-9)


@given(tables())
def test_rows_lie_at_the_mean_of_their_words_stretched_by_the_axis(table):
    # Transition formula, Greenacre (1984), section 4.1 (from memory).
    found = fit_correspondence(table)
    if found.inertias:
        profiles = table / table.sum(axis=1, keepdims=True)
        means = profiles @ place(found.columns)
        stretched = place(found.rows) * np.sqrt(found.inertias)
        assert means == pytest.approx(stretched, abs=1e-9)


@given(tables())
def test_masses_shares_and_contributions_add_up_to_1(table):
    found = fit_correspondence(table)
    if found.inertias:
        for points in (found.rows, found.columns):
            assert sum(points.masses) == pytest.approx(1)
            assert np.sum(points.contributions, axis=0) == pytest.approx(1)
            assert sum(points.inertias) == pytest.approx(found.inertia)
        assert sum(found.shares) == pytest.approx(1)


@given(tables())
def test_turning_the_table_swaps_rows_and_columns_but_for_signs(table):
    found, turned = fit_correspondence(table), fit_correspondence(table.T)
    assert turned.inertias == pytest.approx(found.inertias, abs=1e-9)
    assert turned.rows.masses == pytest.approx(found.columns.masses)


def test_axes_keep_rows_and_columns_on_one_side():
    found = fit_correspondence([[30, 5], [5, 30]], ["X", "Y"], ["sweet", "sour"])
    assert (place(found.rows)[0] > 0) == (place(found.columns)[0] > 0)


def test_empty_rows_and_columns_are_left_out_by_name():
    found = fit_correspondence([[1, 0, 2], [0, 0, 0], [3, 0, 1]], "XYZ", ["sweet", "sour", "salt"])
    assert (found.rows.labels, found.columns.labels) == (("X", "Z"), ("sweet", "salt"))
    assert found.notes == (EMPTY.format("Y, sour"), DEPENDENT)


def test_a_row_and_a_column_of_one_name_are_not_mixed_up():
    found = fit_correspondence([[1, 2], [0, 0], [3, 1]])
    assert (found.rows.labels, found.columns.labels) == (("1", "3"), ("1", "2"))


@pytest.mark.parametrize("table", [[[2, 4], [3, 6]], [[1, 2, 3]], [[1], [2]]])
def test_equal_profiles_have_no_axes(table):
    found = fit_correspondence(table)
    assert (found.inertias, found.chi_square, found.notes) == ((), 0.0, (NO_AXES,))


@given(tables())
def test_any_table_gives_strict_json(table):
    assert json.dumps(dataclasses.asdict(fit_correspondence(table)), allow_nan=False)


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ([[1, -1]], "counts must be 0 or more, not -1.0"),
        ([[0, 0]], "counts must hold one count or more, not all 0"),
        ([1, 2], r"counts must be a table of rows and columns, not of shape \(2,\)"),
        ([[1, float("inf")]], "table must be finite, not inf"),
    ],
)
def test_bad_counts_are_named(table, message):
    with pytest.raises(ValueError, match=message):
        fit_correspondence(table)
