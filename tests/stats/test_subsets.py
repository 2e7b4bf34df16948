import numpy as np
import pytest

from server.stats.ratings import Ratings, build_ratings
from server.stats.subsets import keep_rows, leave_out


@pytest.fixture
def ratings() -> Ratings:
    return build_ratings(
        ["ann", "bo", "cy", "bo"], ["X", "X", "Y", "Z"], [1, 2, 3, 4], ["u", "u", "v", "w"]
    )


def test_leaving_out_an_assessor_keeps_all_others(ratings):
    left = leave_out(ratings, "ann")
    assert (left.assessors, left.value.tolist()) == (("bo", "cy"), [2, 3, 4])


def test_samples_and_bowls_of_nobody_else_go_with_the_assessor(ratings):
    left = leave_out(ratings, "bo")
    assert (left.samples, left.bowls) == (("X", "Y"), ("u", "v"))


def test_an_unknown_assessor_is_refused(ratings):
    with pytest.raises(ValueError, match="assessor must be one of ann, bo, cy, not 'di'"):
        leave_out(ratings, "di")


def test_the_only_assessor_cannot_be_left_out():
    with pytest.raises(ValueError, match="assessor must not be the only one, as 'ann' is"):
        leave_out(build_ratings(["ann"], ["X"], [1]), "ann")


def test_rows_can_be_kept_by_a_mask(ratings):
    kept = keep_rows(ratings, ratings.value > 2)
    assert (kept.assessors, kept.bowls) == (("bo", "cy"), ("v", "w"))


def test_keeping_no_row_is_refused(ratings):
    with pytest.raises(ValueError, match="at least one value"):
        keep_rows(ratings, np.zeros(4, dtype=bool))
