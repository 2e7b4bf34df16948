"""Panels with gaps and shared bowls.

Fish: six batches, four assessors, three scores each (ISO 8586, see the file's head), its
restricted likelihood recomputed independently in two programs. The rest are seeded synthetic
values and small made-up tables, against scipy.stats and identities.
"""

import json
import math
from dataclasses import asdict

import numpy as np
import pytest
from scipy import stats

from server.stats.anova import (
    COPIES,
    NO_INTERACTION,
    ONE_ASSESSOR,
    ONE_REPLICATE,
    ONE_SAMPLE,
    analyse_balanced,
)
from server.stats.differences import compare_means
from server.stats.mixed import (
    AT_ZERO,
    CONSTANT,
    DISCONNECTED,
    NO_ERROR,
    NO_WIDENED,
    NOT_SHARED,
    REPEATS_AGREE,
    THESE_BOWLS,
    TOO_FEW,
    analyse_mixed,
)
from server.stats.ratings import Ratings, build_ratings
from tests.panels import read_fish


def pour(lost: float = 0.15, bowls: bool = False, copies: int = 1, change=lambda y: y) -> Ratings:
    """Eight assessors, four samples (the first two alike), three bowls or cups of each."""
    rng = np.random.default_rng(31)
    a, s, b = (grid.ravel() for grid in np.indices((8, 4, 3)))
    values = 5 + np.array([0, 0, 1, 2])[s] + rng.normal(size=8)[a] + rng.normal(size=96)
    values += 0.7 * rng.normal(size=(8, 4))[a, s] + 0.6 * bowls * rng.normal(size=(4, 3))[s, b]
    kept = np.tile(np.flatnonzero(rng.random(96) >= lost), copies)
    people, samples = [f"a{i}" for i in a[kept]], [f"s{i}" for i in s[kept]]
    vessels = [f"b{i}" for i in (s * 3 + b)[kept]]
    return build_ratings(people, samples, change(values[kept]).tolist(), vessels if bowls else None)


def table(rows: dict[str, dict[str, list[float]]], bowls: bool = False) -> Ratings:
    """Values of assessors on samples; the first of each of bowl 1, the second of bowl 2."""
    flat = [
        (person, sample, value, f"{sample}{place}")
        for person, values in rows.items()
        for sample, several in values.items()
        for place, value in enumerate(several)
    ]
    people, samples, values, vessels = map(list, zip(*flat, strict=True))
    return build_ratings(people, samples, values, vessels if bowls else None)


@pytest.fixture(scope="module")
def fish():
    return analyse_mixed(read_fish())


def test_fish_variances_and_likelihood_equal_computed_ones(fish):
    assert fish.components["assessor:sample"] == 0
    assert fish.components["assessor"] == pytest.approx(0.414021129, rel=1e-7)
    assert fish.components["residual"] == pytest.approx(1.228174607, rel=1e-7)
    # Computed with samples coded as deviations from a general mean: lower by the log of 6.
    assert fish.log_likelihood - math.log(6) == pytest.approx(-112.6122146, abs=1e-6)


def test_fish_samples_are_tested_as_computed(fish):
    # The balanced analysis of variance reports 19.618 on 5 and 15 degrees of freedom instead.
    assert fish.sample_test.f == pytest.approx(17.082714, rel=1e-7)
    assert fish.sample_test.df == pytest.approx((5, 63))
    assert fish.sample_test.p_value == pytest.approx(1.207067874e-10, rel=1e-6)


def test_a_variance_of_zero_is_said(fish):
    assert AT_ZERO.format("assessor:sample") in fish.notes


def test_means_of_balanced_data_are_the_plain_ones(fish):
    assert [one.mean for one in fish.means] == pytest.approx(analyse_balanced(read_fish()).means)


def test_balanced_data_without_a_zero_are_the_analysis_of_variance():
    ratings = pour(lost=0)
    known, found = analyse_balanced(ratings), analyse_mixed(ratings)
    assert found.components == pytest.approx(known.components, rel=1e-8)
    assert found.sample_test.f == pytest.approx(known.sample_test.f, rel=1e-8)
    assert found.sample_test.df == pytest.approx(known.sample_test.df, rel=1e-7)


def test_balanced_data_have_one_least_significant_difference():
    ratings = pour(lost=0)
    known, pairs = analyse_balanced(ratings), analyse_mixed(ratings).differences
    theirs = compare_means(known.means, 2**0.5 * known.se, known.interaction.df)
    assert (pairs.lsd, pairs.hsd) == pytest.approx((theirs.lsd, theirs.hsd), rel=1e-7)
    assert pairs.letters_hsd == theirs.letters_hsd


