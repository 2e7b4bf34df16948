import time
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.binomial import critical_number, p_value, power
from server.stats.forced_choice import DUO_TRIO, TETRAD, THREE_AFC, TRIANGLE, TWO_AFC
from server.stats.thurstone import pc_from_share
from server.stats.trials import TooManyTrials, smallest_share, smallest_shares, trials_for_power

THIRD = 1 / 3
MODELS = {model.name: model for model in (TRIANGLE, DUO_TRIO, TWO_AFC, THREE_AFC, TETRAD)}
BETAS = ("0.2", "0.1", "0.05", "0.01", "0.001")


def plan_row(row: dict[str, str], chance: float = THIRD):
    """Return the needs of a row of a table of assessors, in the order of the betas."""
    p_correct, alpha = pc_from_share(int(row["pd"]) / 100, chance), float(row["alpha"])
    return [trials_for_power(chance, alpha, 1 - float(beta), p_correct) for beta in BETAS]


def read_cells(row: dict[str, str]) -> list[int]:
    return [int(row[beta]) for beta in BETAS]


def test_the_first_number_equals_the_table_of_assessors(triangle_assessors_row):
    # ISO 4120 Table A.3 and its relatives: see the file's head.
    needs = plan_row(triangle_assessors_row)
    assert [need.trials for need in needs] == read_cells(triangle_assessors_row)


def test_the_stable_number_equals_computed_values(triangle_assessors_stable_row):
    # Definition of Ennis & Jesionka (2011): see the file's head.
    needs = plan_row(triangle_assessors_stable_row)
    assert [need.trials_stable for need in needs] == read_cells(triangle_assessors_stable_row)


def test_duo_trio_numbers_equal_the_table_of_assessors(duo_trio_assessors_row):
    # ISO 10399 Table A.3: see the file's head.
    needs = plan_row(duo_trio_assessors_row, 0.5)
    assert [need.trials for need in needs] == read_cells(duo_trio_assessors_row)


def test_two_out_of_five_numbers_equal_computed_values(two_out_of_five_assessors_row):
    needs = plan_row(two_out_of_five_assessors_row, 0.1)
    assert [need.trials for need in needs] == read_cells(two_out_of_five_assessors_row)


RISKS = [(0.05, 0.8, "05_80"), (0.05, 0.9, "05_90"), (0.10, 0.8, "10_80")]


@pytest.mark.parametrize(("alpha", "wanted", "columns"), RISKS)
def test_numbers_for_a_distance_equal_computed_values(
    trials_for_d_prime_row, alpha, wanted, columns
):
    row = trials_for_d_prime_row
    model = MODELS[row["method"]]
    need = trials_for_power(model.chance, alpha, wanted, model.pc(float(row["d"])))
    assert need.trials == int(row[f"first_{columns}"])
    assert need.trials_stable == int(row[f"stable_{columns}"])


@pytest.mark.parametrize(("alpha", "wanted", "columns"), RISKS[:2])
def test_the_normal_approximation_asks_for_too_few(trials_for_d_prime_row, alpha, wanted, columns):
    # Ennis & Jesionka (2011), abstract. With g the chance and p the proportion correct:
    # n = ((z_alpha sqrt(g(1-g)) + z_beta sqrt(p(1-p))) / (p - g))^2
    row = trials_for_d_prime_row
    model = MODELS[row["method"]]
    g, p = model.chance, model.pc(float(row["d"]))
    z_alpha, z_beta = stats.norm.isf(alpha), stats.norm.ppf(wanted)
    normal = ((z_alpha * sqrt(g * (1 - g)) + z_beta * sqrt(p * (1 - p))) / (p - g)) ** 2
    assert normal == pytest.approx(float(row[f"normal_{columns}"]), abs=0.006)
    assert trials_for_power(g, alpha, wanted, p).trials > normal


def test_both_risks_of_five_percent_are_first_kept_by_23_and_always_from_29():
    # pd = 50 %; 23 in the table of ISO 4120 (from memory), 29 recomputed.
    need = trials_for_power(THIRD, 0.05, 0.95, 2 / 3)
    assert (need.trials, need.trials_stable) == (23, 29)


