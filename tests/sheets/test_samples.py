import numpy as np
import pytest

from server.sheets.samples import BOWLS, GAPS, compare_samples
from server.sheets.scores import collect_ratings
from server.stats.anova import NO_INTERACTION, ONE_ASSESSOR
from server.stats.differences import UNEQUAL
from server.stats.ratings import build_ratings
from server.stats.subsets import keep_rows


def test_full_cells_are_analysed_by_variance_over_the_interaction(fish):
    # Scores of ISO 8586; all numbers recomputed independently (two programs).
    found, _ = compare_samples(collect_ratings(fish))
    assert (found.method, found.error_term, found.df) == ("anova", "assessor:sample", (5, 15))
    assert found.f == pytest.approx(19.61818182, abs=5e-9)
    assert found.p_value == pytest.approx(4.24489244e-06, rel=1e-6)


def test_samples_are_not_tested_over_repeat_error(fish):
    # 16.41956522 on 5 and 48 degrees of freedom: the wrong test.
    assert compare_samples(collect_ratings(fish))[0].f != pytest.approx(16.41956522, rel=1e-3)


def test_means_differences_and_letters_of_a_published_table(fish):
    # Means as printed in ISO 8586; the rest recomputed independently (two programs).
    found, _ = compare_samples(collect_ratings(fish))
    printed = {"1": 7.50, "2": 6.17, "3": 4.25, "4": 4.92, "5": 3.92, "6": 5.33}
    assert found.means == pytest.approx(printed, abs=0.005)
    assert (found.lsd, found.hsd) == pytest.approx((0.8998674565, 1.371667801), abs=1e-8)
    assert found.letters == dict(zip("123456", ["a", "ab", "cd", "bcd", "d", "bc"], strict=True))


def test_components_by_moments_stay_negative_and_it_is_said(fish):
    found, notes = compare_samples(collect_ratings(fish))
    expected = {
        "assessor": 0.4228395062,
        "assessor:sample": -0.06944444444,
        "residual": 1.277777778,
    }
    assert found.variance == pytest.approx(expected, abs=1e-9)
    assert any("assessor:sample" in note and "counts as 0" in note for note in notes)


def test_a_gap_is_analysed_by_variance_components(tea):
    ratings = collect_ratings(tea[1:])
    found, notes = compare_samples(ratings)
    assert (found.method, found.error_term, found.interaction) == (
        "reml",
        "variance components",
        None,
    )
    assert {GAPS.format(1, 2), UNEQUAL} <= set(notes)


def test_where_errors_differ_letters_remain_and_least_differences_do_not(tea):
    found, _ = compare_samples(collect_ratings(tea[1:]))
    assert (found.lsd, found.hsd) == (None, None)
    assert set(found.letters.values()) <= {"a", "b", "ab"}


def test_one_value_fewer_changes_little(tea):
    # Components by moments are all positive here, where both methods agree without gaps.
    whole, _ = compare_samples(collect_ratings(tea))
    less, _ = compare_samples(collect_ratings(tea[1:]))
    assert min(whole.variance.values()) > 0
    assert less.f == pytest.approx(whole.f, rel=0.2)


def test_shared_bowls_bring_a_component_of_their_own(tea):
    shared = [score._replace(bowl=str(place % 2)) for place, score in enumerate(tea)]
    found, notes = compare_samples(collect_ratings(shared))
    assert list(found.variance) == ["assessor", "assessor:sample", "bowl", "residual"]
    assert (found.method, notes[0]) == ("reml", BOWLS)


def test_a_bad_bowl_counts_once_not_once_an_assessor():
    # One of two bowls of X is off for all twelve: samples differ for own cups, not for bowls.
    rng = np.random.default_rng(3)
    people = [f"p{place}" for place in range(12) for _ in range(4)]
    names, bowls = ["X", "X", "Y", "Y"] * 12, ["X1", "X2", "Y1", "Y2"] * 12
    values = np.tile([8.0, 5, 5, 5], 12) + rng.normal(scale=0.5, size=48)
    own, _ = compare_samples(build_ratings(people, names, values))
    shared, _ = compare_samples(build_ratings(people, names, values, bowls))
    assert own.p_value < 0.001
    assert shared.p_value > 0.05


def test_one_assessor_has_means_only():
    found, notes = compare_samples(build_ratings(["ann"] * 2, ["X", "Y"], [3, 5]))
    assert (found.means, found.p_value, found.letters) == (
        {"X": 3, "Y": 5},
        None,
        {"X": None, "Y": None},
    )
    assert ONE_ASSESSOR in notes


def test_samples_without_interaction_have_no_test():
    people, names = ["a", "a", "b", "b"], ["X", "Y"] * 2
    found, notes = compare_samples(build_ratings(people, names, [1, 2, 3, 4]))
    assert (found.f, found.lsd) == (None, None)
    assert NO_INTERACTION in notes


def test_the_order_of_rows_changes_nothing(tea):
    ratings = collect_ratings(tea)
    shuffled = keep_rows(ratings, np.random.default_rng(1).permutation(len(tea)))
    assert compare_samples(shuffled)[0].f == pytest.approx(compare_samples(ratings)[0].f)


def test_samples_that_are_missing_can_be_named(tea):
    found, _ = compare_samples(collect_ratings(tea))
    assert found.mention(["tap"]).means["tap"] is None
    assert list(found.mention(["tap"]).letters) == ["flushed", "fresh", "old", "tap"]


def test_a_level_out_of_range_is_refused(tea):
    with pytest.raises(ValueError, match="alpha must be above 0 and below 1, not 1"):
        compare_samples(collect_ratings(tea), 1)
