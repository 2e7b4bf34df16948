from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from server.reports.table_figures.labelling import Box, place_names

SHEET = Box(0, 0, 308, 308)
PLACES = st.tuples(st.floats(20, 290), st.floats(20, 290))


@given(st.lists(PLACES, min_size=1, max_size=10))
def test_few_names_never_cover_one_another(points):
    placed = place_names(points, [(50, 11)] * len(points), SHEET)
    assert sum(one.box.overlap(other.box) for one, other in combinations(placed, 2)) < 1


@given(st.lists(PLACES, min_size=1, max_size=12))
def test_names_stay_on_the_sheet(points):
    placed = place_names(points, [(50, 11)] * len(points), SHEET)
    assert all(one.box.overlap(SHEET) > 0.99 * 550 for one in placed)


def test_a_name_beside_its_point_needs_no_line():
    [one] = place_names([(100, 100)], [(30, 10)], SHEET)
    assert (one.needs_line, one.box.left) == (False, 105.0)


def test_a_name_keeps_off_what_must_be_seen():
    wall = [Box(102, 0, 200, 308)]
    [one] = place_names([(100, 100)], [(30, 10)], SHEET, wall)
    assert one.box.overlap(wall[0]) == 0
