import math

import pytest

from server.stats.checks import (
    check_counts,
    check_d_prime,
    check_open_unit,
    check_probability,
    check_trials,
)


@pytest.mark.parametrize("trials", [0, -1, 1_000_001, 2.0, True, "12"])
def test_trials_that_no_test_has_are_refused(trials):
    with pytest.raises(ValueError, match=f"trials must .*not {trials}"):
        check_trials(trials)


@pytest.mark.parametrize("correct", [-1, 13, 1.0, False])
def test_a_count_outside_the_trials_is_refused(correct):
    with pytest.raises(ValueError, match=rf"correct must .*\(12\), not {correct}"):
        check_counts(correct, 12)


@pytest.mark.parametrize("value", [0, 1, -0.1, 1.1, math.nan, math.inf])
def test_a_level_must_lie_strictly_between_0_and_1(value):
    with pytest.raises(ValueError, match=f"alpha must .*not {value}"):
        check_open_unit("alpha", value)


@pytest.mark.parametrize("value", [-0.1, 1.1, math.nan])
def test_a_probability_must_lie_from_0_to_1(value):
    with pytest.raises(ValueError, match=f"pc must .*not {value}"):
        check_probability("pc", value)


@pytest.mark.parametrize("value", [-0.1, math.nan, math.inf])
def test_a_distance_must_be_finite_and_not_negative(value):
    with pytest.raises(ValueError, match=f"d_prime must .*not {value}"):
        check_d_prime(value)


def test_the_ends_of_every_range_that_has_ends_pass():
    check_trials(1)
    check_trials(1_000_000)
    check_counts(0, 1)
    check_counts(1, 1)
    check_probability("pc", 0)
    check_probability("pc", 1)
    check_d_prime(0)
