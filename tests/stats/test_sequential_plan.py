import json
import math
from dataclasses import asdict
from decimal import Decimal, localcontext

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.sequential_plan import (
    DIFFERENCE,
    GO_ON,
    NO_DECISION,
    NO_DIFFERENCE,
    SequentialPlan,
    StopLimits,
    judge_count,
    log_ratios,
    nearer_high,
    plan_lines,
    stop_limits,
)

THIRD = 1 / 3
FIRST = SequentialPlan(THIRD, 2 / 3, 0.05, 0.1)

risks = st.floats(0.001, 0.4)
chances = st.sampled_from((1 / 2, 1 / 3, 1 / 6, 1 / 10))
shares = st.floats(0.02, 0.98)
plans = st.builds(
    lambda chance, share, alpha, beta: SequentialPlan(
        chance, chance + (1 - chance) * share, alpha, beta
    ),
    chances,
    shares,
    risks,
    risks,
)


@pytest.mark.parametrize(
    ("plan", "slope", "low", "high"),
    [
        (FIRST, 0.5, -1.6239637567, 2.0849625007),
        (SequentialPlan(THIRD, 0.5), 0.4150374993, -4.2479275134, 4.2479275134),
        (SequentialPlan(0.5, 0.75), 0.6309297536, -2.6801438592, 2.6801438592),
        (SequentialPlan(0.5, 0.7, 0.1, 0.1), 0.6028878953, -2.5932138862, 2.5932138862),
    ],
)
def test_the_lines_equal_computed_ones(plan, slope, low, high):
    # Computed independently; the slope of the first and its lines to 3 digits also from memory.
    assert plan_lines(plan) == pytest.approx((slope, low, high), abs=5e-11)


def test_the_lines_equal_those_of_a_handbook():
    # NIST/SEMATECH e-Handbook of Statistical Methods, sequential sampling plan for 1 % and 10 %
    # defective, alpha 0.05, beta 0.10: -0.939 + 0.0397 n and 1.205 + 0.0397 n; from memory.
    slope, low, high = plan_lines(SequentialPlan(0.01, 0.1, 0.05, 0.1))
    assert (low, high) == pytest.approx((-0.939, 1.205), abs=5e-4)
    assert slope == pytest.approx(0.0397, abs=5e-5)


@pytest.mark.parametrize(
    ("trials", "low", "high"), [(1, None, None), (2, None, 2), (19, None, 2), (21, None, 3)]
)
def test_the_counts_that_stop_equal_those_of_a_handbook(trials, low, high):
    # The same plan's table, from memory: 2 from the 2nd to the 20th item, then 3.
    assert stop_limits(SequentialPlan(0.01, 0.1, 0.05, 0.1), trials) == (low, high)


def test_a_line_rounded_in_print_misleads_by_one_answer():
    # At the 20th item the printed line gives 1.205 + 0.0397 x 20 = 1.999, so 2 items;
    # unrounded it is 2.0003, so that 2 are too few.
    slope, _, high = plan_lines(SequentialPlan(0.01, 0.1, 0.05, 0.1))
    assert high + 20 * slope == pytest.approx(2.0003, abs=5e-5)
    assert stop_limits(SequentialPlan(0.01, 0.1, 0.05, 0.1), 20).high == 3


def test_the_first_count_that_accepts_equals_that_of_a_handbook():
    # The same table, from memory: 0 from the 24th item on.
    plan = SequentialPlan(0.01, 0.1, 0.05, 0.1)
    assert [stop_limits(plan, trials).low for trials in (23, 24)] == [None, 0]


@pytest.mark.parametrize(
    ("trials", "low", "high"),
    [
        (3, None, None),
        (4, 0, None),
        (5, 0, 5),
        (6, 1, 6),
        (8, 2, 7),
        (10, 3, 8),
        (12, 4, 9),
        (15, 5, 10),
        (20, 8, 13),
        (30, 13, 18),
    ],
)
def test_the_counts_that_stop_equal_computed_ones(trials, low, high):
    # Chance 1/3, planned 2/3, alpha 0.05, beta 0.1; computed independently.
    assert stop_limits(FIRST, trials) == StopLimits(low, high)


def test_a_count_exactly_on_a_line_stops():
    # Chance 1/3, planned 2/3: likelihood ratio 2^(2x - n); 16 = 2^4 at alpha 0.05, beta 0.2,
    # so x = n/2 + 2 is on the line for every even n.
    plan = SequentialPlan(THIRD, 2 / 3, 0.05, 0.2)
    assert [stop_limits(plan, n).high for n in range(4, 4000, 2)] == list(range(4, 2002))


