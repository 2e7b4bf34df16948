"""A difference measured in added water, against the curve of the triangle test itself."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, optimize, stats

from server.stats.distance_likelihood import Counts
from server.stats.forced_choice import THREE_AFC
from server.stats.ruler import (
    ALL_CORRECT,
    BEYOND,
    MARKS_ALL_CORRECT,
    MARKS_UNNOTICED,
    NO_UPPER,
    STRAIGHT,
    Mark,
    draw_line,
    measure_by_dilution,
)
from server.stats.thurstone import TRIANGLE


def count(correct: int, trials: int = 60, name: str = "test") -> Counts:
    return Counts(name, TRIANGLE, correct, trials)


def mark(percent: float, correct: int, trials: int = 60) -> Mark:
    return Mark(percent, count(correct, trials, f"{percent} %"))


Z = np.linspace(0, 12, 4001)


def triangle_pc(d: float) -> float:
    """The triangle's integral (Ura 1960, from memory) by a general library."""
    s = d * np.sqrt(2 / 3)
    sides = stats.norm.cdf(-Z * np.sqrt(3) + s) + stats.norm.cdf(-Z * np.sqrt(3) - s)
    return float(2 * integrate.simpson(sides * stats.norm.pdf(Z), x=Z))


# Everything by another route: the triangle's integral, and a general optimiser.
def test_estimate_and_limits_are_those_of_a_general_optimiser() -> None:
    test, dilutions = (33, 60), ((8.0, 30, 60), (16.0, 44, 60))

    def lost(slope: float, percent: float) -> float:
        terms = [(k, n, triangle_pc(slope * x)) for x, k, n in dilutions]
        terms.append((*test, triangle_pc(slope * percent)))
        return -sum(k * np.log(p) + (n - k) * np.log1p(-p) for k, n, p in terms)

    best = optimize.minimize(lambda v: lost(*np.exp(v)), np.log([0.1, 10]), method="Nelder-Mead",
                             options={"xatol": 1e-7, "fatol": 1e-10})  # fmt: skip
    found = measure_by_dilution(count(33), [mark(8.0, 30), mark(16.0, 44)])
    assert found.percent == pytest.approx(np.exp(best.x[1]), rel=1e-4)
    assert found.interval is not None
    for limit in found.interval:
        assert limit is not None
        at_limit = optimize.minimize_scalar(
            lambda v, x=limit: lost(np.exp(v), x), bounds=(-6, 1), method="bounded"
        )
        assert 2 * (at_limit.fun - best.fun) == pytest.approx(stats.chi2.ppf(0.95, 1), abs=1e-3)


def test_as_many_right_answers_as_a_dilution_gives_are_worth_that_dilution() -> None:
    found = measure_by_dilution(count(40), [mark(12.0, 40)])
    assert found.percent == pytest.approx(12)
    assert found.notes == (STRAIGHT,)


@given(st.integers(25, 55), st.integers(25, 55), st.floats(1, 20), st.floats(0.1, 10))
def test_another_unit_of_dilution_changes_nothing_but_the_unit(
    test: int, right: int, percent: float, factor: float
) -> None:
    one = measure_by_dilution(count(test), [mark(percent, right)])
    other = measure_by_dilution(count(test), [mark(percent * factor, right)])
    assert other.percent == pytest.approx(one.percent * factor, rel=1e-6)


@given(st.integers(0, 59), st.integers(24, 58))
def test_more_right_answers_are_worth_no_less_water(test: int, right: int) -> None:
    one, more = (measure_by_dilution(count(k), [mark(10, right)]).percent for k in (test, test + 1))
    assert more is None or (one is not None and one <= more)


def test_a_test_at_chance_is_worth_no_water_but_has_an_upper_limit() -> None:
    found = measure_by_dilution(count(20), [mark(10, 45), mark(20, 58)])
    assert (found.percent, found.interval.low if found.interval else None) == (0.0, 0.0)
    assert found.interval is not None
    assert found.interval.high is not None


def test_a_test_all_right_has_only_a_lower_limit() -> None:
    found = measure_by_dilution(count(60), [mark(10, 45)])
    assert found.percent is None
    assert found.notes[0] == ALL_CORRECT
    assert found.interval is not None
    assert found.interval.high is None


