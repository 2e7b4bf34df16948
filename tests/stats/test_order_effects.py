"""Checked against a general linear-model library, with made-up truth, and by simulation."""

import dataclasses
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.regression.linear_model import OLS

from server.stats import order_effects
from server.stats.order_effects import CARRY_OVER, DRIFT, POSITION, SITTING, analyse_order
from server.stats.ratings import build_ratings

# Four samples in four orders: every sample once in every position, every pair of neighbours once.
ORDERS = np.array([[0, 1, 3, 2], [1, 2, 0, 3], [2, 3, 1, 0], [3, 0, 2, 1]])


@dataclasses.dataclass
class Served:
    """Cups in the order they were tasted in, all columns of one length."""

    assessor: np.ndarray
    sample: np.ndarray
    position: np.ndarray
    sitting: np.ndarray
    before: np.ndarray

    def analyse(self, values: np.ndarray, kept: np.ndarray | None = None):
        kept = np.ones(len(values), dtype=bool) if kept is None else kept
        ratings = build_ratings(
            [f"a{i:02}" for i in self.assessor[kept]],
            [f"s{j}" for j in self.sample[kept]],
            values[kept].tolist(),
        )
        return analyse_order(ratings, self.position[kept], self.sitting[kept])


def serve(assessors: int, sittings: int, rng: np.random.Generator | None = None) -> Served:
    """Serve four samples in balanced orders, or in random ones if `rng` is given."""
    rows = []
    for person in range(assessors):
        for sitting in range(sittings):
            order = ORDERS[(person + sitting) % 4] if rng is None else rng.permutation(4)
            before = [-1, *order[:-1]]
            rows += [(person, order[p], p + 1, sitting + 1, before[p]) for p in range(4)]
    return Served(*np.array(rows).T)


def mark(places: np.ndarray, skip: int = 1) -> np.ndarray:
    return (places[:, None] == np.unique(places[places >= 0])[skip:]).astype(float)


def compare_models(values: np.ndarray, less: list[np.ndarray], added: np.ndarray):
    ones = np.ones((len(values), 1))
    small = OLS(values, np.column_stack([ones, *less])).fit()
    return OLS(values, np.column_stack([ones, *less, added])).fit().compare_f_test(small)


@pytest.fixture
def served() -> Served:
    return serve(assessors=6, sittings=1, rng=np.random.default_rng(1))


@pytest.fixture
def values() -> np.ndarray:
    return np.random.default_rng(2).normal(5, 1, size=24)


def test_the_position_is_tested_with_assessor_and_sample_taken_out(served, values):
    found = served.analyse(values).position.test
    less = [mark(served.assessor), mark(served.sample)]
    f, p, _ = compare_models(values, less, mark(served.position))
    assert (found.f, found.p_value) == pytest.approx((f, p))
    assert found.df == (3, 12)


def test_the_carry_over_is_tested_with_the_position_taken_out_too(served, values):
    found = served.analyse(values).carry_over.test
    less = [mark(served.assessor), mark(served.sample), mark(served.position)]
    f, p, _ = compare_models(values, less, mark(served.before))
    assert (found.f, found.p_value) == pytest.approx((f, p))
    assert found.df == (3, 9)


def test_sittings_are_tested_with_cells_and_positions_taken_out_where_all_were_repeated():
    served = serve(4, 3, np.random.default_rng(3))
    values = np.random.default_rng(4).normal(size=48)
    found = served.analyse(values)
    less = [mark(4 * served.assessor + served.sample), mark(served.position)]
    f, p, _ = compare_models(values, less, mark(served.sitting))
    assert found.repeats
    assert (found.sitting.test.f, found.sitting.test.p_value) == pytest.approx((f, p))


def test_drift_is_the_straight_line_over_sittings():
    served = serve(4, 3, np.random.default_rng(3))
    values = np.random.default_rng(4).normal(size=48)
    found = served.analyse(values).drift
    less = [mark(4 * served.assessor + served.sample), mark(served.position)]
    line = served.sitting[:, None].astype(float)
    f, p, _ = compare_models(values, less, line)
    fitted = OLS(values, np.column_stack([np.ones(48), *less, line])).fit()
    assert (found.test.f, found.test.p_value) == pytest.approx((f, p))
    assert found.slope == pytest.approx(fitted.params[-1])


