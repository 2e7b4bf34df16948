import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.several_rates import TOO_MANY_TABLES, compare_several_rates
from server.stats.two_rates import ONE_ANSWER_ONLY, compare_rates

rates = st.integers(1, 7).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
tables = st.lists(rates, min_size=2, max_size=4).map(lambda rows: tuple(zip(*rows, strict=True)))


def count_exactly(yes: tuple[int, ...], answers: tuple[int, ...]) -> float:
    """Every table with these totals, in whole numbers."""
    tables = [
        math.prod(map(math.comb, answers, table))
        for table in itertools.product(*(range(n + 1) for n in answers))
        if sum(table) == sum(yes)
    ]
    observed = math.prod(map(math.comb, answers, yes))
    return sum(ways for ways in tables if ways <= observed) / sum(tables)


@given(tables)
def test_the_exact_value_is_that_of_a_count_in_whole_numbers(table):
    assert compare_several_rates(*table).exact == pytest.approx(count_exactly(*table), rel=1e-9)


@given(tables)
def test_chi_square_tests_equal_those_of_a_general_library(table):
    found = compare_several_rates(*table)
    if found.pearson is None:
        assert ONE_ANSWER_ONLY in found.notes
        return
    rows = [[yes, n - yes] for yes, n in zip(*table, strict=True)]
    for test, name in ((found.pearson, "pearson"), (found.likelihood_ratio, "log-likelihood")):
        reference = stats.chi2_contingency(rows, correction=False, lambda_=name)
        assert (test.statistic, test.df, test.p_value) == pytest.approx(
            (reference.statistic, reference.dof, reference.pvalue), rel=1e-9, abs=1e-7
        )


@given(st.lists(rates, min_size=2, max_size=2))
def test_two_rates_are_tested_as_fisher_tests_a_table(pair):
    (one, n), (other, m) = pair
    expected = compare_rates(one, n, other, m).exact_two_sided
    assert compare_several_rates([one, other], [n, m]).exact == pytest.approx(expected, rel=1e-9)


@given(tables)
def test_the_order_of_the_samples_does_not_matter(table):
    turned = tuple(row[::-1] for row in table)
    expected = compare_several_rates(*table).exact
    assert compare_several_rates(*turned).exact == pytest.approx(expected, rel=1e-9)


def test_beyond_a_million_tables_there_is_no_exact_value_and_a_reason():
    found = compare_several_rates([20, 30, 25, 40], [100, 100, 100, 110])
    assert (found.exact, found.notes) == (None, (TOO_MANY_TABLES,))
    assert found.pearson.df == 3


@pytest.mark.parametrize(
    ("yes", "answers", "message"),
    [
        ([1], [2], "yes must hold as many counts as answers, two or more, not 1"),
        ([1, 2, 3], [4, 4], "yes must hold .* not 3"),
        ([1, 5], [4, 4], "yes .* not 5"),
        ([0, 0], [0, 4], "yes must have from 1 .* not 0"),
    ],
)
def test_impossible_counts_are_refused(yes, answers, message):
    with pytest.raises(ValueError, match=message):
        compare_several_rates(yes, answers)
