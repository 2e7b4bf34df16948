import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.fixed_margins import Layout, permutation_p
from server.stats.paired_answers import compare_signs
from server.stats.two_rates import compare_rates


def build_layout(draw) -> Layout:
    first, second = draw(st.integers(0, 3)), draw(st.integers(1, 3))
    yes = draw(st.integers(0, first + second))
    first_yes = draw(st.integers(max(0, yes - second), min(first, yes)))
    return Layout(first, second, yes, first_yes)


layouts = st.lists(st.composite(build_layout)(), min_size=1, max_size=2)


@pytest.mark.parametrize(("right", "ways"), [(4, 1), (3, 17)])
def test_a_lady_tasting_tea_is_right_by_chance_as_often_as_printed(right, ways):
    # 1/70 for all eight cups right, 17/70 for 6 of 8 or more: printed in an article of 2009 on
    # a statistics site; the layout is Fisher's (1935), from memory.
    assert permutation_p([Layout(4, 4, 4, right)]) == pytest.approx(ways / 70, rel=1e-13)


@given(layouts)
def test_the_chance_equals_a_count_of_all_ways_to_deal_the_answers(given_layouts):
    totals = [0]
    for first, second, yes, _ in given_layouts:
        dealt = itertools.combinations(range(first + second), yes)
        hits = [sum(place < first for place in one) for one in dealt]
        totals = [before + hit for before in totals for hit in hits]
    observed = sum(layout.first_yes for layout in given_layouts)
    assert permutation_p(given_layouts) == pytest.approx(np.mean(np.array(totals) >= observed))


@given(st.integers(0, 20), st.integers(0, 20), st.integers(0, 5), st.integers(0, 5))
def test_with_one_serving_of_each_it_is_the_exact_sign_test(plus, minus, both, neither):
    everybody = (
        [Layout(1, 1, 1, 1)] * plus
        + [Layout(1, 1, 1, 0)] * minus
        + [Layout(1, 1, 2, 1)] * both
        + [Layout(1, 1, 0, 0)] * neither
    )
    if everybody:
        expected = compare_signs(plus, minus).exact_one_sided
        assert permutation_p(everybody) == pytest.approx(expected, rel=1e-12)


def test_one_assessor_alone_is_tested_as_fisher_tests_a_table():
    expected = compare_rates(9, 12, 4, 10).exact_one_sided
    assert permutation_p([Layout(12, 10, 13, 9)]) == pytest.approx(expected, rel=1e-12)


def test_two_assessors_of_opposite_habits_are_not_mixed_up():
    # One says yes to nearly everything, the other to nearly nothing, and the first was served
    # more of the first sample: pooled, the habits look like a difference.
    habits = [Layout(9, 1, 10, 9), Layout(1, 9, 0, 0)]
    assert permutation_p(habits) == pytest.approx(1)
    assert compare_rates(9, 10, 1, 10).exact_one_sided < 0.01


@pytest.mark.parametrize(
    "wrong", [Layout(4, 4, 4, 5), Layout(4, 2, 5, 2), Layout(-1, 4, 2, 0), Layout(0, 0, 0, 0)]
)
def test_numbers_that_do_not_fit_together_are_refused(wrong):
    with pytest.raises(ValueError, match="layouts must hold numbers that fit together, not"):
        permutation_p([wrong])


def test_no_assessors_are_refused():
    with pytest.raises(ValueError, match="layouts must hold at least one assessor, not none"):
        permutation_p([])
