import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from server.stats.operating import evaluate_plan
from server.stats.sequential_plan import SequentialPlan, log_ratios, plan_lines
from server.stats.wald import approximate_plan

THIRD = 1 / 3
FIRST = SequentialPlan(THIRD, 2 / 3, 0.05, 0.1)

plans = st.builds(
    SequentialPlan,
    st.sampled_from((1 / 2, 1 / 3, 1 / 10)),
    st.floats(0.55, 0.95),
    st.floats(0.01, 0.3),
    st.floats(0.01, 0.3),
)


@pytest.mark.parametrize(
    ("p0", "p1", "beta", "trials"),
    [
        (THIRD, 2 / 3, 0.1, (8.631105, 10.284419)),
        (THIRD, 1 / 2, 0.05, (46.792409, 44.997908)),
        (1 / 2, 3 / 4, 0.05, (18.423081, 20.258037)),
    ],
)
def test_mean_numbers_equal_computed_ones(p0, p1, beta, trials):
    # Alpha 0.05; Wald's formula, computed independently.
    found = approximate_plan(SequentialPlan(p0, p1, 0.05, beta), [p0, p1])
    assert [x.expected_trials for x in found] == pytest.approx(trials, abs=5e-7)


def test_the_mean_number_on_the_slope_equals_a_computed_one():
    # Chance 1/3, planned 2/3, so a slope of exactly 0.5; computed independently.
    (found,) = approximate_plan(FIRST, [0.5])
    assert found.expected_trials == pytest.approx(13.543614, abs=5e-7)


@given(plans)
def test_at_both_ends_the_risks_are_the_nominal_ones(plan):
    guessing, noticing = approximate_plan(plan, [plan.chance, plan.p_correct])
    assert guessing.no_difference == pytest.approx(1 - plan.alpha, rel=1e-9)
    assert noticing.no_difference == pytest.approx(plan.beta, rel=1e-9)


@pytest.mark.parametrize("p", [0.05, 0.2, 0.4, 0.5, 0.8, 0.95])
def test_the_probability_follows_from_the_root_of_walds_equation(p):
    # The root by scipy.optimize.brentq, the probability from the formula as Wald writes it.
    plan = SequentialPlan(THIRD, 0.5, 0.05, 0.1)
    right, wrong = log_ratios(plan)
    near = -1 if p > plan_lines(plan).slope else 1
    root = optimize.brentq(
        lambda t: p * math.exp(t * right) + (1 - p) * math.exp(-t * wrong) - 1,
        0.01 * near,
        30 * near,
        xtol=1e-14,
    )
    upper, lower = (0.9 / 0.05) ** root, (0.1 / 0.95) ** root
    (found,) = approximate_plan(plan, [p])
    assert found.no_difference == pytest.approx((upper - 1) / (upper - lower), rel=1e-9)


def test_near_the_slope_nothing_jumps():
    slope = plan_lines(SequentialPlan(THIRD, 0.5)).slope
    steps = [slope + gap for gap in (-1e-6, -1e-8, -1e-10, 0, 1e-10, 1e-8, 1e-6)]
    found = approximate_plan(SequentialPlan(THIRD, 0.5), steps)
    assert [x.no_difference for x in found] == pytest.approx([0.5] * 7, abs=1e-5)
    assert [x.expected_trials for x in found] == pytest.approx([74.325670] * 7, rel=1e-5)


@given(plans, st.floats(0, 1), st.floats(0, 1))
def test_more_right_answers_end_less_often_below(plan, one, other):
    few, many = approximate_plan(plan, sorted((one, other)))
    assert many.no_difference <= few.no_difference + 1e-9


@pytest.mark.parametrize("p", [0, 1e-310, 1e-200, 1])
def test_certain_answers_run_straight_to_a_line(p):
    (found,) = approximate_plan(FIRST, [p])
    lines = plan_lines(FIRST)
    straight = lines.high / (1 - lines.slope) if p == 1 else -lines.low / lines.slope
    assert (found.no_difference, found.expected_trials) == pytest.approx((1 - p // 1, straight))


NEAR_CHANCE = [THIRD, 0.4, 0.45, 0.5]


@pytest.fixture(scope="module")
def long_plan():
    """Exact and approximate endings of a plan of hundreds of answers, by share correct."""
    plan = SequentialPlan(THIRD, 0.4)
    both = evaluate_plan(plan, NEAR_CHANCE), approximate_plan(plan, NEAR_CHANCE)
    return dict(zip(NEAR_CHANCE, zip(*both, strict=True), strict=True))


@pytest.mark.parametrize("p", NEAR_CHANCE)
def test_many_answers_bring_the_exact_values_near(long_plan, p):
    # What is neglected is one answer at most beyond a line, of hundreds.
    exact, near = long_plan[p]
    assert exact.no_difference == pytest.approx(near.no_difference, abs=0.02)
    assert exact.expected_trials == pytest.approx(near.expected_trials, rel=0.05)


def test_an_impossible_probability_is_refused_by_name_and_value():
    with pytest.raises(ValueError, match=r"p_correct must be from 0 to 1, not -0\.5"):
        approximate_plan(FIRST, [-0.5])
