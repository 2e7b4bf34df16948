import json
from dataclasses import asdict, replace
from fractions import Fraction
from itertools import pairwise, product
from math import isclose

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.operating import (
    NO_CAP,
    NO_STABLE_CAP,
    TooLong,
    evaluate_plan,
    find_smallest_cap,
)
from server.stats.sequential import follow_path
from server.stats.sequential_plan import (
    DIFFERENCE,
    NO_DECISION,
    NO_DIFFERENCE,
    SequentialPlan,
    judge_count,
)
from server.stats.trials import trials_for_power

THIRD = 1 / 3
FIRST = SequentialPlan(THIRD, 2 / 3, 0.05, 0.1)

plans = st.builds(
    SequentialPlan,
    st.sampled_from((1 / 2, 1 / 3, 1 / 10)),
    st.floats(0.65, 0.9),
    st.floats(0.01, 0.2),
    st.floats(0.01, 0.2),
    st.integers(1, 6),
)


@pytest.mark.parametrize(
    ("p0", "p1", "beta", "trials", "alpha_true", "beta_true"),
    [
        (THIRD, 2 / 3, 0.1, (11.207436, 13.362035), 0.02935421, 0.06066536),
        (THIRD, 1 / 2, 0.05, (49.709051, 48.257436), 0.04269019, 0.04418637),
        (1 / 2, 3 / 4, 0.05, (20.813021, 22.050138), 0.04279635, 0.03721639),
    ],
)
def test_true_risks_and_mean_numbers_equal_computed_ones(
    p0, p1, beta, trials, alpha_true, beta_true
):
    # Alpha 0.05; computed independently.
    guessing, noticing = evaluate_plan(SequentialPlan(p0, p1, 0.05, beta), [p0, p1])
    assert (guessing.expected_trials, noticing.expected_trials) == pytest.approx(trials, abs=5e-7)
    assert guessing.difference == pytest.approx(alpha_true, abs=5e-9)
    assert noticing.no_difference == pytest.approx(beta_true, abs=5e-9)


def test_the_mean_number_midway_equals_a_computed_one():
    # Computed independently: 20.000000 at p = 0.5.
    assert evaluate_plan(FIRST, [0.5])[0].expected_trials == pytest.approx(20, abs=1e-10)


@pytest.mark.parametrize("p", [0.1, 0.3, THIRD, 0.45, 0.6, 2 / 3, 0.9])
def test_a_plan_that_mirrors_itself_is_the_classical_ruin_problem(p):
    # Feller, W. (1968), An Introduction to Probability Theory and Its Applications, vol. 1,
    # 3rd ed., XIV, equations 2.4 and 3.4 (equation numbers from memory): with chance 1/3 and
    # planned 2/3 right answers less wrong ones walk from 0 until they are -4 or +5.
    (found,) = evaluate_plan(FIRST, [p])
    ratio, start, top = (1 - p) / p, 4, 9
    ruin = (ratio**top - ratio**start) / (ratio**top - 1)
    assert found.no_difference == pytest.approx(ruin, rel=1e-11)
    duration = start / (1 - 2 * p) - top / (1 - 2 * p) * (1 - ratio**start) / (1 - ratio**top)
    assert found.expected_trials == pytest.approx(duration, rel=1e-11)


@pytest.mark.parametrize("at_cap", ["no decision", "nearer line"])
@pytest.mark.parametrize(("block", "cap"), [(1, 11), (3, 9), (5, 10)])
def test_endings_equal_a_count_of_all_orders_of_answers(block, cap, at_cap):
    # Every one of the 2^cap orders followed to its end, with exact fractions.
    plan = SequentialPlan(THIRD, 2 / 3, 0.05, 0.1, block, cap, at_cap)
    p, ends, mean = Fraction(2, 5), {DIFFERENCE: 0, NO_DIFFERENCE: 0, NO_DECISION: 0}, Fraction()
    for answers in product((0, 1), repeat=cap):
        path = follow_path(plan, answers)
        weight = p ** sum(answers) * (1 - p) ** (cap - sum(answers))
        ends[path.decision] += weight
        mean += weight * path.trials
    (found,) = evaluate_plan(plan, [0.4])
    assert (found.difference, found.no_difference, found.no_decision) == pytest.approx(
        [float(x) for x in ends.values()], abs=1e-13
    )
    assert found.expected_trials == pytest.approx(float(mean), abs=1e-12)


