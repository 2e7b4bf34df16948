from server.blinding.table_stands import is_scored, list_ring, list_scored, list_stands
from tests.drawn_tables import draw_batches


def test_places_count_codes_not_cups() -> None:
    stands = list_stands(draw_batches(3, bowls=4).servings[0])
    assert [stand.place for stand in stands] == [1, 2, 3]


def test_a_single_cup_has_bowl_nought() -> None:
    stands = list_stands(draw_batches(3).servings[0])
    assert [stand.bowls for stand in stands] == [(0,)] * 3


def test_a_warm_up_cup_is_not_scored() -> None:
    sealed = draw_batches(3, warm_up="C")
    assert [is_scored(sealed, one) for one in sealed.servings] == [False] * 7 + [True] * 7


def test_spare_seats_can_be_told_from_others() -> None:
    sealed = draw_batches(3, spare_seats=2)
    assert [len(list_scored(sealed, spare=spare)) for spare in (None, False, True)] == [8, 6, 2]


def test_a_ring_is_read_from_the_first_seat() -> None:
    sealed = draw_batches(3, style="shared")
    assert list_ring(reversed(sealed.servings)) == list_stands(sealed.servings[0])