def test_dilutions_hardly_noticed_set_no_upper_limit() -> None:
    found = measure_by_dilution(count(45), [mark(10, 23)])
    assert found.interval is not None
    assert found.interval.high is None
    assert set(found.notes) == {NO_UPPER, BEYOND, STRAIGHT}


@pytest.mark.parametrize(
    ("right", "note"), [(20, MARKS_UNNOTICED), (12, MARKS_UNNOTICED), (60, MARKS_ALL_CORRECT)]
)
def test_a_ruler_without_marks_measures_nothing(right: int, note: str) -> None:
    found = measure_by_dilution(count(40), [mark(10, right)])
    assert (found.percent, found.interval, found.notes) == (None, None, (note,))


def test_a_ruler_that_is_not_straight_is_told_by_its_fit() -> None:
    bent = measure_by_dilution(count(40), [mark(5, 21), mark(10, 21), mark(15, 58)])
    straight = measure_by_dilution(count(40), [mark(5, 26), mark(10, 36), mark(15, 46)])
    assert bent.fit is not None
    assert straight.fit is not None
    assert bent.fit.p_value < 0.001 < 0.3 < straight.fit.p_value


def test_tests_of_another_method_are_compared_by_their_distance() -> None:
    test = Counts("caddy", THREE_AFC, 45, 60)
    found = measure_by_dilution(test, [mark(10, 45)])
    assert found.percent == pytest.approx(10 * THREE_AFC.d_prime(0.75) / TRIANGLE.d_prime(0.75))


# 95 % limits of a true 10 %: 200 panels drawn at d' = .12 for each percent; the limits hold it
# 190 times on average, standard deviation 3.1.
@pytest.mark.long
def test_the_limits_hold_the_truth_as_often_as_they_say() -> None:
    rng = np.random.default_rng(11)
    held = 0
    for _ in range(200):
        draws = [rng.binomial(72, TRIANGLE.pc(0.12 * x)) for x in (10.0, 8.0, 16.0)]
        found = measure_by_dilution(
            count(int(draws[0]), 72),
            [mark(8.0, int(draws[1]), 72), mark(16.0, int(draws[2]), 72)],
        )
        low, high = found.interval or (0.0, None)
        held += low <= 10 and (high is None or high >= 10)
    assert 180 <= held <= 200


@pytest.mark.parametrize(
    ("marks", "message"),
    [
        ([], "at least one"),
        ([mark(0.0, 40)], "percent must be above 0"),
        ([mark(10.0, 40), mark(10.0, 30)], "every dilution once"),
        ([mark(10.0, 70)], "correct"),
    ],
)
def test_marks_that_make_no_ruler_are_refused(marks: list[Mark], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        measure_by_dilution(count(40), marks)


# By another route again: the triangle's integral, and a general root finder.
def test_limits_of_the_line_are_where_the_likelihood_has_fallen() -> None:
    dilutions = ((8.0, 30, 60), (16.0, 44, 60))

    def lost(slope: float) -> float:
        terms = [(k, n, triangle_pc(slope * x)) for x, k, n in dilutions]
        return -sum(k * np.log(p) + (n - k) * np.log1p(-p) for k, n, p in terms)

    best = optimize.minimize_scalar(lost, bounds=(0.01, 1), method="bounded")
    line = draw_line([mark(8.0, 30), mark(16.0, 44)])
    assert line.slope == pytest.approx(best.x, rel=1e-4)
    for limit in line.limits:
        assert limit is not None
        assert 2 * (lost(limit) - best.fun) == pytest.approx(stats.chi2.ppf(0.95, 1), abs=1e-3)


def test_a_line_of_right_answers_alone_has_a_lower_limit_and_no_slope() -> None:
    line = draw_line([mark(10.0, 60)])
    assert (line.slope, line.limits.high, line.fit) == (None, None, None)
    assert line.limits.low > 0


def test_one_dilution_by_two_methods_is_two_marks() -> None:
    other = Mark(10.0, Counts("10 %", THREE_AFC, 52, 60))
    line = draw_line([mark(10.0, 40), other])
    assert line.fit is not None
    assert line.fit.df == 1
    assert STRAIGHT in measure_by_dilution(count(40), [mark(10.0, 40), other]).notes