@pytest.mark.parametrize("p", [THIRD, 0.5, 0.6])
def test_endings_and_numbers_equal_a_simulation(p):
    # 20,000 tests of at most 60 answers in rounds of 4, with a fixed seed.
    plan = SequentialPlan(THIRD, 0.6, 0.05, 0.1, block=4, cap=60, at_cap="nearer line")
    rng = np.random.default_rng(11)
    counts = np.cumsum(rng.random((20_000, 60)) < p, axis=1)
    ended = np.zeros(20_000, dtype=int)
    above = np.zeros(20_000, dtype=bool)
    for trials in range(4, 61, 4):
        judged = np.array([judge_count(plan, count, trials) for count in range(trials + 1)])
        decision = judged[counts[:, trials - 1]]
        now = (ended == 0) & (decision != "go on")
        ended[now], above[now] = trials, decision[now] == DIFFERENCE
    (found,) = evaluate_plan(plan, [p])
    assert found.difference == pytest.approx(above.mean(), abs=4 * 0.5 / 20_000**0.5)
    assert found.expected_trials == pytest.approx(ended.mean(), abs=4 * ended.std() / 20_000**0.5)
    assert np.mean(ended <= found.nine_tenths) > 0.89


def test_one_round_up_to_the_cap_is_a_fixed_test():
    # scipy.stats.binom: with 30 answers at once, 13 or fewer and 18 or more end the test.
    plan = SequentialPlan(THIRD, 2 / 3, 0.05, 0.1, block=30, cap=30)
    (found,) = evaluate_plan(plan, [0.4])
    assert found.difference == pytest.approx(stats.binom.sf(17, 30, 0.4), rel=1e-12)
    assert found.no_difference == pytest.approx(stats.binom.cdf(13, 30, 0.4), rel=1e-12)


@pytest.mark.parametrize(
    ("p", "trials", "difference"), [(0, 4, 0), (1, 5, 1)], ids=["all wrong", "all right"]
)
def test_certain_answers_end_as_soon_as_they_can(p, trials, difference):
    (found,) = evaluate_plan(FIRST, [p])
    assert (found.difference, found.expected_trials) == (difference, trials)
    assert found.nine_tenths == trials


@given(plans, st.floats(0, 1))
def test_the_endings_are_all_there_is(plan, p):
    (found,) = evaluate_plan(replace(plan, cap=plan.block * 5), [p])
    ends = (found.difference, found.no_difference, found.no_decision)
    assert sum(ends) == pytest.approx(1, abs=1e-12)
    assert plan.block - 1e-9 <= found.expected_trials <= 5 * plan.block + 1e-9


@given(plans)
def test_more_right_answers_end_more_often_in_a_difference(plan):
    found = evaluate_plan(plan, np.linspace(0, 1, 21).tolist())
    above, below = [x.difference for x in found], [x.no_difference for x in found]
    assert all(now <= then + 1e-12 for now, then in pairwise(above))
    assert all(now >= then - 1e-12 for now, then in pairwise(below))


@given(plans)
def test_true_risks_keep_the_bounds_that_hold_for_any_plan(plan):
    # Wald (1947), section 3.2 (number from memory): true alpha <= alpha/(1 - beta), true
    # beta <= beta/(1 - alpha), and their sum no more than the nominal sum.
    guessing, noticing = evaluate_plan(plan, [plan.chance, plan.p_correct])
    risks = guessing.difference, noticing.no_difference
    assert risks[0] <= plan.alpha / (1 - plan.beta) + 1e-12
    assert risks[1] <= plan.beta / (1 - plan.alpha) + 1e-12
    assert sum(risks) <= plan.alpha + plan.beta + 1e-12


@given(plans, st.floats(0.2, 0.9))
def test_a_far_cap_changes_nothing(plan, p):
    capped = evaluate_plan(replace(plan, cap=plan.block * 2000), [p])[0]
    free = evaluate_plan(plan, [p])[0]
    assert isclose(capped.difference, free.difference, abs_tol=1e-12)
    assert isclose(capped.expected_trials, free.expected_trials, rel_tol=1e-10)


