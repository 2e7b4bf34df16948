import dataclasses
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.pca import CONSTANT, NOTHING_VARIES, ONE_SAMPLE, find_signs, fit_components

# NIST/SEMATECH e-Handbook of Statistical Methods, section 6.5.5.2 (public domain; data and
# results from memory): eigenvalues of the correlation matrix 1.769, 0.927, 0.304; loadings
# (.64, .69, -.34), (.38, .10, .91), (-.66, .72, .20) up to sign, .918 cut, not rounded, to .91.
NIST = [
    [7, 4, 3], [4, 1, 8], [6, 3, 5], [8, 6, 1], [8, 5, 7],
    [7, 2, 9], [5, 3, 3], [9, 5, 8], [7, 4, 5], [8, 2, 2],
]  # fmt: skip
NIST_LOADINGS = [[0.64, 0.38, -0.66], [0.69, 0.10, 0.72], [-0.34, 0.91, 0.20]]


@st.composite
def tables(draw):
    rows, columns = draw(st.integers(2, 7)), draw(st.integers(1, 6))
    numbers = st.lists(st.integers(-9, 9), min_size=columns, max_size=columns)
    table = draw(st.lists(numbers, min_size=rows, max_size=rows))
    return np.array(table, dtype=float)


def fit(table, correlation=False):
    rows, columns = np.shape(table)
    names = [f"attribute {at}" for at in range(columns)]
    return fit_components(table, [str(at) for at in range(rows)], names, correlation)


def test_the_handbook_example_gives_its_eigenvalues():
    assert fit(NIST, correlation=True).eigenvalues == pytest.approx((1.769, 0.927, 0.304), abs=6e-4)


def test_the_handbook_example_gives_its_loadings_up_to_the_sign_of_an_axis():
    found = np.array(fit(NIST, correlation=True).loadings)
    printed = np.array(NIST_LOADINGS)
    assert found == pytest.approx(printed * np.sign((found * printed).sum(axis=0)), abs=0.01)


@given(tables(), st.booleans())
def test_eigenvalues_equal_those_of_the_matrix(table, correlation):
    table = table[:, table.std(axis=0) > 0] if correlation else table
    if not table.size:
        return
    away = table - table.mean(axis=0)
    away = away / table.std(axis=0, ddof=1) if correlation else away
    expected = np.linalg.eigvalsh(away.T @ away / (len(table) - 1))[::-1]
    found = fit(table, correlation).eigenvalues
    assert found == pytest.approx(expected[: len(found)], abs=1e-9)
    assert expected[len(found) :] == pytest.approx(0, abs=1e-9)


@given(tables())
def test_scores_times_loadings_give_the_centred_table_back(table):
    found = fit(table)
    if found.eigenvalues:
        again = np.array(found.scores) @ np.array(found.loadings).T
        assert again == pytest.approx(table - table.mean(axis=0), abs=1e-9)


@given(tables())
def test_loadings_are_of_length_1_and_their_largest_is_positive(table):
    loadings = np.array(fit(table).loadings)
    if loadings.size:
        assert loadings.T @ loadings == pytest.approx(np.eye(loadings.shape[1]), abs=1e-9)
        assert (np.abs(loadings).max(axis=0) <= loadings.max(axis=0) + 1e-9).all()


@given(tables())
def test_correlations_are_those_of_attributes_with_scores(table):
    found = fit(table, correlation=True)
    if found.eigenvalues:
        kept = table[:, table.std(axis=0) > 0]
        expected = np.corrcoef(kept.T, np.array(found.scores).T)[: kept.shape[1], kept.shape[1] :]
        assert np.array(found.correlations) == pytest.approx(expected, abs=1e-9)


def test_shares_add_up_to_1_and_components_above_average_are_counted():
    found = fit(NIST, correlation=True)
    assert sum(found.shares) == pytest.approx(1)
    assert found.above_average == 1


def test_units_do_not_matter_after_bringing_to_one_spread():
    one, other = fit(NIST, True), fit(np.array(NIST) * [1, 100, 0.01] + 5, True)
    assert np.array(one.scores) == pytest.approx(np.array(other.scores), abs=1e-9)


def test_a_constant_attribute_is_left_out_by_name_where_it_has_no_spread_to_divide_by():
    found = fit([[1, 0.1, 2], [2, 0.1, 5], [4, 0.1, 1]], correlation=True)
    assert found.attributes == ("attribute 0", "attribute 2")
    assert found.notes == (CONSTANT.format("attribute 1"),)


def test_a_constant_attribute_does_no_harm_without_bringing_to_one_spread():
    found = fit([[1, 0.1, 2], [2, 0.1, 5], [4, 0.1, 1]])
    assert found.loadings[1] == pytest.approx((0.0, 0.0))
    assert found.correlations[1] == (0.0, 0.0)


@pytest.mark.parametrize(
    ("table", "note"), [([[1, 2]], ONE_SAMPLE), ([[0.1, 2], [0.1, 2]], NOTHING_VARIES)]
)
@pytest.mark.parametrize("correlation", [True, False])
def test_what_does_not_vary_has_no_components_and_a_reason(table, note, correlation):
    found = fit(table, correlation)
    assert (found.eigenvalues, found.notes) == ((), (note,))


def test_two_samples_have_one_component():
    assert fit([[1, 2, 3], [2, 2, 9]]).shares == (1.0,)


@given(tables(), st.booleans())
def test_any_table_gives_strict_json(table, correlation):
    assert json.dumps(dataclasses.asdict(fit(table, correlation)), allow_nan=False)


def test_of_equally_large_loadings_the_first_decides():
    half = 0.5**0.5
    assert find_signs(np.array([[-half], [half * (1 + 1e-15)]])).tolist() == [-1.0]


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ([[1.0, float("nan")]], "table must be finite, not nan"),
        ([[1.0]], r"table must have shape \(1, 2\) by its labels, not \(1, 1\)"),
    ],
)
def test_bad_tables_are_named(table, message):
    with pytest.raises(ValueError, match=message):
        fit_components(table, ["X"], ["sweet", "body"])


def test_an_empty_table_is_refused():
    with pytest.raises(ValueError, match="table must hold a value or more"):
        fit_components(np.zeros((0, 1)), [], ["sweet"])
