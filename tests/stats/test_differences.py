"""Fish of ISO 8586: its table in test_anova.py; values recomputed independently in two programs."""

import numpy as np
import pytest
from scipy import stats

from server.stats.differences import UNEQUAL, compare_means
from server.stats.studentized_range import studentized_range_quantile

FISH = [7.5, 37 / 6, 4.25, 59 / 12, 47 / 12, 16 / 3]
BY_INTERACTION = {"se": (2 * (16.04166667 / 15) / 12) ** 0.5, "df": 15}
BY_ERROR = {"se": (2 * (61.33333333 / 48) / 12) ** 0.5, "df": 48}


@pytest.mark.parametrize(
    ("error", "lsd", "hsd", "letters_lsd", "letters_hsd"),
    [
        (BY_INTERACTION, 0.8998674565, 1.371667801, "a b de cd e bc", "a ab cd bcd d bc"),
        (BY_ERROR, 0.9278659254, 1.369621417, "a b de cd e bc", "a ab cd bcd d bc"),
    ],
    ids=["over the interaction", "over repeat error"],
)
def test_least_differences_and_letters_equal_computed_ones(
    error, lsd, hsd, letters_lsd, letters_hsd
):
    found = compare_means(FISH, **error)
    assert (found.lsd, found.hsd) == pytest.approx((lsd, hsd), rel=1e-8)
    assert " ".join(found.letters_lsd) == letters_lsd
    assert " ".join(found.letters_hsd) == letters_hsd


@pytest.mark.parametrize(
    ("error", "first_second", "second_next"),
    [
        (BY_INTERACTION, 0.05908751537, 0.3996278722),
        (BY_ERROR, 0.0605163775, 0.471816273),
    ],
    ids=["over the interaction", "over repeat error"],
)
def test_adjusted_p_values_equal_computed_ones(error, first_second, second_next):
    # The highest mean against the next, and that one against the third, batch 6.
    found = {
        (pair.first, pair.second): pair.p_adjusted for pair in compare_means(FISH, **error).pairs
    }
    assert found[0, 1] == pytest.approx(first_second, rel=1e-6)
    assert found[1, 5] == pytest.approx(second_next, rel=1e-6)


def test_the_farthest_pair_has_the_computed_p_value_as_far_as_two_programs_agree():
    assert compare_means(FISH, **BY_INTERACTION).pairs[3].p_adjusted == pytest.approx(
        5.186159084e-06, rel=1e-5
    )
    # Below 1e-8 general statistics programs lose digits: 7.39355e-09 there; ten times finer
    # steps here keep 7.39642e-09.
    assert compare_means(FISH, **BY_ERROR).pairs[3].p_adjusted == pytest.approx(7.4e-09, rel=1e-3)


def test_adjusted_p_values_equal_those_of_another_implementation():
    rng = np.random.default_rng(1953)
    groups = [rng.normal(shift, 1, size) for shift, size in ((0, 5), (1, 9), (0.5, 12))]
    within = sum(((group - group.mean()) ** 2).sum() for group in groups) / (26 - 3)
    se = np.array([[(within * (1 / len(a) + 1 / len(b))) ** 0.5 for b in groups] for a in groups])
    found = compare_means([group.mean() for group in groups], se, 23)
    expected = stats.tukey_hsd(*groups)
    for pair in found.pairs:
        assert pair.p_adjusted == pytest.approx(expected.pvalue[pair.first, pair.second], abs=1e-8)
        low, _ = expected.confidence_interval(0.95)
        assert pair.interval.low == pytest.approx(low[pair.first, pair.second], abs=1e-6)


def test_unequal_errors_leave_no_least_difference_but_letters():
    se = np.array([[0, 0.2, 0.2], [0.2, 0, 0.9], [0.2, 0.9, 0]])
    found = compare_means([1.0, 2.0, 0.0], se, 20)
    assert (found.lsd, found.hsd, found.notes) == (None, None, (UNEQUAL,))
    assert len(found.letters_hsd) == 3


def test_two_samples_need_no_adjusting():
    (pair,) = compare_means([1.0, 2.5], 0.6, 7).pairs
    assert pair.p_adjusted == pytest.approx(pair.p_value, rel=1e-9)


@pytest.mark.parametrize("error", [BY_INTERACTION, BY_ERROR])
def test_a_pair_is_told_apart_exactly_if_it_exceeds_the_least_difference(error):
    found = compare_means(FISH, **error)
    for pair in found.pairs:
        assert (abs(pair.difference) >= found.lsd) == (pair.p_value <= 0.05)
        assert (abs(pair.difference) >= found.hsd) == (pair.p_adjusted <= 0.05)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (([1.0], 1, 5), "means must be 2 or more, not 1"),
        (([1.0, 2], 0, 5), "se must be above 0"),
        (([1.0, 2], 1, 0), "df must be above 0"),
        (([1.0, 2], 1, 5, 1.0), "alpha must be"),
    ],
)
def test_impossible_arguments_are_refused(arguments, message):
    with pytest.raises(ValueError, match=message):
        compare_means(*arguments)


@pytest.mark.parametrize(("lowest", "highest"), [(5, 19), (60, 90), (500, 1900)])
def test_quantiles_of_many_degrees_of_freedom_equal_exact_ones(lowest, highest):
    rng = np.random.default_rng(1956)
    df = rng.uniform(lowest, highest, (6, 6))
    found = compare_means([1.0, 2, 4, 5, 6, 8], 1.0, df)
    for pair in found.pairs:
        reach = (pair.interval.high - pair.interval.low) / 2**0.5
        assert reach == pytest.approx(studentized_range_quantile(0.05, 6, pair.df), rel=1e-8)
