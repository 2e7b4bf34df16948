"""Cups brewed one by one: how long they wait, and the run of a round of them."""

from datetime import time

import pytest

from server.brewing.kit import Kit
from server.brewing.schedule import HOTTEST_C, Who, count_minutes, plan_run
from server.brewing.single_cups import plan_single_waves
from server.brewing.waves import Trouble


def run(rounds: int = 1, seats: int = 3):
    return plan_run(time(9, 30), [["A1", "B1"]] * rounds, seats, single=True)


def test_every_seat_is_brewed_for_and_served_by_itself() -> None:
    served = [step for step in run() if "brew its 3 cups" in step.what]
    assert [f"{one.at:%H:%M}" for one in served] == ["09:40", "09:46", "09:52"]
    assert any(f"{HOTTEST_C} °C or below" in one.what for one in run())


def test_no_pot_is_named_where_there_is_none() -> None:
    assert not [step for step in run() if "A1" in step.what or "pot" in step.what]


def test_a_second_round_begins_when_the_first_is_washed_up_and_rested() -> None:
    steps = run(rounds=2)
    washed = next(one for one in steps if one.what.startswith("Wash up"))
    heated = [one for one in steps if one.what.startswith("Heat")][1]
    assert (heated.at.hour * 60 + heated.at.minute) >= (
        washed.at.hour * 60 + washed.at.minute + washed.minutes
    )


def test_many_small_brews_take_longer_than_a_few_pots() -> None:
    pots = plan_run(time(9, 30), [["A1", "B1", "A2", "B2"]], 12)
    assert count_minutes(run(seats=12)) > count_minutes(pots)


def test_tasters_come_after_the_last_brew() -> None:
    steps = run()
    sip = next(one for one in steps if one.who == Who.TASTERS)
    assert f"{sip.at:%H:%M}" == "09:58"


def test_cups_wait_only_for_the_others_of_their_serving() -> None:
    few, many = (plan_single_waves(seats, 3, Kit(cups=30, pots=1)) for seats in (2, 40))
    assert few.cup_wait_min == many.cup_wait_min
    assert many.troubles == ()


@pytest.mark.parametrize(
    ("kit", "trouble", "mends"),
    [
        (Kit(cups=2, pots=1), Trouble.CUPS, ((("cups", 3),),)),
        (Kit(cups=9, pots=1, wait_min=12), Trouble.CUP_WAITS, ((("pots", 2), ("hands", 2)),)),
        (Kit(cups=9, pots=1, wait_min=5), Trouble.CUP_WAITS, ()),
    ],
)
def test_what_does_not_work_is_told_with_what_would_mend_it(kit, trouble, mends) -> None:
    found = plan_single_waves(4, 3, kit)
    assert (found.troubles, found.mends) == ((trouble,), mends)


def test_alone_the_cups_of_a_whole_sitting_have_to_be_there() -> None:
    found = plan_single_waves(3, 3, Kit(cups=8, pots=1), alone=True)
    assert (found.troubles, found.mends) == ((Trouble.CUPS,), ((("cups", 9),),))
