import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.studentized_range import studentized_range_quantile, studentized_range_tail


@pytest.mark.parametrize(
    ("means", "df", "q"),
    # Upper 5 % points of the tables in handbooks of statistics, such as Pearson & Hartley (1966),
    # Biometrika Tables for Statisticians, volume 1, table 29; from memory.
    [(2, 1, 17.97), (3, 10, 3.88), (4, 20, 3.96), (5, 5, 5.67), (10, 60, 4.65), (2, 30, 2.89)],
)
def test_the_upper_5_percent_points_are_those_of_the_tables(means, df, q):
    assert studentized_range_quantile(0.05, means, df) == pytest.approx(q, abs=0.006)


RANGES = [0.5, 2, 4, 6]
EVERY_DF = [1, 1.5, 2, 3, 15, 77.3, 480.5, 5000]
EVERY_MEANS = [2, 5, 12, 13, 30]


@pytest.mark.parametrize(("at", "df"), list(enumerate(EVERY_DF)))
@pytest.mark.parametrize("means", EVERY_MEANS)
def test_tails_equal_those_of_another_implementation(means, at, df):
    # The other implementation takes its time: each range here is looked up at every fourth df.
    q = RANGES[(at + means) % 4]
    expected = stats.studentized_range.sf(q, means, df)
    assert studentized_range_tail([q], means, df)[0] == pytest.approx(expected, abs=2e-9)


@pytest.mark.long
@pytest.mark.parametrize("df", EVERY_DF)
@pytest.mark.parametrize("means", EVERY_MEANS)
def test_all_tails_equal_those_of_another_implementation(means, df):
    q = RANGES
    expected = stats.studentized_range.sf(q, means, df)
    assert studentized_range_tail(q, means, df) == pytest.approx(expected, abs=2e-9)


@pytest.mark.parametrize("q", [0.3, 1, 3, 7])
@pytest.mark.parametrize("df", [1, 4.5, 60])
def test_two_means_have_the_tail_of_student_s_t(q, df):
    # The range of two means in standard errors is √2 |t|.
    expected = 2 * stats.t.sf(q / 2**0.5, df)
    assert studentized_range_tail([q], 2, df)[0] == pytest.approx(expected, rel=1e-9)


def test_a_known_error_gives_the_range_of_normal_values():
    # Harter (1960), 5 % point for 4 means and infinite degrees of freedom: 3.633 (from memory).
    assert studentized_range_quantile(0.05, 4, 1e9) == pytest.approx(3.633, abs=5e-4)


@given(st.floats(1e-6, 0.999), st.integers(2, 20), st.floats(1, 1000))
def test_a_quantile_has_the_tail_it_was_asked_for(alpha, means, df):
    q = studentized_range_quantile(alpha, means, df)
    assert studentized_range_tail([q], means, df)[0] == pytest.approx(alpha, rel=1e-8)


@given(st.floats(0, 8), st.floats(0, 8), st.integers(2, 20), st.floats(1, 1000))
def test_a_wider_range_is_rarer(one, other, means, df):
    low, high = sorted((one, other))
    near, far = studentized_range_tail([low, high], means, df)
    assert 0 <= far <= near <= 1


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: studentized_range_tail([-1], 3, 5), "q must be 0 or more"),
        (lambda: studentized_range_tail([1], 1, 5), "means must be .* not 1"),
        (lambda: studentized_range_tail([1], 3, 0), "df must be above 0, not 0"),
        (lambda: studentized_range_quantile(1, 3, 5), "alpha must be .* not 1"),
    ],
)
def test_impossible_arguments_are_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()
