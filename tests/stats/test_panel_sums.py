"""Sums against the values themselves; seeded synthetic values."""

import numpy as np
import pytest

from server.stats.copies import drop_copies
from server.stats.panel_sums import drop_repeats, forget_bowls, sum_panel
from server.stats.ratings import Ratings, build_ratings


def pour(copies: int = 1, bowls: bool = True) -> Ratings:
    rng = np.random.default_rng(20)
    rows = [(a, s, s + k) for a in "abcd" for s in "XYZ" for k in "12"] * copies
    values = rng.normal(6, 2, len(rows) // copies).tolist() * copies
    people, samples, vessels = map(list, zip(*rows, strict=True))
    return build_ratings(people, samples, values, vessels if bowls else None)


def test_values_are_centred_on_the_means_of_their_samples():
    ratings = pour()
    sums = sum_panel(ratings)
    means = [ratings.value[ratings.sample == place].mean() for place in range(3)]
    assert sums.centres == pytest.approx(means)
    assert sums.cells[1].sum(axis=0) == pytest.approx(0)


def test_totals_are_those_of_assessors_on_bowls():
    ratings = pour()
    sums = sum_panel(ratings)
    mine = (ratings.assessor == 1) & (ratings.bowl == 4)
    total = (ratings.value[mine] - sums.centres[sums.holds[4]]).sum() / sums.unit
    assert sums.totals[1, 4] == pytest.approx(total)
    assert sums.counts[1, 4] == mine.sum()


def test_the_unit_is_the_spread_within_samples():
    sums = sum_panel(pour())
    assert sums.squares == pytest.approx(sums.values - sums.samples)


def test_repeats_are_the_squares_within_an_assessor_on_a_bowl():
    ratings = pour(bowls=False)
    cells = ratings.value.reshape(4, 3, 2)
    sums = sum_panel(ratings)
    assert sums.repeats * sums.unit**2 == pytest.approx((np.ptp(cells, axis=2) ** 2).sum() / 2)


def test_without_variation_within_samples_there_is_no_unit():
    same = build_ratings(list("aabb"), list("XYXY"), [0.1 + 0.2, 4, 0.3, 4])
    assert sum_panel(same).unit == 0


@pytest.mark.parametrize("bowls", [False, True])
@pytest.mark.parametrize("copies", [2, 3])
def test_copies_are_counted_once(copies, bowls):
    found, number = drop_copies(pour(copies, bowls))
    once = sum_panel(pour(1, bowls))
    assert number == copies
    assert sum_panel(found).squares == pytest.approx(once.squares)


def test_rows_that_are_not_all_copied_stay():
    ratings = build_ratings(["a", "a", "b"], ["X"] * 3, [3, 3, 4])
    assert drop_copies(ratings) == (ratings, 1)


def test_repeats_can_be_dropped_and_bowls_forgotten():
    assert sum_panel(drop_repeats(pour(bowls=False))).counts.tolist() == [[1] * 3] * 4
    assert sum_panel(forget_bowls(pour())).counts.tolist() == [[2] * 3] * 4
