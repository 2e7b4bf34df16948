import dataclasses
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.comparing_shares import (
    BELOW_GUESSING,
    TWO_SIDED,
    ShareComparison,
    compare_shares,
)
from server.stats.counts import analyse_counts
from server.stats.distance_likelihood import Counts
from server.stats.forced_choice import PAIRED_PREFERENCE, TRIANGLE, TWO_AFC, TWO_OF_FIVE
from server.stats.multiple import holm
from server.stats.thurstone import ForcedChoice
from server.stats.two_rates import difference_limits

numbers = st.integers(1, 40).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
tables = st.lists(numbers, min_size=2, max_size=3)


def compare(model: ForcedChoice, *numbers: tuple[int, int], **more: object) -> ShareComparison:
    counts = [Counts(f"test {place}", model, *one) for place, one in enumerate(numbers)]
    return compare_shares(counts, **more)


def test_a_difference_of_shares_is_that_of_the_rates_over_what_guessing_leaves():
    # 40 and 52 of 80: rates 50 % and 65 %, shares 25 % and 47.5 %.
    (pair,) = compare(TRIANGLE, (40, 80), (52, 80)).pairs
    assert (pair.difference, pair.pd_difference) == pytest.approx((-0.15, -0.225))
    expected = [limit * 1.5 for limit in difference_limits(40, 80, 52, 80, 0.95)]
    assert pair.pd_interval == pytest.approx(expected)


def test_pairs_are_tested_as_fisher_tests_a_table():
    (pair,) = compare(TRIANGLE, (40, 80), (52, 80)).pairs
    expected = stats.fisher_exact([[40, 40], [52, 28]]).pvalue
    assert pair.p_value == pytest.approx(expected, rel=1e-9)


@given(numbers, numbers)
def test_single_tests_are_described_as_when_analysed_alone(one, other):
    found = compare(TRIANGLE, one, other, level=0.9).tests[0]
    alone = analyse_counts(TRIANGLE, *one, level=0.9)
    assert (found.pc, found.pc_interval, found.pd) == (alone.pc, alone.pc_interval, alone.pd)
    assert found.pd_interval == alone.pd_interval


@given(tables)
def test_pairs_are_adjusted_as_one_family(numbers):
    pairs = compare(TWO_OF_FIVE, *numbers).pairs
    assert tuple(pair.p_adjusted for pair in pairs) == holm([pair.p_value for pair in pairs])


@given(tables, st.booleans())
def test_the_result_is_strict_json(numbers, two_sided):
    found = compare(PAIRED_PREFERENCE, *numbers, two_sided=two_sided)
    assert json.dumps(dataclasses.asdict(found), allow_nan=False)


def test_below_chance_a_share_is_zero_but_its_difference_counts_in_full():
    found = compare(TRIANGLE, (5, 60), (40, 60))
    assert (found.tests[0].pd, found.tests[0].pd_interval) == (0, None)
    assert found.notes == (BELOW_GUESSING,)
    assert found.pairs[0].pd_difference == pytest.approx(-35 / 60 * 1.5)


def test_two_sided_methods_are_compared_by_rates_alone():
    # 30 and 10 of 40 prefer the sample counted: as shares both would be 1/2.
    found = compare(PAIRED_PREFERENCE, (30, 40), (10, 40), two_sided=True)
    assert (found.tests[0].pd, found.pairs[0].pd_difference, found.pairs[0].pd_interval) == (
        None,
        None,
        None,
    )
    assert found.pairs[0].p_value < 0.001
    assert found.notes == (TWO_SIDED,)


def test_shares_of_two_methods_are_refused():
    counts = [Counts("a", TRIANGLE, 5, 9), Counts("b", TWO_AFC, 5, 9)]
    with pytest.raises(ValueError, match="counts must be of one method, not triangle and 2-afc"):
        compare_shares(counts)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (((5, 9),), "counts must hold two tests or more, not 1"),
        (((5, 9), (10, 9)), "correct .* not 10"),
    ],
)
def test_impossible_counts_are_refused(arguments, message):
    with pytest.raises(ValueError, match=message):
        compare(TRIANGLE, *arguments)


def test_a_level_of_one_is_refused():
    with pytest.raises(ValueError, match=r"level .* not 1\.0"):
        compare(TRIANGLE, (5, 9), (6, 9), level=1.0)
