import pytest

from server.blinding.balance import Aspect
from server.blinding.sealed import SealedTasting
from server.blinding.table_balance import Balanced, measure_table_balance
from tests.drawn_tables import draw_batches


# E. J. Williams 1949 (abstract): with an even number of samples as many orders are enough for
# each sample to be at each position and after each other one equally often.
def test_four_seats_of_four_own_cups_are_a_williams_square() -> None:
    found = measure_table_balance(draw_batches(4, assessors=4))
    assert found.design == Balanced.NEIGHBOURS
    assert {found.ranges[one] for one in (Aspect.POSITIONS, Aspect.NEIGHBOURS)} == {(1, 1)}


# Cochran and Cox, Experimental Designs (1957), plan 11.7 (from memory): t = 7, k = 3, r = 3,
# b = 7, λ = 1, efficiency λ t / (r k) = 7/9.
def test_seven_seats_of_three_out_of_seven_are_the_published_design() -> None:
    found = measure_table_balance(draw_batches(7, assessors=7, block=3))
    assert (set(found.servings.values()), found.ranges[Aspect.PAIRS]) == ({3}, (1, 1))
    assert found.efficiency == pytest.approx(7 / 9, rel=1e-12)


# The same design over one sample less, which here is in every block beside a reference: each
# pair of the others once, each of them with the reference in all its blocks.
def test_a_reference_ties_every_block_together() -> None:
    found = measure_table_balance(draw_batches(8, assessors=7, block=4, reference="H"))
    assert found.ranges[Aspect.PAIRS] == (1, 1)
    assert set(found.pairs["H"].values()) == {3}


def test_a_shared_table_is_balanced_for_position_only() -> None:
    found = measure_table_balance(draw_batches(6, style="shared", assessors=6))
    assert found.design == Balanced.POSITIONS
    assert found.ranges[Aspect.POSITIONS] == (1, 1)
    assert Aspect.NEIGHBOURS in found.ranges
    assert found.ranges[Aspect.NEIGHBOURS][0] == 0


def test_duplicates_are_counted_apart_from_samples_that_stand_once() -> None:
    found = measure_table_balance(draw_batches(3, assessors=8, duplicates=("A",)))
    assert found.positions == {"A": (4, 4, 4, 4), "B": (2, 2, 2, 2), "C": (2, 2, 2, 2)}
    assert (found.ranges[Aspect.POSITIONS], found.beside_itself) == ((2, 2), 0)


def test_each_seat_meets_samples_as_often_as_any_over_enough_sittings() -> None:
    found = measure_table_balance(draw_batches(4, assessors=6, block=2, sittings=2))
    assert set(found.seats.values()) == {(1, 1)}


def test_spare_seats_are_not_counted() -> None:
    found = measure_table_balance(draw_batches(4, assessors=4, spare_seats=3))
    assert set(found.servings.values()) == {4}


def test_where_every_sample_stands_twice_none_is_left_to_compare_positions() -> None:
    found = measure_table_balance(draw_batches(2, duplicates=("A", "B")))
    assert set(found.ranges) == {Aspect.SIZES}


def test_a_triangle_has_no_table_to_measure(sealed: SealedTasting) -> None:
    with pytest.raises(ValueError, match="plan must have a table"):
        measure_table_balance(sealed)