def test_pairs_are_compared_as_by_the_general_studentised_range():
    pairs = analyse_mixed(pour()).differences.pairs
    p_values = [
        stats.studentized_range.sf(2**0.5 * abs(one.difference) / one.se, 4, one.df)
        for one in pairs
    ]
    assert [one.p_adjusted for one in pairs] == pytest.approx(p_values, rel=1e-6)


def test_intervals_of_means_are_those_of_students_t():
    for one in analyse_mixed(pour(), alpha=0.1).means:
        low, high = stats.t.interval(0.9, one.df, one.mean, one.se)
        assert one.interval == pytest.approx((low, high))


def test_a_mean_makes_up_for_the_assessors_it_lacks():
    # Dee gives everything 10 more and misses Y: the plain means would put X far above Y.
    rows = {
        who: {"X": [5 + up, 6 + up], "Y": [6 + up, 5.5 + up], "Z": [4 + up, 5 + up]}
        for who, up in (("ann", 0.0), ("bo", 1.0), ("cy", 0.2), ("dee", 10.0))
    }
    del rows["dee"]["Y"]
    ratings = table(rows)
    plain = [ratings.value[ratings.sample == place].mean() for place in range(2)]
    x, y, _ = (one.mean for one in analyse_mixed(ratings).means)
    assert plain[0] - plain[1] > 2
    assert x - y == pytest.approx(-0.25, abs=0.1)


@pytest.mark.parametrize("bowls", [False, True])
def test_copying_every_row_changes_nothing(bowls):
    once, thrice = analyse_mixed(pour(bowls=bowls)), analyse_mixed(pour(bowls=bowls, copies=3))
    assert thrice.sample_test.p_value == pytest.approx(once.sample_test.p_value, rel=1e-9)
    assert COPIES.format(3) in thrice.notes


@pytest.mark.parametrize("bowls", [False, True])
def test_another_scale_changes_the_unit_only(bowls):
    found = analyse_mixed(pour(bowls=bowls))
    other = analyse_mixed(pour(bowls=bowls, change=lambda y: 1000 * y - 40))
    assert other.sample_test.f == pytest.approx(found.sample_test.f, rel=1e-8)
    expected = {name: 1e6 * size for name, size in found.components.items()}
    assert other.components == pytest.approx(expected, rel=1e-6)


def test_reversed_scores_have_the_same_test():
    found, other = analyse_mixed(pour()), analyse_mixed(pour(change=lambda y: -y))
    assert other.sample_test.f == pytest.approx(found.sample_test.f, rel=1e-8)


@pytest.mark.parametrize("freedom", ["satterthwaite", "kenward-roger"])
@pytest.mark.parametrize("bowls", [False, True])
def test_the_result_is_plain_data(freedom, bowls):
    found = analyse_mixed(pour(bowls=bowls), freedom=freedom)
    assert json.dumps(asdict(found), allow_nan=False)
    assert found.notes == ()


def test_kenward_and_roger_widen_standard_errors_with_gaps():
    plain, widened = (
        analyse_mixed(pour(0.3), freedom=one) for one in ("satterthwaite", "kenward-roger")
    )
    assert widened.means[0].se > plain.means[0].se
    assert widened.differences.pairs[0].se > plain.differences.pairs[0].se


def test_shared_bowls_have_a_variance_and_a_more_cautious_test():
    shared, own = analyse_mixed(pour(bowls=True)), pour(bowls=True)
    own = Ratings(own.assessors, own.samples, own.assessor, own.sample, own.value)
    assert shared.components["bowl"] > 0
    assert shared.sample_test.p_value > analyse_mixed(own).sample_test.p_value


def test_one_bowl_a_sample_is_about_these_bowls():
    rows = {who: {"X": [v], "Y": [v + d]} for who, v, d in (("a", 3, 2), ("b", 4, 3), ("c", 2, 1))}
    found, own = analyse_mixed(table(rows, bowls=True)), analyse_mixed(table(rows))
    assert found.notes == (THESE_BOWLS, ONE_REPLICATE)
    assert found.sample_test == own.sample_test
    assert found.components["bowl"] is None


def test_bowls_that_nobody_shared_count_as_own_cups():
    ratings = pour()
    cups = [f"{place:03}" for place in range(len(ratings.value))]
    people = [ratings.assessors[at] for at in ratings.assessor]
    samples = [ratings.samples[at] for at in ratings.sample]
    found = analyse_mixed(build_ratings(people, samples, ratings.value.tolist(), cups))
    assert NOT_SHARED in found.notes
    assert found.sample_test == analyse_mixed(ratings).sample_test


