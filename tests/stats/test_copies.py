import numpy as np
import pytest

from server.stats.copies import drop_copies
from server.stats.ratings import Ratings, build_ratings

ROWS = [("ann", "X", 4.0), ("ann", "X", 4.0), ("ann", "Y", 6.0), ("bo", "X", 3.0)]


def build(rows: list[tuple[str, str, float]]) -> Ratings:
    return build_ratings(*map(list, zip(*rows, strict=True)))


def test_ratings_that_are_no_copies_stay_the_same_object():
    ratings = build(ROWS)
    assert drop_copies(ratings) == (ratings, 1)


@pytest.mark.parametrize("copies", [2, 3, 6])
def test_copies_are_counted_once_and_keep_their_own_repeats(copies):
    once, found = drop_copies(build(ROWS * copies))
    assert found == copies
    assert sorted(once.value.tolist()) == [3, 4, 4, 6]


def test_copied_row_by_row_or_as_a_whole_is_the_same():
    beside = [row for row in ROWS for _ in range(2)]
    assert drop_copies(build(beside))[0].counts().tolist() == [[2, 1], [1, 0]]


def test_the_smallest_common_multiple_decides():
    rows = [("ann", "X", 4.0)] * 4 + [("bo", "X", 3.0)] * 6
    once, found = drop_copies(build(rows))
    assert (found, once.counts().tolist()) == (2, [[2], [3]])


def test_bowls_are_kept_apart():
    ratings = build_ratings(["ann"] * 2, ["X"] * 2, [4, 4], ["one", "two"])
    assert drop_copies(ratings)[1] == 1


def test_copies_of_bowls_are_found():
    ratings = build_ratings(["ann"] * 4, ["X"] * 4, [4, 5] * 2, ["one", "two"] * 2)
    once, found = drop_copies(ratings)
    assert (found, once.bowls, once.bowl.tolist()) == (2, ("one", "two"), [0, 1])


def test_gaps_do_not_matter():
    rng = np.random.default_rng(1)
    rows = [(f"a{i}", f"s{j}", float(rng.normal())) for i in range(4) for j in range(3) if i != j]
    assert drop_copies(build(rows * 5))[1] == 5
