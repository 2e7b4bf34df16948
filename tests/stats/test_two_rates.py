import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.two_rates import (
    ONE_ANSWER_ONLY,
    compare_rates,
    count_chances,
    difference_limits,
    score_limits,
)

rates = st.integers(1, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@pytest.mark.parametrize(
    ("counts", "pearson", "yates", "fisher"),
    # Tables in the form of an A-not-A test; statistics computed independently.
    [
        ((60, 100, 35, 100), 12.53132832, 11.54887218, 0.00032039602),
        ((36, 50, 18, 50), 13.04347826, 11.63446055, 0.00028743686),
    ],
)
def test_tests_of_a_table_equal_computed_values(counts, pearson, yates, fisher):
    found = compare_rates(*counts)
    assert (found.pearson.statistic, found.yates.statistic) == pytest.approx(
        (pearson, yates), abs=5e-9
    )
    assert found.exact_one_sided == pytest.approx(fisher, abs=5e-12)


def test_a_students_sheet_with_18_and_16_of_40_has_the_printed_chi_square():
    # A student's laboratory sheet, same-different, 40 panellists each twice: it prints 0.2046.
    found = compare_rates(18, 40, 16, 40)
    assert found.pearson.statistic == pytest.approx(0.20460358, abs=5e-9)


@pytest.mark.parametrize(("right", "ways"), [(4, 1), (3, 17)])
def test_a_lady_tasting_tea_is_right_by_chance_as_often_as_printed(right, ways):
    # Fisher's layout of 4 and 4 cups: 1/70 for all right, 17/70 for 6 of 8 or more (printed in
    # an article of 2009 on a statistics site; Fisher 1935 from memory).
    assert compare_rates(right, 4, 4 - right, 4).exact_one_sided == pytest.approx(
        ways / 70, rel=1e-13
    )


@given(rates, rates)
def test_tests_equal_those_of_a_general_library(first, second):
    found = compare_rates(*first, *second)
    table = [[first[0], first[1] - first[0]], [second[0], second[1] - second[0]]]
    assert (found.exact_one_sided, found.exact_two_sided) == pytest.approx(
        (stats.fisher_exact(table, "greater").pvalue, stats.fisher_exact(table).pvalue), rel=1e-9
    )
    if found.pearson:
        for test, corrected in ((found.pearson, False), (found.yates, True)):
            reference = stats.chi2_contingency(table, correction=corrected)
            assert (test.statistic, test.p_value) == pytest.approx(
                (reference.statistic, reference.pvalue), rel=1e-9, abs=1e-12
            )


@given(rates, rates)
def test_exchanging_samples_turns_the_difference_and_keeps_the_two_sided_tests(first, second):
    one, other = compare_rates(*first, *second), compare_rates(*second, *first)
    assert one.exact_two_sided == pytest.approx(other.exact_two_sided, rel=1e-9)
    low, high = one.difference_interval
    assert other.difference_interval == pytest.approx((-high, -low), abs=1e-12)


@given(rates, st.integers(1, 60))
def test_more_yes_answers_make_a_smaller_one_sided_p(second, first):
    values = [compare_rates(yes, first, *second).exact_one_sided for yes in range(first + 1)]
    assert all(later <= earlier + 1e-12 for earlier, later in itertools.pairwise(values))


@pytest.mark.parametrize(
    ("counts", "limits"),
    # Newcombe (1998), table II, method 10, the eight contrasts (a) to (h), from memory.
    [
        ((56, 70, 48, 80), (0.0524, 0.3339)),
        ((9, 10, 3, 10), (0.1705, 0.8090)),
        ((6, 7, 2, 7), (0.0582, 0.8062)),
        ((5, 56, 0, 29), (-0.0381, 0.1926)),
        ((0, 10, 0, 20), (-0.1611, 0.2775)),
        ((0, 10, 0, 10), (-0.2775, 0.2775)),
        ((10, 10, 0, 20), (0.6791, 1.0000)),
        ((10, 10, 0, 10), (0.6075, 1.0000)),
    ],
)
def test_limits_of_a_difference_equal_published_ones(counts, limits):
    assert difference_limits(*counts, level=0.95) == pytest.approx(limits, abs=5e-5)


@given(rates, st.floats(0.5, 0.999))
def test_score_limits_are_where_the_score_test_turns(count, level):
    z = stats.norm.ppf((1 + level) / 2)
    p = count[0] / count[1]
    for limit in score_limits(*count, level):
        away = abs(p - limit)
        assert away == pytest.approx(z * math.sqrt(limit * (1 - limit) / count[1]), abs=1e-9)


@pytest.mark.parametrize("p", [0.1, 0.5])
def test_limits_of_a_difference_cover_it_as_often_as_they_say(p):
    rng = np.random.default_rng(1998)
    drawn = rng.binomial([40, 30], [p, p + 0.2], (3000, 2))
    held = [
        low <= -0.2 <= high
        for one, other in drawn.tolist()
        for low, high in [difference_limits(one, 40, other, 30, 0.9)]
    ]
    assert 0.88 < np.mean(held) < 0.94


def test_with_one_answer_only_the_exact_test_says_nothing_and_chi_square_is_missing():
    found = compare_rates(5, 5, 8, 8)
    assert (found.pearson, found.yates, found.notes) == (None, None, (ONE_ANSWER_ONLY,))
    assert (found.exact_one_sided, found.exact_two_sided) == pytest.approx((1, 1))


def test_ten_thousand_answers_are_no_hurdle():
    found = compare_rates(4000, 5000, 3900, 5000)
    reference = stats.hypergeom.sf(3999, 10000, 7900, 5000)
    assert found.exact_one_sided == pytest.approx(reference, rel=1e-9)


def test_chances_with_fixed_margins_add_up_to_one():
    assert count_chances(7, 5, 4).sum() == pytest.approx(1, abs=1e-14)


@pytest.mark.parametrize(
    ("counts", "message"),
    [
        ((5, 4, 1, 4), "first .* not 5"),
        ((1, 4, -1, 4), "second .* not -1"),
        ((0, 0, 1, 4), "first must have from 1 .* not 0"),
        ((1, 4, 1, 4, 1.5), r"level .* not 1\.5"),
        ((True, 4, 1, 4), "first .* not True"),
    ],
)
def test_impossible_counts_are_refused_by_name_and_value(counts, message):
    with pytest.raises(ValueError, match=message):
        compare_rates(*counts)