def test_one_value_a_cell_leaves_the_interaction_in_the_error():
    cells = pour(lost=0).means()
    rows = {f"a{i}": {f"s{j}": [y] for j, y in enumerate(row)} for i, row in enumerate(cells)}
    full = table(rows)
    found, known = analyse_mixed(full), analyse_balanced(full)
    assert found.sample_test.f == pytest.approx(known.sample_test.f)
    assert found.components["assessor:sample"] is None
    assert found.notes == (ONE_REPLICATE,)


def test_a_sample_nobody_rated_twice_is_no_obstacle():
    ratings = pour(0)
    once = (ratings.sample != 2) | (np.arange(len(ratings.value)) % 3 == 0)
    columns = (ratings.assessor[once], ratings.sample[once], ratings.value[once])
    found = analyse_mixed(Ratings(ratings.assessors, ratings.samples, *columns))
    assert found.notes == ()
    assert found.means[2].se > found.means[1].se


def test_repeats_that_all_agree_count_once():
    rows = {"a": {"X": [3.0], "Y": [5.0]}, "b": {"X": [4.0], "Y": [7.0]}, "c": {"X": [2], "Y": [3]}}
    again = {who: {name: several * 2 for name, several in row.items()} for who, row in rows.items()}
    again["a"]["X"] = [3.0] * 3  # no common multiple, so that they cannot be copies
    found = analyse_mixed(table(again))
    assert found.sample_test == analyse_mixed(table(rows)).sample_test
    assert found.notes == (REPEATS_AGREE, ONE_REPLICATE)


UNTESTABLE = {
    "one assessor": ({"a": {"X": [1, 2], "Y": [3, 4]}}, ONE_ASSESSOR),
    "one sample": ({"a": {"X": [1, 2]}, "b": {"X": [3, 3]}}, ONE_SAMPLE),
    "no chain of assessors": (
        {"a": {"X": [1, 2], "Y": [3, 3]}, "b": {"Z": [2, 3]}, "c": {"Z": [1]}},
        DISCONNECTED.format("Z", "X, Y"),
    ),
    "as many effects as cells": (
        {"a": {"X": [1, 2], "Y": [3, 3]}, "b": {"Y": [2, 3], "Z": [2, 4]}},
        TOO_FEW,
    ),
    "nothing varies": ({"a": {"X": [0.3], "Y": [1]}, "b": {"X": [0.1 + 0.2], "Y": [1]}}, CONSTANT),
    "everything is the same": ({"a": {"X": [4], "Y": [4]}, "b": {"X": [4], "Y": [4]}}, CONSTANT),
    "all agree on the differences": (
        {"a": {"X": [1], "Y": [1.3]}, "b": {"X": [2], "Y": [2.3]}, "c": {"X": [5.1], "Y": [5.4]}},
        NO_INTERACTION,
    ),
}


@pytest.mark.parametrize(("rows", "reason"), UNTESTABLE.values(), ids=UNTESTABLE.keys())
def test_samples_that_cannot_be_tested_have_plain_means_and_a_reason(rows, reason):
    found = analyse_mixed(table(rows))
    assert (found.sample_test, found.differences, found.means[0].se) == (None, None, None)
    assert reason in found.notes
    assert found.means[0].mean == pytest.approx(
        np.mean([value for row in rows.values() for value in row.get("X", [])])
    )


def test_bowls_and_cells_that_explain_everything_leave_no_error():
    lift = {"a": {"X": 0, "Y": 1}, "b": {"X": 3, "Y": 2}, "c": {"X": 1, "Y": 5}}
    rows = {
        who: {"X": [1 + up["X"], 2 + up["X"]], "Y": [4 + up["Y"], 7 + up["Y"]]}
        for who, up in lift.items()
    }
    assert analyse_mixed(table(rows, bowls=True)).notes == (NO_ERROR,)


def test_too_few_degrees_of_freedom_for_the_widened_test_are_said():
    rows = {
        who: {"X": [y, y + 9.1 + e], "Y": [y + e], "Z": [y - 3 * e]}
        for who, y, e in (("a", 1, 0.3), ("b", 2, 0.1), ("c", 4, -0.2), ("d", 3, 0.25))
    }
    found = analyse_mixed(table(rows, bowls=True), freedom="kenward-roger")
    assert found.sample_test is None
    assert NO_WIDENED in found.notes


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"alpha": 1.0}, "alpha must be above 0 and below 1, not 1.0"),
        ({"freedom": "plenty"}, "freedom must be one of satterthwaite, kenward-roger"),
    ],
)
def test_unknown_options_are_refused(options, message):
    with pytest.raises(ValueError, match=message):
        analyse_mixed(pour(), **options)
