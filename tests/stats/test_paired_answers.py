import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.paired_answers import NOBODY_DIFFERED, compare_signs

numbers = st.integers(0, 300)


def test_a_students_sheet_with_14_and_12_changes_has_the_printed_statistic():
    # A student's laboratory sheet, 40 panellists: McNemar with correction, printed 0.0385.
    assert compare_signs(14, 12).corrected.statistic == pytest.approx(0.03846154, abs=5e-9)


def test_the_exact_p_of_14_and_12_changes_is_all_but_the_middle_of_26():
    # Noted as 0.84501889; the exact value, 1 - C(26, 13) / 2**26 = 0.84501898..., shows that
    # its last two digits were swapped in writing.
    exact = 1 - math.comb(26, 13) / 2**26
    assert compare_signs(14, 12).exact_two_sided == pytest.approx(exact, rel=1e-13)
    assert exact == pytest.approx(0.84501889, abs=1e-7)


def test_27_of_40_in_a_paired_test_has_the_printed_z_but_not_the_printed_chi_square():
    # The same sheet prints z = 2.055 and chi-square 4.925. The square of its own z is 4.225,
    # (|27 - 13| - 1)² / 40 or twice 6.5² / 20: the printed chi-square is wrong by one digit.
    found = compare_signs(27, 13)
    assert math.sqrt(found.corrected.statistic) == pytest.approx(2.05548048, abs=5e-9)
    assert found.corrected.statistic == pytest.approx(4.225, abs=1e-12)
    assert found.exact_one_sided == pytest.approx(0.01923865, abs=5e-9)


@pytest.mark.parametrize(
    ("changes", "p"),
    # Discordant pairs and exact two-sided p, computed independently; data of Cochran (1950,
    # from memory), of a course page and of a nonparametric handbook.
    [
        ((0, 4), 0.125),
        ((2, 3), 1),
        ((4, 3), 1),
        ((0, 3), 0.25),
        ((1, 5), 0.21875),
        ((0, 7), 0.015625),
        ((1, 4), 0.375),
        ((6, 0), 0.03125),
    ],
)
def test_the_exact_p_of_changed_answers_equals_computed_values(changes, p):
    assert compare_signs(*changes).exact_two_sided == pytest.approx(p, abs=1e-12)


@pytest.mark.parametrize(
    ("changes", "p"),
    # Without correction, from the same three sets, computed independently.
    [
        ((0, 4), 0.0455002638964),
        ((2, 3), 0.654720846019),
        ((0, 3), 0.0832645166636),
        ((1, 5), 0.1024704349),
        ((0, 7), 0.008150971594),
        ((6, 0), 0.01430587844),
    ],
)
def test_the_chi_square_p_of_changed_answers_equals_computed_values(changes, p):
    assert compare_signs(*changes).chi_square.p_value == pytest.approx(p, rel=1e-9)


@given(numbers, numbers)
def test_exact_values_equal_those_of_a_general_library(plus, minus):
    if plus + minus:
        found = compare_signs(plus, minus)
        two = stats.binomtest(plus, plus + minus).pvalue
        one = stats.binomtest(plus, plus + minus, alternative="greater").pvalue
        assert (found.exact_one_sided, found.exact_two_sided) == pytest.approx((one, two), rel=1e-9)


@given(numbers, numbers)
def test_two_sided_tests_do_not_ask_which_way(plus, minus):
    one, other = compare_signs(plus, minus), compare_signs(minus, plus)
    assert (one.exact_two_sided, one.corrected) == (other.exact_two_sided, other.corrected)


def test_an_even_split_has_a_corrected_statistic_of_zero():
    assert compare_signs(5, 5).corrected.statistic == 0


def test_if_nobody_differed_there_is_no_statistic_and_a_reason():
    found = compare_signs(0, 0)
    assert (found.chi_square, found.corrected, found.exact_two_sided) == (None, None, 1)
    assert found.notes == (NOBODY_DIFFERED,)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [((-1, 2), "plus .* not -1"), ((1, 2.5), r"minus .* not 2\.5"), ((True, 2), "plus .* True")],
)
def test_impossible_numbers_are_refused(arguments, message):
    with pytest.raises(ValueError, match=message):
        compare_signs(*arguments)
