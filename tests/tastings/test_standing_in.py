from uuid import UUID

from server.blinding.record import Record, Void
from server.tastings.standing_in import find_planned, find_present

A, B, C = (UUID(int=number, version=4) for number in (1, 2, 3))


def make(*voids):
    return Record(voids={one: Void(one, "spilt", other) for one, other in voids})


def test_a_serving_stands_for_itself_while_nothing_is_spilt():
    assert (find_present(make(), A), find_planned(make(), A)) == (A, A)


def test_spare_servings_are_followed_to_the_last_one_and_back():
    record = make((A, B), (B, C))
    assert (find_present(record, A), find_planned(record, C)) == (C, A)


def test_nothing_stands_for_a_serving_whose_spare_is_void():
    assert find_present(make((A, B), (B, None)), A) is None


def test_a_record_that_runs_in_a_circle_ends():
    record = make((A, B), (B, A))
    assert find_present(record, A) is None
    assert find_planned(record, A) in (A, B)
