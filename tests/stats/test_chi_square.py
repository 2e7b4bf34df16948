import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.chi_square import build_chi_square, normal_quantile


@given(st.floats(0, 200), st.integers(1, 12))
def test_tails_equal_those_of_a_general_library(statistic, df):
    assert build_chi_square(statistic, df).p_value == pytest.approx(
        stats.chi2.sf(statistic, df), rel=1e-10
    )


@given(st.floats(0.01, 0.9999))
def test_the_square_of_the_normal_quantile_is_that_of_chi_square(level):
    assert normal_quantile(level) ** 2 == pytest.approx(stats.chi2.ppf(level, 1), rel=1e-9)


def test_digits_lost_below_zero_count_as_zero():
    assert build_chi_square(-1e-17, 2).statistic == 0


@pytest.mark.parametrize(
    ("statistic", "df", "message"),
    [(float("nan"), 1, "statistic .* not nan"), (1.0, 0, "df .* not 0")],
)
def test_what_is_no_statistic_is_refused(statistic, df, message):
    with pytest.raises(ValueError, match=message):
        build_chi_square(statistic, df)


def test_a_level_of_one_is_refused():
    with pytest.raises(ValueError, match=r"level .* not 1\.0"):
        normal_quantile(1.0)
