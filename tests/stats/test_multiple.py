import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.multiple import holm

families = st.lists(st.floats(0, 1), max_size=8)


@pytest.mark.parametrize(
    ("p_values", "adjusted"),
    # Exact McNemar tests of all pairs of three or four products. The first row's data are a
    # textbook's (Cochran 1950, from memory), the second a course page's, the third a
    # nonparametric handbook's; adjusted values computed independently, twice.
    [
        ((0.125, 1, 0.125, 0.25, 1, 0.25), (0.75, 1, 0.75, 1, 1, 1)),
        ((0.21875, 0.015625, 0.375), (0.4375, 0.046875, 0.4375)),
        ((0.375, 0.375, 0.03125), (0.75, 0.75, 0.09375)),
    ],
)
def test_adjusted_values_equal_computed_ones(p_values, adjusted):
    assert holm(p_values) == pytest.approx(adjusted, abs=1e-12)


def test_one_test_alone_stays_as_it_is():
    assert holm([0.03]) == (0.03,)


def test_no_tests_give_no_values():
    assert holm([]) == ()


@given(families)
def test_adjusting_lies_between_nothing_and_multiplying_by_the_number_of_tests(p_values):
    adjusted = holm(p_values)
    assert all(p <= held for p, held in zip(p_values, adjusted, strict=True))
    assert all(
        held <= min(1, len(p_values) * max(p, min(p_values)) + 1e-12)
        for p, held in zip(p_values, adjusted, strict=True)
    )


@given(families)
def test_the_order_of_p_values_is_kept(p_values):
    pairs = sorted(zip(p_values, holm(p_values), strict=True))
    assert [held for _, held in pairs] == sorted(held for _, held in pairs)


@given(families)
def test_a_family_is_significant_exactly_when_its_smallest_value_times_its_size_is(p_values):
    # Holm (1979): the first step is Bonferroni's test of the whole family.
    if p_values:
        assert min(holm(p_values)) == pytest.approx(min(1, len(p_values) * min(p_values)))


@pytest.mark.parametrize("p", [-0.1, 1.5, float("nan")])
def test_what_is_no_p_value_is_refused(p):
    with pytest.raises(ValueError, match=f"p_values must be from 0 to 1, not {p}"):
        holm([0.5, p])
