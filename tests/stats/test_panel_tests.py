import itertools
import math

import numpy as np
import pytest
from scipy import special, stats

from server.stats.overdispersed import log_pmf
from server.stats.panel_tests import (
    NO_COMPANY,
    compare_mean_with_chance,
    compare_with_guessing,
)

THIRD = 1 / 3
FIVES = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]


def list_panels(people, each):
    """Return every panel there can be, whoever is who."""
    return list(itertools.combinations_with_replacement(range(each + 1), people))


def weigh(panel, log_probabilities):
    """Return the probability of a panel, whoever is who."""
    counts = np.bincount(panel, minlength=len(log_probabilities))
    ways = special.gammaln(len(panel) + 1) - special.gammaln(counts + 1).sum()
    return math.exp(ways + counts @ log_probabilities)


@pytest.fixture(scope="module")
def mean_tests():
    """Every panel of 10 people with 2 answers each, and its p-value."""
    panels = list_panels(10, 2)
    found = [compare_mean_with_chance(panel, [2] * 10, THIRD) for panel in panels]
    return [(panel, test.p_value) for panel, test in zip(panels, found, strict=True)]


@pytest.mark.parametrize("gamma", [0.0, 0.3, 0.7])
def test_the_test_of_the_mean_keeps_its_level_whatever_the_spread(mean_tests, gamma):
    # All 66 panels, their probabilities exact; the mean is at chance.
    logs = log_pmf(2, 0.0, THIRD, gamma)
    error = sum(weigh(panel, logs) for panel, p in mean_tests if p <= 0.05)
    assert 0.01 < error < 0.055


def test_more_correct_answers_speak_more_for_a_mean_above_chance(mean_tests):
    p_values = dict(mean_tests)
    alike = [p_values[tuple([1] * (10 - k) + [2] * k)] for k in range(11)]
    assert alike == sorted(alike, reverse=True)


def test_the_signed_root_is_that_of_the_reference_library():
    # scipy.stats.betabinom and a fine net of gammas at mean 1/3; the maximum, computed
    # independently, is -28.301346 (synthetic counts).
    gammas = np.linspace(0.01, 0.9, 8901)
    size = (1 - gammas) / gammas
    held = stats.betabinom.logpmf(np.array(FIVES)[:, None], 5, size / 3, size * 2 / 3).sum(axis=0)
    found = compare_mean_with_chance(FIVES, [5] * 16, THIRD)
    assert found.statistic == pytest.approx(math.sqrt(2 * (-28.301346 - held.max())), abs=2e-6)
    assert found.p_value == pytest.approx(stats.t.sf(found.statistic, 15), rel=1e-9)


def test_a_mean_below_chance_speaks_against_one_above():
    found = compare_mean_with_chance([0, 1, 0, 1, 0, 1], [5] * 6, THIRD)
    assert found.statistic < 0
    assert found.p_value > 0.95


def test_two_sided_both_choices_count_alike():
    one = compare_mean_with_chance([4, 3, 4, 1, 4], [4] * 5, 0.5, sided="two")
    other = compare_mean_with_chance([0, 1, 0, 3, 0], [4] * 5, 0.5, sided="two")
    upper = compare_mean_with_chance([4, 3, 4, 1, 4], [4] * 5, 0.5)
    assert one.p_value == pytest.approx(other.p_value, rel=1e-6)
    assert one.p_value == pytest.approx(2 * upper.p_value, rel=1e-9)


def test_opposite_choices_that_are_firm_leave_the_mean_open():
    # 30 of 48 for one sample: pooled p is 0.11; of eight firm people five chose it.
    found = compare_mean_with_chance([6, 6, 6, 6, 6, 0, 0, 0], [6] * 8, 0.5, sided="two")
    assert found.p_value > 0.4


def test_one_person_has_no_mean_of_people():
    found = compare_mean_with_chance([4], [6], THIRD)
    assert (found.statistic, found.p_value, found.notes) == (None, None, (NO_COMPANY,))


def test_guessing_panels_reach_each_p_value_as_often_as_it_says():
    # Every panel of 6 people with 3 answers each; p from 1,999 draws, seeded.
    logs = stats.binom.logpmf(range(4), 3, THIRD)
    panels = list_panels(6, 3)
    p_values = [
        compare_with_guessing(panel, [3] * 6, THIRD, np.random.default_rng(3), 1999).p_value
        for panel in panels
    ]
    weights = [weigh(panel, logs) for panel in panels]
    for alpha in (0.05, 0.2):
        reached = sum(w for w, p in zip(weights, p_values, strict=True) if p <= alpha)
        assert reached < alpha + 0.02


def test_a_few_who_always_notice_show_in_the_pattern_sooner_than_in_the_total():
    # 3 of 12 always right, the others as guessing: 34 of 72 have the exact p 0.0100.
    answers = [6, 6, 6, 2, 2, 2, 2, 2, 2, 1, 1, 2]
    found = compare_with_guessing(answers, [6] * 12, THIRD, np.random.default_rng(1), 1999)
    pooled = stats.binom.sf(33, 72, THIRD)
    assert found.p_value < pooled / 5


def test_guessing_itself_has_a_large_p_value():
    found = compare_with_guessing([2] * 8, [6] * 8, THIRD, np.random.default_rng(1), 199)
    assert (found.statistic, found.p_value) == (0, 1)


def test_the_statistic_is_near_to_the_likelihood_ratio():
    # The maximum, computed independently, is -26.306982; guessing alone by the reference
    # library. The net can only fall short of it, and little.
    guessing = stats.binom.logpmf(FIVES, 5, THIRD).sum()
    found = compare_with_guessing(FIVES, [5] * 16, THIRD, np.random.default_rng(1), 99)
    assert 0 <= 2 * (-26.306981 - guessing) - found.statistic < 0.1


def test_the_same_seed_gives_the_same_p_value():
    panels = ([2, 3, 4], [4, 5, 6], THIRD)
    twice = [compare_with_guessing(*panels, np.random.default_rng(5), 499) for _ in range(2)]
    assert twice[0] == twice[1]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: compare_mean_with_chance([1], [2], 0.0), r"chance .* not 0.0"),
        (lambda: compare_mean_with_chance([1], [2], THIRD, "two"), r"chance must be 0.5"),
        (lambda: compare_with_guessing([3], [2], 0.5, np.random.default_rng(1)), r"correct .* 3"),
        (lambda: compare_with_guessing([1], [2], 1.0, np.random.default_rng(1)), r"chance .* 1.0"),
        (
            lambda: compare_with_guessing([1], [2], 0.5, np.random.default_rng(1), 98),
            "draws must be 99 or more, not 98",
        ),
    ],
)
def test_impossible_arguments_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
