"""Codes around a shared table."""

import pytest

from server.blinding.table_lists import list_around
from tests.drawn_tables import draw_batches


def test_codes_stand_around_a_shared_table_as_neighbours_walk_past_them() -> None:
    sealed = draw_batches(5, style="shared")
    around = [stand.code for stand in list_around(sealed, 1)]
    second = sealed.servings[1].codes
    at = around.index(second[0])
    assert second == tuple(around[at - step] for step in range(5))


@pytest.mark.parametrize(("style", "round_"), [("own", 1), ("shared", 9)])
def test_what_stands_around_no_table_is_refused(style: str, round_: int) -> None:
    with pytest.raises(ValueError, match="round_ must be one of a shared table"):
        list_around(draw_batches(3, style=style), round_)