def test_known_effects_come_back():
    served = serve(8, 1)
    first, after = np.array([1.5, -0.5, -0.5, -0.5]), np.array([2.0, 0, -1, -1])
    noise = np.random.default_rng(5).normal(0, 1e-6, size=32)
    carried = np.where(served.before < 0, 0, after[served.before])
    values = 5 + served.assessor + 2 * served.sample + first[served.position - 1] + carried + noise
    found = served.analyse(values)
    assert list(found.carry_over.effects.values()) == pytest.approx(after.tolist(), abs=1e-4)
    assert found.carry_over.test.p_value < 1e-9


def test_effects_of_position_are_not_shifted_by_levels_and_samples():
    served, truth = serve(8, 1), np.array([1.5, -0.5, -0.5, -0.5])
    values = served.assessor**2 - 3.0 * served.sample + truth[served.position - 1]
    noise = np.random.default_rng(6).normal(0, 1e-6, size=32)
    found = served.analyse(values + noise).position
    assert list(found.effects) == ["1", "2", "3", "4"]
    assert list(found.effects.values()) == pytest.approx(truth.tolist(), abs=1e-4)


def test_a_known_drift_comes_back():
    served = serve(4, 4)
    noise = np.random.default_rng(7).normal(0, 1e-6, size=64)
    found = served.analyse(0.25 * served.sitting + served.sample + noise)
    assert found.drift.slope == pytest.approx(0.25, abs=1e-5)
    assert list(found.sitting.effects.values()) == pytest.approx(
        [-0.375, -0.125, 0.125, 0.375], abs=1e-4
    )


def test_the_result_is_plain_data(served, values):
    found = served.analyse(values)
    assert json.loads(json.dumps(dataclasses.asdict(found), allow_nan=False))["repeats"] is False


def test_the_order_of_the_rows_does_not_matter():
    served = serve(4, 2, np.random.default_rng(8))
    values = np.random.default_rng(9).normal(size=32)
    shuffled = np.random.default_rng(10).permutation(32)
    columns = [getattr(served, field.name)[shuffled] for field in dataclasses.fields(Served)]
    one, other = served.analyse(values), Served(*columns).analyse(values[shuffled])
    assert other.carry_over.test.f == pytest.approx(one.carry_over.test.f)


def test_one_order_for_all_tells_no_position_from_the_samples():
    served = serve(5, 1)
    served.sample = np.tile(np.arange(4), 5)
    found = served.analyse(np.random.default_rng(11).normal(size=20))
    assert (found.position.test, found.carry_over.test) == (None, None)
    confounded = order_effects.CONFOUNDED
    assert {confounded.format(POSITION), confounded.format(CARRY_OVER)} <= set(found.notes)


def test_one_sitting_has_nothing_to_drift_over(served, values):
    found = served.analyse(values)
    assert (found.sitting.test, found.drift.test, found.drift.slope) == (None, None, None)
    assert found.notes == (order_effects.ONE_SITTING,)


def test_one_cup_a_sitting_has_no_position():
    ratings = build_ratings(list("aabbcc"), list("XYYXXY"), [1, 3, 4, 2, 2, 5])
    found = analyse_order(ratings, [1] * 6, [1, 2] * 3)
    assert (found.position.test, found.carry_over.test) == (None, None)
    assert order_effects.ONE_POSITION in found.notes
    assert found.drift.test.df == (1, 1)


def test_cups_after_a_missing_value_are_left_out_of_the_carry_over_only(served, values):
    kept = np.ones(24, dtype=bool)
    kept[[1, 6]] = False  # second of the first assessor, third of the second
    found = served.analyse(values, kept)
    assert order_effects.UNKNOWN.format(2) in found.notes
    assert found.position.test.df == (3, 10)
    assert found.carry_over.test.df[1] == found.position.test.df[1] - 2 - 3