def test_several_probabilities_are_as_good_as_one():
    several = evaluate_plan(FIRST, [0.3, 0.5, 0.7])
    for one in several:
        alone = evaluate_plan(FIRST, [one.p_correct])[0]
        assert asdict(one) == pytest.approx(asdict(alone), rel=1e-12)
    assert evaluate_plan(FIRST, []) == ()


@pytest.mark.parametrize(("p0", "share"), [(THIRD, 0.4), (THIRD, 0.25), (0.5, 0.5)])
def test_the_mean_number_is_below_that_of_a_fixed_test(p0, share):
    # What Wald & Wolfowitz (1948), Annals of Mathematical Statistics, 19, 326-339, prove best.
    p1 = p0 + share * (1 - p0)
    guessing, noticing = evaluate_plan(SequentialPlan(p0, p1), [p0, p1])
    fixed = trials_for_power(p0, guessing.difference, 1 - noticing.no_difference, p1).trials
    assert max(guessing.expected_trials, noticing.expected_trials) < fixed


@pytest.mark.parametrize("at_cap", ["no decision", "nearer line"])
@pytest.mark.parametrize("block", [1, 5])
def test_the_smallest_cap_is_the_first_that_keeps_both_risks(at_cap, block):
    plan = SequentialPlan(THIRD, 2 / 3, 0.05, 0.1, block, at_cap=at_cap)
    found = find_smallest_cap(plan)

    def keeps(cap):
        at = evaluate_plan(replace(plan, cap=cap), [THIRD, 2 / 3])
        return at[0].no_difference >= 0.95 - 1e-12 and at[1].difference >= 0.9 - 1e-12

    kept = [cap for cap in range(block, 61, block) if keeps(cap)]
    assert found.cap == found.plan.cap == kept[0]
    missed = [cap for cap in range(block, 61, block) if cap not in kept]
    assert found.cap_stable == missed[-1] + block


def test_no_cap_is_found_where_the_lines_themselves_miss_a_risk():
    # (1 - beta)/alpha = 16 = 2^4 is met exactly, so right less wrong answers walk until -3 or
    # +4; by Feller's equation 2.4 the true alpha is (2^3 - 1)/(2^7 - 1) = 7/127 > 0.05.
    plan = SequentialPlan(THIRD, 2 / 3, 0.05, 0.2)
    assert evaluate_plan(plan, [THIRD])[0].difference == pytest.approx(7 / 127, rel=1e-12)
    found = find_smallest_cap(plan)
    assert (found.cap, found.cap_stable, found.plan.cap, found.notes) == (
        None,
        None,
        None,
        (NO_CAP,),
    )


def test_a_small_cap_may_keep_what_larger_ones_do_not():
    # With 7 answers and the nearer line both risks are kept, without a cap alpha is not.
    plan = SequentialPlan(THIRD, 0.75, 0.125, 0.4, at_cap="nearer line")
    found = find_smallest_cap(plan)
    assert (found.cap, found.cap_stable, found.notes) == (7, None, (NO_STABLE_CAP,))
    capped, free = (evaluate_plan(one, [THIRD, 0.75]) for one in (found.plan, plan))
    assert capped[0].difference <= 0.125 < free[0].difference
    assert capped[1].no_difference <= 0.4


def test_what_may_go_on_for_too_long_is_refused():
    with pytest.raises(TooLong, match="cap must be set and at most 50,000, not None"):
        evaluate_plan(SequentialPlan(THIRD, 0.334, block=1000), [THIRD])


def test_an_impossible_probability_is_refused_by_name_and_value():
    with pytest.raises(ValueError, match=r"p_correct must be from 0 to 1, not 1\.5"):
        evaluate_plan(FIRST, [0.5, 1.5])


def test_the_results_become_strict_json():
    found = json.loads(json.dumps(asdict(evaluate_plan(FIRST, [0.5])[0]), allow_nan=False))
    assert list(found) == [
        "p_correct",
        "difference",
        "no_difference",
        "no_decision",
        "expected_trials",
        "nine_tenths",
    ]
    assert json.dumps(asdict(find_smallest_cap(FIRST)), allow_nan=False)
