import dataclasses
import json
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats import threshold
from server.stats.series import Answer, Step
from server.stats.threshold import expect_luck, find_best_estimate, find_best_estimates

# Made-up answers of eight assessors at five concentrations (1 = correct). The best
# estimates follow from the rule of ASTM E679 and ISO 13301 (rule from memory; the
# standards' own example data were not at hand) and were recomputed by hand.
SERIES = [1, 3, 9, 27, 81]
ROWS = ["00111", "01111", "10011", "00001", "11111", "00010", "01011", "00111"]
BEST = [5.196152, 1.732051, 15.588457, 46.765372, 0.577350, 140.296115, 15.588457, 5.196152]


def find(rows, series=SERIES, **options):
    answers = [
        Answer(f"assessor {number}", concentration, int(mark))
        for number, row in enumerate(rows, start=1)
        for concentration, mark in zip(series, row, strict=True)
        if mark in "01"
    ]
    return find_best_estimates(answers, **options)


def find_one(row, series=SERIES):
    return find([row], series).estimates[0]


@pytest.mark.parametrize(("row", "best"), list(zip(ROWS, BEST, strict=True)))
def test_a_best_estimate_lies_half_way_from_the_last_miss_to_the_next_step(row, best):
    assert find_one(row).threshold == pytest.approx(best, abs=5e-7)


def test_the_group_has_the_geometric_mean_and_the_spread_of_logarithms():
    found = find(ROWS)
    assert found.threshold == pytest.approx(9, rel=1e-12)
    assert (found.mean_log, found.sd_log) == pytest.approx((0.9542425094, 0.7650961145), abs=5e-11)


def test_a_remembered_group_mean_comes_back_as_a_concentration():
    # Lawless & Heymann (2010), chapter 6, from memory: mean log10 1.149 is 14.093
    # there; 14.0929 recomputed.
    steps = (10**0.149, 10**2.149)
    assert find(["01"], steps).threshold == pytest.approx(14.0929, abs=5e-5)


@pytest.mark.parametrize(
    ("row", "past", "guesses"),
    [("11111", "below", 0), ("11110", "above", 4), ("00000", "above", 0), ("10011", "", 1)],
)
def test_estimates_past_the_ends_and_guesses_are_told(row, past, guesses):
    found = find_one(row)
    assert (found.past, found.guesses) == (past, guesses)


def test_past_unequal_ends_half_a_step_is_half_of_the_step_at_that_end():
    series = [1, 4, 8]
    assert find_one("111", series).threshold == pytest.approx(1 / 2)
    assert find_one("110", series).threshold == pytest.approx(8 * math.sqrt(2))


@pytest.mark.parametrize(("series", "told"), [([1, 4, 8], True), ([0.33, 1, 3], False)])
def test_unequal_steps_are_told_but_not_those_of_rounded_numbers(series, told):
    assert (threshold.UNEQUAL_STEPS in find(["011"], series).notes) is told


def test_what_an_assessor_left_out_is_bridged_and_told():
    found = find(["0-011", "00111"])
    assert found.estimates[0].left_out == (3,)
    assert found.estimates[0].threshold == pytest.approx(math.sqrt(9 * 27))
    assert threshold.LEFT_OUT in found.notes


def test_one_concentration_gives_no_estimate_and_leaves_the_group_alone():
    found = find(["1----", "00111", "01111"])
    assert (found.estimates[0].threshold, found.estimated) == (None, 2)
    assert found.threshold == pytest.approx(3)
    assert threshold.ONE_STEP in found.notes


def test_nobody_with_a_step_gives_no_group_threshold():
    found = find(["1", "0"], [5])
    assert (found.threshold, found.mean_log, found.sd_log) == (None, None, None)
    assert threshold.NO_ESTIMATE in found.notes


def test_one_assessor_gives_no_spread():
    found = find(["00111"])
    assert (found.sd_log, found.threshold_interval) == (None, None)
    assert threshold.ONE_ESTIMATE in found.notes


