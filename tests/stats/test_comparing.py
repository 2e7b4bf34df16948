import dataclasses
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.comparing import (
    ALL_CORRECT,
    BELOW_CHANCE,
    LIKELIHOOD_RATIO,
    NEAR_CHANCE,
    SEVERAL_METHODS,
    WALD,
    DistanceComparison,
    compare_distances,
)
from server.stats.distance_likelihood import Counts
from server.stats.forced_choice import DUO_TRIO, TETRAD, TRIANGLE, TWO_AFC, TWO_OF_FIVE
from server.stats.multiple import holm
from server.stats.thurstone import ForcedChoice

numbers = st.integers(1, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
tables = st.lists(numbers, min_size=2, max_size=3)


def compare(
    model: ForcedChoice, *numbers: tuple[int, int], level: float = 0.95
) -> DistanceComparison:
    counts = [Counts(f"test {place}", model, *one) for place, one in enumerate(numbers)]
    return compare_distances(counts, level)


def test_two_triangle_tests_equal_computed_values():
    # 40 and 52 of 80: distances, variances, mean and X² computed independently, by the
    # formula of Bi, Ennis & O'Mahony (1997); their printed example was not at hand.
    found = compare(TRIANGLE, (40, 80), (52, 80))
    assert [one.d_prime for one in found.tests] == pytest.approx((1.46626278, 2.23306313), abs=5e-9)
    assert [one.d_prime_se**2 for one in found.tests] == pytest.approx(
        (0.0859661265, 0.0784443171), rel=1e-8
    )
    assert (found.mean, found.mean_se) == pytest.approx((1.867203587, 0.2025255042), abs=5e-10)
    assert dataclasses.astuple(found.wald) == pytest.approx((3.576310393, 1, 0.05860919), abs=5e-9)


def test_three_tetrads_equal_computed_values():
    # 41, 30 and 50 of 72, computed independently.
    found = compare(TETRAD, (41, 72), (30, 72), (50, 72))
    assert [one.d_prime for one in found.tests] == pytest.approx(
        (1.26042722, 0.69616504, 1.68477428), abs=5e-9
    )
    assert [one.d_prime_se**2 for one in found.tests] == pytest.approx(
        (0.0382921897, 0.0674807048, 0.0370165279), rel=1e-7
    )
    assert found.mean == pytest.approx(1.306077468, abs=5e-10)
    assert dataclasses.astuple(found.wald) == pytest.approx((9.441257745, 2, 0.00890957), abs=5e-9)


@given(st.lists(st.tuples(st.integers(30, 59), st.just(60)), min_size=2, max_size=3))
def test_above_chance_the_likelihood_ratio_of_one_method_is_that_of_the_rates(numbers):
    # d' and the proportion correct rise together, so equal distances are equal rates.
    found = compare(TRIANGLE, *numbers)
    table = [[right, n - right] for right, n in numbers]
    reference = stats.chi2_contingency(table, correction=False, lambda_="log-likelihood")
    assert dataclasses.astuple(found.likelihood_ratio) == pytest.approx(
        (reference.statistic, reference.dof, reference.pvalue), rel=1e-8, abs=1e-9
    )


def test_with_two_tests_the_pair_is_the_likelihood_ratio_of_all():
    found = compare(TRIANGLE, (40, 80), (52, 80))
    (pair,) = found.pairs
    ratio = found.likelihood_ratio
    assert (pair.statistic, pair.p_value) == pytest.approx((ratio.statistic, ratio.p_value))
    assert pair.difference == pytest.approx(1.46626278 - 2.23306313, abs=1e-8)


def test_distances_well_above_chance_go_by_wald():
    found = compare(TRIANGLE, (40, 80), (52, 80))
    assert (found.used, found.p_value, found.notes) == (WALD, found.wald.p_value, ())


@pytest.mark.parametrize("low", [20, 22])
def test_at_and_near_chance_the_likelihood_ratio_decides(low):
    found = compare(TRIANGLE, (low, 60), (40, 60))
    assert (found.used, found.p_value) == (LIKELIHOOD_RATIO, found.likelihood_ratio.p_value)
    assert found.notes == (NEAR_CHANCE,)


@pytest.mark.parametrize("low", [10, 20])
def test_at_chance_there_is_no_wald_test_and_no_weighted_mean(low):
    found = compare(TRIANGLE, (low, 60), (40, 60))
    assert (found.wald, found.mean, found.mean_se) == (None, None, None)
    assert found.common > 0.9


def test_which_test_decides_does_not_depend_on_the_level_of_the_limits():
    used = {compare(TRIANGLE, (26, 60), (40, 60), level=level).used for level in (0.2, 0.99)}
    assert len(used) == 1


def test_fewer_correct_answers_than_guessing_gives_are_told():
    assert compare(TRIANGLE, (10, 60), (40, 60)).notes == (NEAR_CHANCE, BELOW_CHANCE)


def test_a_test_that_is_all_correct_is_compared_by_its_likelihood():
    found = compare(TRIANGLE, (60, 60), (40, 60))
    assert (found.used, found.tests[0].d_prime, found.pairs[0].difference) == (
        LIKELIHOOD_RATIO,
        None,
        None,
    )
    assert found.pairs[0].interval.low > 1
    assert found.notes == (ALL_CORRECT,)


def test_tests_that_are_all_correct_do_not_differ_by_what_was_seen():
    found = compare(TRIANGLE, (9, 9), (7, 7))
    assert (found.common, found.likelihood_ratio.statistic, found.p_value) == (None, 0, 1)


def test_tests_that_are_all_below_chance_share_a_distance_of_zero():
    found = compare(TRIANGLE, (9, 60), (12, 60))
    assert (found.common, found.common_interval.low, found.p_value) == (0, 0, 1)


def test_methods_of_different_kinds_are_compared_with_a_caution():
    # A triangle and a 2-AFC test that meet the same d' of 1 exactly enough: 418 of 1000, 760 of
    # 1000 (two-digit values .42 and .76 in Ennis 1993, from memory).
    counts = [Counts("a", TRIANGLE, 418, 1000), Counts("b", TWO_AFC, 760, 1000)]
    found = compare_distances(counts)
    assert found.common == pytest.approx(1, abs=0.01)
    assert found.p_value > 0.9
    assert found.notes == (SEVERAL_METHODS,)


@given(tables)
def test_pairs_are_adjusted_as_one_family(numbers):
    pairs = compare(DUO_TRIO, *numbers).pairs
    assert tuple(pair.p_adjusted for pair in pairs) == holm([pair.p_value for pair in pairs])


@given(tables)
def test_a_pair_differs_at_the_level_where_its_limits_leave_out_zero(numbers):
    for pair in compare(DUO_TRIO, *numbers, level=0.9).pairs:
        if abs(pair.p_value - 0.1) > 1e-6:
            low, high = pair.interval
            holds = (low is None or low <= 0) and (high is None or high >= 0)
            assert holds == (pair.p_value > 0.1)


@given(tables)
def test_the_result_is_strict_json_and_whatever_is_missing_has_a_sentence(numbers):
    found = compare(DUO_TRIO, *numbers)
    json.dumps(dataclasses.asdict(found), allow_nan=False)
    assert found.wald is not None or found.notes


@pytest.mark.parametrize(
    ("counts", "message"),
    [
        ([Counts("a", TRIANGLE, 5, 9)], "counts must hold two tests or more, not 1"),
        ([Counts("a", TRIANGLE, 5, 9)] * 2, "different names, not 'a' twice"),
        ([Counts("a", TRIANGLE, 5, 9), Counts("b", TRIANGLE, 10, 9)], "correct .* not 10"),
        ([Counts("a", TRIANGLE, 5, 9), Counts("b", TWO_OF_FIVE, 5, 9)], "have a d′, not two-out"),
    ],
)
def test_what_cannot_be_compared_is_refused(counts, message):
    with pytest.raises(ValueError, match=message):
        compare_distances(counts)


def test_a_level_of_one_is_refused():
    with pytest.raises(ValueError, match=r"level .* not 1\.0"):
        compare(TRIANGLE, (5, 9), (6, 9), level=1.0)
