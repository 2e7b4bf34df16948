import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.t_tests import pooled_test, welch_interval, welch_test

groups = st.lists(st.integers(1, 9), min_size=2, max_size=12).filter(lambda x: len(set(x)) > 1)

# Student (1908), Biometrika 6: hours of sleep gained under two drugs, ten patients each,
# here as two groups (numbers from memory of the source).
SLEEP = (
    [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0],
    [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4],
)


@given(groups, groups)
def test_both_tests_equal_those_of_a_general_library(first, second):
    for found, equal in ((welch_test(first, second), False), (pooled_test(first, second), True)):
        expected = stats.ttest_ind(first, second, equal_var=equal)
        assert (found.t, found.df, found.p_value) == pytest.approx(
            (expected.statistic, expected.df, expected.pvalue), rel=1e-9, abs=1e-12
        )


@given(groups, groups)
def test_limits_equal_those_of_a_general_library(first, second):
    expected = stats.ttest_ind(first, second, equal_var=False).confidence_interval(0.9)
    assert welch_interval(first, second, 0.9) == pytest.approx(tuple(expected), rel=1e-9, abs=1e-9)


def test_hours_of_sleep_give_the_values_that_manuals_print():
    # Example of Welch's test in general manuals of statistics, from memory.
    found = welch_test(*SLEEP)
    assert (found.t, found.df) == pytest.approx((-1.8608, 17.776), abs=5e-4)
    assert found.p_value == pytest.approx(0.07939, abs=5e-6)
    assert welch_interval(*SLEEP) == pytest.approx((-3.3654832, 0.2054832), abs=5e-8)


def test_a_group_of_one_has_a_pooled_test_only():
    assert welch_test([5], [1, 2]) is None
    assert pooled_test([5], [1, 2]).df == 1


@pytest.mark.parametrize(
    ("first", "second"),
    [([], [1, 2]), ([1], [2]), ([0.1] * 3, [0.3] * 3)],
    ids=["an empty group", "two single values", "no spread within"],
)
def test_what_has_no_error_has_no_test(first, second):
    assert pooled_test(first, second) is None
    assert welch_interval(first, second) is None


def test_one_group_without_spread_leaves_the_freedom_of_the_other():
    assert welch_test([5, 5, 5], [1, 2, 3, 4]).df == pytest.approx(3)


def test_values_that_are_not_finite_are_refused():
    with pytest.raises(ValueError, match="second must hold finite values, not nan"):
        welch_test([1, 2], [1, float("nan")])