def test_equal_estimates_give_a_spread_of_zero_and_no_limits():
    found = find(["00111"] * 3)
    assert (found.sd_log, found.threshold_interval) == (0, None)
    assert threshold.NO_SPREAD in found.notes


def test_a_step_with_several_answers_is_correct_if_all_are():
    answers = [Answer("ann", 1, 1), Answer("ann", 1, 0), Answer("ann", 4, 2, 2)]
    found = find_best_estimates(answers)
    assert found.threshold == pytest.approx(2)
    assert threshold.SEVERAL_ANSWERS in found.notes


@pytest.mark.parametrize("level", [0.8, 0.95])
def test_limits_of_the_group_are_those_of_a_general_library(level):
    logs = [math.log10(best) for best in BEST]
    wanted = stats.ttest_1samp(logs, 0).confidence_interval(level)
    assert find(ROWS, level=level).threshold_interval == pytest.approx(
        (10**wanted.low, 10**wanted.high), rel=1e-5
    )


def test_past_the_ends_is_counted():
    found = find(ROWS)
    assert (found.past_below, found.past_above) == (1, 1)
    assert threshold.PAST_THE_ENDS in found.notes


def test_results_are_strict_json():
    for found in (find(ROWS), find(["1"], [5])):
        json.dumps(dataclasses.asdict(found), allow_nan=False)


@given(st.permutations(range(5)), st.text("01", min_size=5, max_size=5))
def test_the_order_of_rows_changes_nothing(order, row):
    steps = [Step(SERIES[i], int(row[i]), 1) for i in order]
    assert find_best_estimate("ann", steps) == dataclasses.replace(find_one(row), assessor="ann")


@given(st.text("01", min_size=5, max_size=5), st.floats(1e-3, 1e3))
def test_another_unit_changes_the_number_alone(row, factor):
    other = find_one(row, [factor * one for one in SERIES])
    assert other.threshold == pytest.approx(factor * find_one(row).threshold, rel=1e-9)


@given(st.text("01", min_size=5, max_size=5), st.integers(0, 4))
def test_a_correct_answer_instead_of_a_miss_never_raises_the_estimate(row, place):
    better = row[:place] + "1" + row[place + 1 :]
    assert find_one(better).threshold <= find_one(row).threshold


@pytest.mark.parametrize("people", [1000, pytest.param(4000, marks=pytest.mark.long)])
@pytest.mark.parametrize("chance", [1 / 3, 1 / 2])
def test_guessing_lowers_best_estimates_by_the_luck_that_is_expected(chance, people):
    # Simulated assessors who notice steps 6 to 8 and guess at steps 1 to 5: without
    # guessing, their estimate would lie half way from step 5 to step 6.
    rng = np.random.default_rng(679)
    correct = np.column_stack([rng.random((people, 5)) < chance, np.ones((people, 3), bool)])
    rows = ["".join(map(str, row)) for row in correct.astype(int)]
    found = find(rows, [2.0**step for step in range(1, 9)])
    lowered = 5.5 - found.mean_log / math.log10(2)
    error = found.sd_log / math.log10(2) / math.sqrt(people)
    assert lowered == pytest.approx(expect_luck(chance, 5), abs=4 * error)


def test_luck_of_a_long_series_is_the_sum_of_all_powers_of_chance():
    assert expect_luck(1 / 3, 200) == pytest.approx(1 / 2)
    assert expect_luck(1 / 3, 0) == 0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: find_best_estimates([]), "answers must hold at least one answer"),
        (lambda: find(["1"], [0]), "concentration must be above 0, .* not 0"),
        (lambda: find(ROWS, level=1.0), "level must be above 0 and below 1, not 1.0"),
        (lambda: find(ROWS, chance=0.0), "chance must be above 0 and below 1, not 0.0"),
        (lambda: find_best_estimate("ann", []), "steps must hold at least one step"),
        (lambda: expect_luck(0.5, -1), "steps must be 0 or more, not -1"),
    ],
)
def test_impossible_input_is_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()
