"""Trays name codes alone; fills name every cup once, and follow the key."""

import dataclasses

import pytest

from server.blinding.sealed import SealedTasting
from server.blinding.table_lists import list_around, list_fills, list_trays
from tests.drawn_tables import draw_batches


def test_every_seat_has_a_tray_with_its_codes() -> None:
    sealed = draw_batches(3, bowls=2, warm_up="A")
    trays = list_trays(sealed, 2)
    assert [(tray.seat, tray.spare, tray.warm_up) for tray in trays] == [
        *((seat, False, False) for seat in range(1, 7)),
        (7, True, False),
    ]
    assert [tray.warm_up for tray in list_trays(sealed, 1)] == [True] * 7


def test_a_tray_is_the_same_whatever_the_key() -> None:
    sealed = draw_batches(3, bowls=2)
    other = sealed.model_copy(update={"key": {}})
    assert list_trays(sealed, 1) == list_trays(other, 1)
    assert {field.name for field in dataclasses.fields(list_trays(sealed, 1)[0])} == {
        "serving", "seat", "sitting", "round", "spare", "warm_up", "stands",
    }  # fmt: skip


def told(sealed: SealedTasting) -> dict[tuple[int | None, str, int], str]:
    return {
        (pour.seat, pour.code, pour.bowl): fill.slot.name
        for fill in list_fills(sealed, sealed.key, 1)
        for pour in fill.pours
    }


def test_every_own_cup_is_poured_once_from_the_brew_of_the_key() -> None:
    sealed = draw_batches(3, bowls=2, duplicates=("A",))
    assert told(sealed) == {
        (one.seat, cup.code, cup.bowl): sealed.key[cup.id]
        for one in sealed.servings
        for cup in one.cups
    }


def test_a_shared_bowl_is_poured_once_for_all_seats() -> None:
    sealed = draw_batches(3, style="shared", bowls=2)
    first = sealed.servings[0]
    assert told(sealed) == {(None, cup.code, cup.bowl): sealed.key[cup.id] for cup in first.cups}


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
