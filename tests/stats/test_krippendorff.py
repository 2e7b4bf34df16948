"""Twelve units, four observers: Krippendorff (2011), Computing Krippendorff's alpha-reliability.

The matrix was read in a general reference; 0.743, 0.815, 0.849 and 0.797 are from memory. Three
coders, fifteen units: an encyclopedia's example, 0.691 and 0.811 from memory. All digits beyond,
and the other two values of that example: recomputed independently (two programs).
"""

import dataclasses
import itertools
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.krippendorff import ALL_EQUAL, NO_PAIR, krippendorff_alpha

NO = None
OBSERVERS = [
    [1, 2, 3, 3, 2, 1, 4, 1, 2, NO, NO, NO],
    [1, 2, 3, 3, 2, 2, 4, 1, 2, 5, NO, NO],
    [NO, 3, 3, 3, 2, 3, 4, 2, 2, 5, 1, 3],
    [1, 2, 3, 3, 2, 4, 4, 1, 2, 5, 1, NO],
]
CODERS = [
    [NO, NO, NO, NO, NO, 3, 4, 1, 2, 1, 1, 3, 3, NO, 3],
    [1, NO, 2, 1, 3, 3, 4, 3, NO, NO, NO, NO, NO, NO, NO],
    [NO, NO, 2, 1, 3, 4, 4, NO, 2, 1, 1, 3, 3, NO, 4],
]
SCALES = ("nominal", "ordinal", "interval", "ratio")


def draw(seed: int) -> np.ndarray:
    """Five assessors, eight samples, scores of 0 to 5, twelve gaps."""
    rng = np.random.default_rng(seed)
    table = np.clip(rng.integers(0, 4, 8) + rng.integers(0, 3, (5, 8)), 0, 5).astype(float)
    table.ravel()[rng.choice(40, 12, replace=False)] = np.nan
    return table


def by_coincidences(table: np.ndarray, scale: str) -> float:
    """Find α as Krippendorff (2011) writes it: by the matrix of coincidences."""
    units = [column[~np.isnan(column)].tolist() for column in table.T]
    units = [unit for unit in units if len(unit) > 1]
    values = sorted({value for unit in units for value in unit})
    seen = dict.fromkeys(itertools.product(values, values), 0.0)
    for unit in units:
        for pair in itertools.permutations(unit, 2):
            seen[pair] += 1 / (len(unit) - 1)
    n = {value: sum(seen[value, other] for other in values) for value in values}

    def apart(c: float, k: float) -> float:
        if scale == "nominal":
            return float(c != k)
        if scale == "ordinal":
            between = sum(n[g] for g in values if min(c, k) <= g <= max(c, k))
            return (between - (n[c] + n[k]) / 2) ** 2
        return (c - k) ** 2 if scale == "interval" else ((c - k) / (c + k or 1)) ** 2

    total = sum(n.values())
    observed = sum(seen[pair] * apart(*pair) for pair in seen)
    expected = sum(n[c] * n[k] * apart(c, k) for c, k in seen) / (total - 1)
    return 1 - observed / expected


@pytest.mark.parametrize(
    ("table", "scale", "value"),
    [
        (OBSERVERS, "nominal", 0.7434210526),
        (OBSERVERS, "ordinal", 0.8153875038),
        (OBSERVERS, "interval", 0.8491071429),
        (OBSERVERS, "ratio", 0.7974027747),
        (CODERS, "nominal", 0.6913580247),
        (CODERS, "ordinal", 0.8067214199),
        (CODERS, "interval", 0.8108448928),
        (CODERS, "ratio", 0.8089436708),
    ],
)
def test_alpha_equals_published_values(table, scale, value):
    assert krippendorff_alpha(table, scale).value == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(("table", "samples", "values"), [(OBSERVERS, 11, 40), (CODERS, 12, 26)])
def test_a_unit_with_one_value_takes_no_part(table, samples, values):
    found = krippendorff_alpha(table, "nominal")
    assert (found.samples, found.values) == (samples, values)


@pytest.mark.parametrize("scale", SCALES)
@given(seed=st.integers(0, 10_000))
def test_sums_of_squares_give_what_the_matrix_of_coincidences_gives(scale, seed):
    found = krippendorff_alpha(draw(seed), scale).value
    assert found == pytest.approx(by_coincidences(draw(seed), scale), abs=1e-9)


@given(st.integers(0, 10_000))
def test_only_the_order_counts_on_an_ordinal_scale(seed):
    one, other = (krippendorff_alpha(t, "ordinal") for t in (draw(seed), np.exp(draw(seed))))
    assert one.value == pytest.approx(other.value)


@given(st.integers(0, 10_000), st.floats(-50, 50), st.floats(0.1, 20))
def test_another_unit_changes_nothing_on_an_interval_scale(seed, shift, unit):
    one, other = (
        krippendorff_alpha(t, "interval") for t in (draw(seed), shift + unit * draw(seed))
    )
    assert one.value == pytest.approx(other.value, abs=1e-6)


@pytest.mark.parametrize("count", [150, pytest.param(400, marks=pytest.mark.long)])
@pytest.mark.parametrize("scale", SCALES)
def test_chance_alone_gives_nothing_on_average(scale, count):
    rng = np.random.default_rng(2011)
    tables = rng.integers(1, 6, (count, 4, 10)).astype(float)
    found = np.array([krippendorff_alpha(table, scale).value for table in tables])
    assert abs(found.mean()) < 4 * found.std() / count**0.5


def test_full_agreement_is_one_and_a_constant_assessor_is_below():
    assert krippendorff_alpha([[1, 2, 4], [1, 2, 4]], "interval").value == 1
    assert krippendorff_alpha([[1, 2, 4], [2, 2, 2]], "interval").value < 0.5


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize(
    ("table", "reason"),
    [
        ([[1, 2, 3]], NO_PAIR),
        ([[1, NO], [NO, 2]], NO_PAIR),
        ([[0.1, 0.1, 7], [0.1, 0.1, NO], [0.1, 0.1, NO]], ALL_EQUAL),
    ],
)
def test_alpha_has_a_reason_where_it_has_no_value(scale, table, reason):
    found = krippendorff_alpha(table, scale)
    assert (found.value, found.notes) == (None, (reason,))


@pytest.mark.parametrize(
    ("table", "scale", "told"),
    [
        ([[1, 2], [1, 2]], "metric", "scale must be one of nominal, .*, not 'metric'"),
        ([[1, -2], [1, 2]], "ratio", "0 or more on a ratio scale, not -2"),
        ([[NO, NO]], "nominal", "at least one value, not none"),
    ],
)
def test_what_has_no_alpha_is_refused(table, scale, told):
    with pytest.raises(ValueError, match=told):
        krippendorff_alpha(table, scale)


@pytest.mark.parametrize("table", [OBSERVERS, [[1, NO], [NO, 3]], [[5, 5], [5, 5]]])
def test_the_result_is_plain_data(table):
    found = dataclasses.asdict(krippendorff_alpha(table, "ordinal"))
    assert json.loads(json.dumps(found, allow_nan=False))
