import numpy as np
import pytest

from server.stats.guessed_logistic import GuessedLogistic, find_peak, profile
from server.stats.midpoint_limits import find_limits


def build(correct, trials=24, chance=1 / 3):
    sizes = np.full(len(correct), float(trials))
    return GuessedLogistic(
        np.linspace(-1, 1, len(correct)), np.array(correct, dtype=float), sizes, chance
    )


def find(answers, allowed=1.92):
    peak = find_peak(answers)
    edges = answers.level_peak(answers.chance, 1), answers.jump_peak()
    least = max(peak.log_likelihood, *edges) - allowed
    return *find_limits(answers, peak, least), least


def test_the_profile_reaches_the_wanted_height_at_both_limits():
    answers = build([9, 11, 12, 17, 21, 24])
    low, high, least = find(answers)
    assert profile(answers, np.array([low, high])) == pytest.approx([least, least], abs=1e-7)


def test_outside_the_limits_no_midpoint_is_likely_enough():
    answers = build([9, 11, 12, 17, 21, 24])
    low, high, least = find(answers)
    beyond = np.concatenate([low - np.geomspace(1e-3, 15, 40), high + np.geomspace(1e-3, 15, 40)])
    assert (profile(answers, beyond) < least).all()


def test_limits_widen_with_what_is_allowed():
    narrow, wide = find(build([9, 11, 17, 21, 24]), 0.5), find(build([9, 11, 17, 21, 24]), 3)
    assert wide[0] < narrow[0] < narrow[1] < wide[1]


@pytest.mark.parametrize(
    ("correct", "low_is_open", "high_is_open"),
    [
        ([8, 8, 8, 8], False, True),
        ([24, 24, 24, 24], True, False),
        ([14, 14, 14, 14], True, True),
        ([24, 16, 16, 8], True, True),
        ([8, 8, 24, 24], False, False),
        ([8, 9, 8, 11], False, True),
    ],
    ids=["guessing", "all correct", "level", "falling", "jump", "barely rising"],
)
def test_sides_on_which_the_answers_set_no_limit_are_open(correct, low_is_open, high_is_open):
    low, high, _ = find(build(correct))
    assert (low is None, high is None) == (low_is_open, high_is_open)


def test_a_jump_is_held_between_its_doses_and_a_little_beside():
    low, high, _ = find(build([80, 80, 240, 240], 240))
    assert -1 < low < -1 / 3 + 0.01
    assert 1 / 3 - 0.01 < high < 1


def test_huge_counts_give_narrow_limits():
    answers = build([0, 0, 0, 0, 0], 1)
    counts = 100_000 * answers.pc(0.2, 4.0)
    low, high, _ = find(build(counts, 100_000))
    assert 0.18 < low < 0.2 < high < 0.22
