"""Waves of a round. Durations and limits are common practice, no source; sums worked by hand."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.brewing.kit import Kit
from server.brewing.waves import Table, Trouble, plan_own_waves, plan_waves

SIX = Table(seats=7, cups_per_seat=3, pots=4)


def test_a_small_round_is_served_at_once():
    # 21 cups in 2.8 min, 6 min to cool, 7 seats in 2.3 min: 11.1. The first of four pots is made
    # after 5 min, the last after 11; 2 min of checks and 2.8 of pouring later it is 15.8.
    found = plan_waves(SIX, Kit(cups=42, pots=4))
    assert (found.seats, found.troubles) == ((7,), ())
    assert (found.cup_wait_min, found.brew_wait_min, found.brew_limit_min) == (12, 11, 15)
    assert found.rounds_at_once == 2


def test_a_long_pour_is_split_into_waves():
    found = plan_waves(Table(seats=13, cups_per_seat=3, pots=4), Kit(cups=80, pots=4))
    assert (found.seats, found.troubles) == ((7, 6), ())
    assert found.cup_wait_min <= 15


def test_cups_that_wait_too_long_are_refused_with_what_helps():
    found = plan_waves(replace(SIX, cups_per_seat=4), Kit(cups=99, pots=4, wait_min=7))
    assert found.troubles == (Trouble.CUP_WAITS,)
    assert found.mends == ((("hands", 2),),)


def test_pots_that_do_not_hold_the_brews_are_refused_with_what_helps():
    found = plan_waves(SIX, Kit(cups=30, pots=2))
    assert found.troubles == (Trouble.VESSELS,)
    assert found.mends == ((("flasks", 2),), (("pots", 4),))


def test_too_few_cups_would_be_washed_while_a_brew_stands():
    found = plan_waves(Table(seats=13, cups_per_seat=3, pots=4), Kit(cups=20, pots=4))
    assert Trouble.BREW_WAITS in found.troubles
    assert found.mends == ((("cups", 39),),)


def test_where_no_single_change_helps_several_are_named_together():
    found = plan_waves(Table(seats=2, cups_per_seat=3, pots=4), Kit(cups=2, pots=1))
    assert found.mends == ((("cups", 6), ("flasks", 4)),)


tables = st.builds(Table, st.integers(1, 40), st.integers(1, 5), st.integers(2, 12), st.booleans())
kits = st.builds(
    Kit, st.integers(1, 150), st.integers(1, 12), st.integers(0, 12), st.integers(1, 4),
    st.integers(5, 30),
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(tables, kits)
def test_what_is_said_to_mend_it_does(table, kit):
    found = plan_waves(table, kit)
    assert sum(found.seats) == table.seats
    for mend in found.mends:
        assert plan_waves(table, replace(kit, **dict(mend))).troubles == ()


@settings(max_examples=60, deadline=None)
@given(tables, kits)
def test_a_schedule_without_trouble_keeps_every_limit(table, kit):
    found = plan_waves(table, kit)
    if not found.troubles:
        assert found.cup_wait_min <= kit.wait_min
        assert found.brew_wait_min <= found.brew_limit_min
        assert max(found.seats) * table.cups_per_seat <= kit.cups
        assert table.pots <= kit.pots + kit.flasks


def test_alone_a_sitting_wants_all_its_cups_and_two_flasks():
    # Four pots two minutes apart, 3 of checks, two servings of 6 and a pour of 1: 22 minutes.
    found = plan_own_waves(3, 3, 4, Kit(cups=8, pots=4))
    assert (found.troubles, found.brew_wait_min) == ((Trouble.CUPS, Trouble.BREW_WAITS), 22)
    assert found.mends == ((("cups", 9), ("flasks", 2)),)
    assert plan_own_waves(3, 3, 4, Kit(cups=9, pots=4, flasks=2)).troubles == ()


@pytest.mark.parametrize("name", ["cups", "pots", "hands", "wait_min"])
def test_a_kit_of_nothing_is_refused_by_name(name):
    given = {"cups": 9, "pots": 2, name: 0}
    with pytest.raises(ValueError, match=f"{name} must be at least 1, got 0"):
        Kit(**given)