@given(plans, st.integers(1, 500), st.data())
def test_a_count_stops_where_the_likelihood_ratio_says(plan, trials, data):
    # Wald's rule itself: the ratio of likelihoods against (1 - beta)/alpha and beta/(1 - alpha).
    correct = data.draw(st.integers(0, trials))
    right, wrong = math.log(plan.p_correct / plan.chance), math.log(1 - plan.p_correct)
    wrong -= math.log(1 - plan.chance)
    log_ratio = correct * right + (trials - correct) * wrong
    upper = math.log((1 - plan.beta) / plan.alpha)
    lower = math.log(plan.beta / (1 - plan.alpha))
    if min(abs(log_ratio - upper), abs(log_ratio - lower)) < 1e-6:
        return  # too near to a line for floating point
    expected = GO_ON if lower < log_ratio < upper else DIFFERENCE
    assert judge_count(plan, correct, trials) == (NO_DIFFERENCE if log_ratio < lower else expected)


@given(plans, st.integers(1, 2000))
def test_the_counts_that_stop_never_cross_and_never_fall(plan, trials):
    now, then = stop_limits(plan, trials), stop_limits(plan, trials + 1)
    low, high = [-1 if x.low is None else x.low for x in (now, then)], [now.high, then.high]
    assert low[0] <= low[1] <= low[0] + 1
    assert now.low is None or now.high is None or now.low < now.high
    assert None in high or high[0] <= high[1] <= high[0] + 1


@given(plans)
def test_the_slope_lies_between_guessing_and_the_planned_probability(plan):
    assert plan.chance < plan_lines(plan).slope < plan.p_correct


@given(chances, shares, risks)
def test_equal_risks_give_lines_that_mirror_each_other(chance, share, risk):
    plan = SequentialPlan(chance, chance + (1 - chance) * share, risk, risk)
    lines = plan_lines(plan)
    assert lines.low == pytest.approx(-lines.high)


def test_what_an_answer_adds_is_the_log_of_a_ratio():
    plan = SequentialPlan(0.5, 0.75)
    assert log_ratios(plan) == pytest.approx((math.log(1.5), math.log(2)))


@pytest.mark.parametrize(
    ("at_cap", "correct", "decision"),
    [
        ("no decision", 8, NO_DECISION),
        ("nearer line", 9, DIFFERENCE),
        ("nearer line", 8, NO_DIFFERENCE),
        ("nearer line", 7, NO_DIFFERENCE),
    ],
    ids=["no rule", "above", "midway", "below"],
)
def test_at_the_cap_the_stated_rule_decides(at_cap, correct, decision):
    plan = SequentialPlan(THIRD, 2 / 3, cap=16, at_cap=at_cap)
    assert judge_count(plan, correct, 16) == decision
    assert judge_count(plan, correct, 15) == GO_ON


@given(plans, st.integers(1, 500))
def test_the_nearer_line_is_the_nearer_one(plan, trials):
    lines = plan_lines(plan)
    high = nearer_high(plan, trials)
    above, below = high, high - 1
    at = lines.slope * trials
    assert lines.high + at - above < above - (lines.low + at)
    assert lines.high + at - below >= below - (lines.low + at) - 1e-8


def test_a_small_share_far_out_keeps_its_digits():
    # The same lines by 50-digit logarithms.
    p0, p1 = Decimal(THIRD), Decimal(THIRD + 1e-4)
    with localcontext(prec=50):
        scale = (p1 * (1 - p0) / (p0 * (1 - p1))).ln()
        slope, high = ((1 - p0) / (1 - p1)).ln() / scale, Decimal(19).ln() / scale
    lines = plan_lines(SequentialPlan(THIRD, THIRD + 1e-4))
    assert (lines.slope, lines.high) == pytest.approx((float(slope), float(high)), rel=1e-11)


def test_a_plan_becomes_strict_json():
    members = json.loads(json.dumps(asdict(FIRST), allow_nan=False))
    assert list(members) == ["chance", "p_correct", "alpha", "beta", "block", "cap", "at_cap"]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"chance": 0.0}, "chance must be above 0 and below 1, not 0.0"),
        ({"p_correct": 1.0}, "p_correct must be above 0 and below 1, not 1.0"),
        ({"p_correct": 0.3}, r"p_correct must be above chance \(0.3333\), not 0.3"),
        ({"alpha": 0.0}, "alpha .* not 0.0"),
        ({"beta": math.nan}, "beta .* not nan"),
        ({"alpha": 0.5, "beta": 0.5}, "alpha and beta must together be below 1, not 0.5 and 0.5"),
        ({"block": 0}, "block must be a whole number from 1 to 1,000,000, not 0"),
        ({"cap": 1.5}, "cap must be a whole number from 1 to 1,000,000, not 1.5"),
        ({"cap": 10, "block": 4}, r"cap must be a multiple of block \(4\), not 10"),
        ({"at_cap": "toss"}, "at_cap must be no decision or nearer line, not toss"),
    ],
)
def test_impossible_plans_are_refused_by_name_and_value(arguments, message):
    with pytest.raises(ValueError, match=message):
        SequentialPlan(**{"chance": THIRD, "p_correct": 2 / 3, **arguments})


def test_no_number_of_answers_is_refused():
    with pytest.raises(ValueError, match=r"trials must be .* not 0"):
        stop_limits(FIRST, 0)