def test_two_sided_numbers_are_those_of_a_general_binomial_test():
    # Every number of answers up to 45, every outcome judged by the library's own p-value;
    # at chance 1/2 the upper half is the lower one's mirror image.
    ways = {}
    for n in range(1, 46):
        lower = [stats.binomtest(k, n).pvalue <= 0.05 for k in range(n // 2 + 1)]
        ways[n] = lower + lower[: (n + 1) // 2][::-1]
    powers = {n: sum(stats.binom.pmf(range(n + 1), n, 0.75)[hit]) for n, hit in ways.items()}
    enough = [n for n, found in powers.items() if found >= 0.8]
    need = trials_for_power(0.5, 0.05, 0.8, 0.75, sided="two")
    assert (need.trials, need.achieved_power) == (enough[0], pytest.approx(powers[enough[0]]))
    assert need.trials_stable == max(set(powers) - set(enough)) + 1


@pytest.mark.parametrize(
    ("p_correct", "printed", "exact"),
    # Cohen (1992), A power primer, Psychological Bulletin 112:155, Table 2, sign test at a
    # two-sided 0.05 with power 0.80, effects 0.05, 0.15 and 0.25 (from memory). The first
    # two are normal approximations, ((z_alpha/2 + z_beta sqrt(p(1-p))) / (p - 1/2))^2 with
    # z_alpha = 1.96, and so too few; the third is exact.
    [(0.55, 783, 786), (0.65, 85, 90), (0.75, 30, 30)],
)
def test_two_sided_numbers_reach_those_printed_for_the_sign_test(p_correct, printed, exact):
    assert trials_for_power(0.5, 0.05, 0.8, p_correct, sided="two").trials == exact >= printed


plans = st.tuples(
    st.sampled_from([(1 / 3, "one"), (1 / 2, "one"), (1 / 2, "two"), (1 / 10, "one")]),
    st.floats(0.001, 0.3),
    st.floats(0.3, 0.99),
    st.floats(0.35, 1.0),
)


@given(plans)
def test_no_number_before_the_first_has_the_power_and_none_from_the_stable_one_lacks_it(plan):
    (chance, sided), alpha, wanted, share = plan
    p_correct = pc_from_share(share, chance)
    need = trials_for_power(chance, alpha, wanted, p_correct, sided)
    tried = range(1, 2 * need.trials_stable + 50)  # each by itself
    powers = {n: power(n, chance, alpha, p_correct, sided) for n in tried}
    assert need.trials == min(n for n, found in powers.items() if found >= wanted)
    short = [n for n, found in powers.items() if found < wanted]
    assert need.trials_stable == max(short, default=0) + 1


@given(plans)
def test_the_achieved_risks_belong_to_the_first_number(plan):
    (chance, sided), alpha, wanted, share = plan
    p_correct = pc_from_share(share, chance)
    need = trials_for_power(chance, alpha, wanted, p_correct, sided)
    assert need.critical == critical_number(need.trials, chance, alpha, sided)
    assert need.achieved_alpha == pytest.approx(p_value(need.critical, need.trials, chance, sided))
    assert need.achieved_power == pytest.approx(power(need.trials, chance, alpha, p_correct, sided))


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


@given(st.integers(8, 400), st.floats(0.01, 0.2), st.floats(0.3, 0.99))
def test_two_sided_the_smallest_share_counts_both_tails(trials, alpha, wanted):
    share = smallest_share(trials, 0.5, alpha, wanted, sided="two")
    found = power(trials, 0.5, alpha, pc_from_share(share, 0.5), sided="two")
    assert found == pytest.approx(wanted, rel=1e-9)


def test_many_numbers_at_once_give_the_shares_of_each():
    numbers = [1, 2, 3, 12, 24, 500]
    assert smallest_shares(numbers, THIRD, 0.05, 0.8) == tuple(
        smallest_share(n, THIRD, 0.05, 0.8) for n in numbers
    )


def test_a_plan_undone_gives_the_share_it_was_made_for():
    share = smallest_share(61, THIRD, 0.05, 0.8)
    assert trials_for_power(THIRD, 0.05, 0.8, pc_from_share(share, THIRD)).trials <= 61


def test_everybody_noticing_needs_only_a_number_that_can_be_significant():
    # Two-sided, 2 (1/2)^n <= 0.05 from n = 6 on.
    assert trials_for_power(0.5, 0.05, 0.8, 1.0, sided="two").trials == 6


def test_two_answers_find_no_share_at_all():
    assert smallest_share(2, THIRD, 0.05, 0.8) is None


@pytest.mark.parametrize(("chance", "sided"), [(THIRD, "one"), (0.5, "one"), (0.5, "two")])
def test_a_power_that_guessing_already_has_needs_no_share(chance, sided):
    assert smallest_share(24, chance, 0.05, 0.01, sided) == 0


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
        (lambda: trials_for_power(THIRD, 0.05, 0.8, 0.5, "two"), r"chance .* 0.5 .* not 0.333"),
        (lambda: trials_for_power(0.5, 0.05, 0.8, 0.4, "two"), r"p_correct .* not 0.4"),
        (lambda: trials_for_power(0.5, 0.05, 0.8, 0.6, "both"), r"sided .* not both"),
        (lambda: smallest_share(24, THIRD, 0.05, 0), r"power .* not 0"),
        (lambda: smallest_share(0, THIRD, 0.05, 0.8), r"trials .* not 0"),
        (lambda: smallest_share(24, 0.4, 0.05, 0.8, "two"), r"chance .* not 0.4"),
    ],
)
def test_impossible_plans_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_a_difference_too_small_to_plan_for_has_its_own_refusal():
    with pytest.raises(TooManyTrials):
        trials_for_power(0.5, 0.05, 0.8, 0.501, sided="two")
