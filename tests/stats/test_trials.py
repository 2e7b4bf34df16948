import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.stats.binomial import critical_number, p_value, power
from server.stats.thurstone import TRIANGLE, pc_from_share
from server.stats.trials import smallest_share, trials_for_power

THIRD = 1 / 3
BETAS = ("0.2", "0.1", "0.05", "0.01", "0.001")


def plan_row(row: dict[str, str], beta: str):
    p_correct = pc_from_share(int(row["pd"]) / 100, THIRD)
    return trials_for_power(THIRD, float(row["alpha"]), 1 - float(beta), p_correct)


@pytest.mark.parametrize("beta", BETAS)
def test_the_first_number_equals_the_table_of_assessors(triangle_assessors_row, beta):
    # ISO 4120 Table A.3 and its relatives: see the file's head.
    assert plan_row(triangle_assessors_row, beta).trials == int(triangle_assessors_row[beta])


@pytest.mark.parametrize("beta", BETAS)
def test_the_stable_number_equals_computed_values(triangle_assessors_stable_row, beta):
    # Definition of Ennis & Jesionka (2011): see the file's head.
    assert plan_row(triangle_assessors_stable_row, beta).trials_stable == int(
        triangle_assessors_stable_row[beta]
    )


@pytest.mark.parametrize(
    ("d", "alpha", "wanted", "first", "stable"),
    # Computed independently. Ennis & Jesionka (2011), abstract: the normal approximation
    # asks for too few; 202 at d' = 1, where a tetrad needs 61.
    [
        (1, 0.05, 0.8, 202, 220),
        (1, 0.05, 0.9, 283, 301),
        (1, 0.10, 0.8, 150, 168),
        (1.5, 0.05, 0.8, 53, 57),
        (1.5, 0.05, 0.9, 71, 78),
        (1.5, 0.10, 0.8, 38, 45),
    ],
)
def test_numbers_for_a_distance_equal_computed_values(d, alpha, wanted, first, stable):
    need = trials_for_power(THIRD, alpha, wanted, TRIANGLE.pc(d))
    assert (need.trials, need.trials_stable) == (first, stable)


def test_both_risks_of_five_percent_are_first_kept_by_23_and_always_from_29():
    # pd = 50 %; 23 in the table of ISO 4120 (from memory), 29 recomputed.
    need = trials_for_power(THIRD, 0.05, 0.95, 2 / 3)
    assert (need.trials, need.trials_stable) == (23, 29)


plans = st.tuples(
    st.sampled_from([1 / 3, 1 / 2, 1 / 10]),
    st.floats(0.001, 0.3),
    st.floats(0.3, 0.99),
    st.floats(0.35, 1.0),
)


@settings(max_examples=30)
@given(plans)
def test_no_number_before_the_first_has_the_power_and_none_from_the_stable_one_lacks_it(plan):
    chance, alpha, wanted, share = plan
    p_correct = pc_from_share(share, chance)
    need = trials_for_power(chance, alpha, wanted, p_correct)
    # Twice the stable number and 50 more, each tried by itself.
    powers = {n: power(n, chance, alpha, p_correct) for n in range(1, 2 * need.trials_stable + 50)}
    assert need.trials == min(n for n, found in powers.items() if found >= wanted)
    short = [n for n, found in powers.items() if found < wanted]
    assert need.trials_stable == max(short, default=0) + 1


@settings(max_examples=30)
@given(plans)
def test_the_achieved_risks_belong_to_the_first_number(plan):
    chance, alpha, wanted, share = plan
    p_correct = pc_from_share(share, chance)
    need = trials_for_power(chance, alpha, wanted, p_correct)
    assert need.critical == critical_number(need.trials, chance, alpha)
    assert need.achieved_alpha == pytest.approx(p_value(need.critical, need.trials, chance))
    assert need.achieved_power == pytest.approx(power(need.trials, chance, alpha, p_correct))


def test_a_plan_for_a_distance_of_1_takes_less_than_a_third_of_a_second():
    trials_for_power(THIRD, 0.05, 0.8, 0.9)  # the libraries load
    began = time.perf_counter()
    trials_for_power(THIRD, 0.05, 0.8, TRIANGLE.pc(1))
    assert time.perf_counter() - began < 0.3


@given(st.integers(3, 400), st.floats(0.05, 0.2), st.floats(0.3, 0.99))
def test_the_smallest_share_is_found_with_just_the_wanted_power(trials, alpha, wanted):
    share = smallest_share(trials, THIRD, alpha, wanted)
    found = power(trials, THIRD, alpha, pc_from_share(share, THIRD))
    assert found == pytest.approx(wanted, rel=1e-9)


def test_two_answers_find_no_share_at_all():
    assert smallest_share(2, THIRD, 0.05, 0.8) is None


def test_a_power_that_guessing_already_has_needs_no_share():
    assert smallest_share(24, THIRD, 0.05, 0.01) == 0


def test_a_level_next_to_1_still_needs_one_correct_answer():
    assert trials_for_power(THIRD, 1 - 1e-14, 0.5, 0.6).critical == 1


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: trials_for_power(THIRD, 0.05, 0.8, 0.2), r"p_correct .* chance .* not 0.2"),
        (lambda: trials_for_power(THIRD, 0.05, 0.8, 0.3334), r"p_correct 0.3334 .* 100,000"),
        (lambda: trials_for_power(THIRD, 0.05, 1.0, 0.5), r"power .* not 1.0"),
        (lambda: trials_for_power(THIRD, 0.0, 0.8, 0.5), r"alpha .* not 0.0"),
        (lambda: trials_for_power(2.0, 0.05, 0.8, 0.5), r"chance .* not 2.0"),
        (lambda: trials_for_power(THIRD, 0.05, 0.8, 1.5), r"p_correct .* not 1.5"),
        (lambda: smallest_share(24, THIRD, 0.05, 0), r"power .* not 0"),
    ],
)
def test_impossible_plans_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
