import dataclasses
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.jar import (
    ALL_RIGHT,
    NO_SPREAD,
    NOBODY,
    NONE_RIGHT,
    ONE_IN_GROUP,
    analyse_jar,
    find_ends,
)

# Synthetic: liking and answers 1 to 5 of twenty people. Results recomputed independently (two
# programs); definitions as in ASTM MNL63 (2009).
LIKING = (7, 8, 6, 5, 7, 4, 8, 6, 5, 6, 7, 4, 5, 8, 6, 3, 7, 6, 9, 5)
ANSWERS = (3, 3, 2, 2, 3, 4, 3, 3, 4, 4, 3, 2, 1, 3, 3, 5, 3, 2, 3, 4)

panels = st.lists(st.tuples(st.integers(1, 5), st.integers(1, 9)), min_size=1, max_size=20)


def analyse(**changed):
    return analyse_jar(**{"answers": ANSWERS, "liking": LIKING} | changed)


def test_groups_have_the_sizes_and_means_of_the_computed_example():
    found = analyse()
    assert (found.low.n, found.right.n, found.high.n) == (5, 10, 5)
    assert (found.low.mean, found.right.mean, found.high.mean) == pytest.approx((5.2, 7.3, 4.6))


def test_drops_equal_the_computed_example():
    found = analyse()
    assert (found.low.drop, found.high.drop) == pytest.approx((2.1, 2.7), rel=1e-12)
    weighted = (found.low.weighted_drop, found.high.weighted_drop)
    assert weighted == pytest.approx((0.525, 0.675), rel=1e-12)


def test_the_penalty_and_its_tests_equal_the_computed_example():
    found = analyse()
    assert (found.penalty, found.mean) == pytest.approx((2.4, 6.1), rel=1e-12)
    assert dataclasses.astuple(found.welch) == pytest.approx(
        (5.52214792, 17.96022649, 3.06636849e-05), rel=5e-10
    )
    assert dataclasses.astuple(found.pooled) == pytest.approx(
        (5.52214792, 18, 3.042290637e-05), rel=5e-10
    )


def test_answers_are_counted_along_the_scale():
    assert analyse().counts == (1, 4, 10, 4, 1)


@given(panels)
def test_the_penalty_is_what_the_weighted_drops_add_up_to_over_their_shares(panel):
    answers, liking = zip(*panel, strict=True)
    found = analyse_jar(answers, liking)
    if found.penalty is not None:
        weighted = sum(side.weighted_drop or 0 for side in (found.low, found.high))
        assert found.penalty * (1 - found.right.share) == pytest.approx(weighted, abs=1e-12)


@given(panels)
def test_any_panel_gives_strict_json(panel):
    answers, liking = zip(*panel, strict=True)
    assert json.dumps(dataclasses.asdict(analyse_jar(answers, liking)), allow_nan=False)


@given(panels)
def test_turning_the_scale_round_swaps_the_sides(panel):
    answers, liking = zip(*panel, strict=True)
    found, turned = analyse_jar(answers, liking), analyse_jar([6 - x for x in answers], liking)
    assert (found.low, found.high) == (turned.high, turned.low)


def test_a_scale_around_0_gives_the_same_as_one_from_1():
    moved = analyse(answers=[at - 3 for at in ANSWERS], right=0)
    assert dataclasses.replace(moved, right_answer=3) == analyse()


@pytest.mark.parametrize("points", [3, 7, 9])
def test_any_odd_number_of_points_will_do(points):
    middle = (points + 1) // 2
    found = analyse_jar([1, middle, middle, points], [4, 7, 8, 5], points=points)
    assert (found.low.drop, found.high.drop, len(found.counts)) == (3.5, 2.5, points)


def test_a_side_with_exactly_a_fifth_of_the_answers_is_not_small():
    found = analyse_jar([1, 3, 3, 3, 3, 3, 3, 3, 5, 5], [4, 7, 8, 7, 8, 7, 8, 7, 5, 6])
    assert (found.low.small, found.high.small) == (True, False)


@pytest.mark.parametrize(
    ("answers", "liking", "note"),
    [
        ([1, 2, 4], [5, 6, 7], NONE_RIGHT),
        ([3, 3, 3], [5, 6, 7], ALL_RIGHT),
        ([3, 3, 1, 1], [8, 8, 5, 5], NO_SPREAD),
        ([3, 1, 2, 1], [8, 4, 5, 5], ONE_IN_GROUP),
        ([3, 3, 1, 2], [8, 7, 4, 5], NOBODY.format("high")),
    ],
)
def test_what_is_not_estimable_has_a_reason(answers, liking, note):
    assert note in analyse_jar(answers, liking).notes


def test_without_spread_the_penalty_stands_without_tests():
    found = analyse_jar([3, 3, 1, 1], [0.3, 0.3, 0.1, 0.1])
    assert found.penalty == pytest.approx(0.2)
    assert (found.welch, found.pooled, found.penalty_interval) == (None, None, None)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"points": 4}, "points must be odd, 3 or more, not 4"),
        ({"answers": (6, *ANSWERS[1:])}, "answers must be whole, 1 to 5, not 6"),
        ({"answers": (2.5, *ANSWERS[1:])}, "answers must be whole, 1 to 5, not 2.5"),
        ({"answers": ANSWERS[1:]}, "answers must be as many as likings"),
        ({"liking": (float("inf"), *LIKING[1:])}, "liking must be finite, not inf"),
        ({"level": 1.0}, "level must be above 0 and below 1, not 1.0"),
        ({"answers": (), "liking": ()}, "one or more, not 0"),
    ],
)
def test_bad_arguments_are_named(changed, message):
    with pytest.raises(ValueError, match=message):
        analyse(**changed)


def test_the_ends_of_the_scale_lie_alike_around_its_middle():
    assert (find_ends(9), find_ends(5, right=0)) == ((1, 9), (-2, 2))
