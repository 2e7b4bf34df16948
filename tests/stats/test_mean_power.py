"""Power of the test of people's mean.

No table of it is in print; it is compared with a walk over ordered panels and with drawn ones.
"""

from itertools import product
from math import prod

import numpy as np
import pytest

from server.stats.mean_power import mean_test_power
from server.stats.overdispersed import log_pmf
from server.stats.panel_tests import compare_mean_with_chance

THIRD = 1 / 3


def walk(assessors, replicates, alpha, share, gamma):
    """Every ordered panel by itself, whatever others are like it."""
    chances = np.exp(log_pmf(replicates, THIRD, share, gamma))
    trials = [replicates] * assessors
    panels = product(range(replicates + 1), repeat=assessors)
    return sum(
        prod(chances[count] for count in panel)
        for panel in panels
        if compare_mean_with_chance(panel, trials, THIRD).p_value <= alpha
    )


@pytest.mark.parametrize(("share", "gamma"), [(0.0, 0.0), (0.4, 0.0), (0.4, 0.5)])
def test_it_is_that_of_all_ordered_panels(share, gamma):
    power = mean_test_power(4, 2, THIRD, 0.1, share, gamma)
    assert power == pytest.approx(walk(4, 2, 0.1, share, gamma), rel=1e-9)


def test_it_is_what_drawn_panels_come_to():
    rng, panels = np.random.default_rng(1), 4_000
    shares = rng.beta(0.5 * 7 / 3, 0.5 * 7 / 3, size=(panels, 6))  # mean .5, gamma .3
    right = rng.binomial(3, THIRD + (1 - THIRD) * shares)
    tests = (compare_mean_with_chance(one, [3] * 6, THIRD) for one in right.tolist())
    found = [test.p_value <= 0.05 for test in tests]
    power = mean_test_power(6, 3, THIRD, 0.05, 0.5, 0.3)
    assert np.mean(found) == pytest.approx(power, abs=4 * (power * (1 - power) / panels) ** 0.5)


@pytest.mark.parametrize(("assessors", "replicates"), [(6, 2), (6, 3), (10, 4), (20, 2)])
def test_guessing_is_found_in_no_more_than_alpha(assessors, replicates):
    assert mean_test_power(assessors, replicates, THIRD, 0.05, 0.0, 0.0) <= 0.05


def test_people_who_differ_are_harder_to_find():
    alike, differing = (mean_test_power(8, 3, THIRD, 0.05, 0.5, g) for g in (0.0, 0.5))
    assert differing < alike


def test_too_many_panels_are_not_walked_through():
    assert mean_test_power(40, 4, THIRD, 0.05, 0.5, 0.0) is None


@pytest.mark.parametrize(
    ("changed", "name"), [({"alpha": 0.5}, "alpha"), ({"assessors": 1}, "assessors")]
)
def test_what_is_out_of_range_is_refused_by_name(changed, name):
    asked = {"assessors": 4, "replicates": 2, "chance": THIRD, "alpha": 0.05, "share": 0.5}
    with pytest.raises(ValueError, match=name):
        mean_test_power(**asked | {"gamma": 0.0} | changed)