def test_too_few_values_leave_no_error():
    ratings = build_ratings(list("aabb"), list("XYYX"), [1, 3, 4, 2])
    found = analyse_order(ratings, [1, 2, 1, 2])
    assert (found.position.test, found.carry_over.test) == (None, None)
    assert order_effects.NO_FREEDOM.format(POSITION) in found.notes


def test_values_without_error_have_no_f():
    served = serve(4, 2)
    found = served.analyse(2.0 * served.sample + served.assessor)
    assert (found.position.test, found.sitting.test) == (None, None)
    assert {order_effects.NO_ERROR.format(what) for what in (POSITION, SITTING, DRIFT)} <= set(
        found.notes
    )


def test_differences_that_the_design_tells_only_in_part_have_no_effects():
    # Two samples always first and second, two always third and fourth.
    served = serve(6, 1)
    flip = np.array([[0, 1, 2, 3], [1, 0, 3, 2], [0, 1, 3, 2]])
    served.sample = np.concatenate([flip[person % 3] for person in range(6)])
    found = served.analyse(np.random.default_rng(12).normal(size=24))
    assert (found.position.test.df[0], found.position.effects) == (2, None)
    assert order_effects.PARTLY.format(POSITION) in found.notes


@given(st.integers(0, 10_000))
def test_levels_of_assessors_and_samples_change_nothing(seed):
    rng = np.random.default_rng(seed)
    served, values = serve(5, 2, rng), rng.normal(size=40)
    moved = values + rng.normal(0, 9, size=5)[served.assessor] + rng.normal(size=4)[served.sample]
    one, other = served.analyse(values), served.analyse(moved)
    assert other.position.test.f == pytest.approx(one.position.test.f, rel=1e-6)
    assert other.drift.test.f == pytest.approx(one.drift.test.f, rel=1e-6)


@pytest.mark.parametrize(
    ("positions", "sittings", "message"),
    [
        ([1, 2], None, r"positions must be as many as values \(3\), not 2"),
        ([1, 2, 1], [1], r"sittings must be as many as values \(3\), not 1"),
        ([0, 1, 1], None, "positions must be 1 or more, not 0"),
        ([1, 1, 1], None, "'ann' has 2 values at position 1 of sitting 1"),
    ],
)
def test_bad_orders_are_refused(positions, sittings, message):
    ratings = build_ratings(["ann", "ann", "bo"], ["X", "Y", "X"], [1, 2, 3])
    with pytest.raises(ValueError, match=message):
        analyse_order(ratings, positions, sittings)


def count_alarms(panels: int, sittings: int, crossed: float) -> np.ndarray:
    """Panels of 6 in which no effect was there and one was found: position, carry-over, drift."""
    rng, alarms = np.random.default_rng(2014), np.zeros(3)
    for _ in range(panels):
        served = serve(6, sittings, rng)
        cells = rng.normal(0, crossed, size=(6, 4)) + rng.normal(size=(6, 1)) + [[0, 1, 2, 3]]
        values = cells[served.assessor, served.sample] + rng.normal(size=len(served.sample))
        found = served.analyse(values)
        tests = found.position.test, found.carry_over.test, found.drift.test
        alarms += [test is not None and test.p_value <= 0.05 for test in tests]
    return alarms / panels


@pytest.mark.parametrize("sittings", [1, 2])
def test_the_risk_of_a_false_alarm_is_the_level(sittings):
    # 2 to 21 of 200 panels; a chance of two in a thousand that a right test fails this.
    least, most = stats.binom.interval(0.998, 200, 0.05)
    alarms = 200 * count_alarms(200, sittings, crossed=1.0)[: 1 + sittings]
    assert least <= alarms.min() <= alarms.max() <= most


@pytest.mark.long
@pytest.mark.parametrize("sittings", [1, 2, 3])
def test_the_risk_of_a_false_alarm_is_the_level_in_many_panels(sittings):
    rates = count_alarms(5000, sittings, crossed=2.0)[: 1 + sittings]
    assert np.abs(rates - 0.05).max() < 4 * (0.05 * 0.95 / 5000) ** 0.5
