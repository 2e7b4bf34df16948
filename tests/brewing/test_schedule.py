from datetime import UTC, time
from typing import Any

import pytest

from server.brewing.schedule import HOTTEST_C, Pace, Step, Who, parse_start, plan_run

POTS = [["A1", "B1", "A2", "B2"], ["B3", "A3", "B4", "A4"], ["A5", "B5", "A6", "B6"]]


def run(start: time = time(9, 30), pots: Any = POTS, seats: int = 6, **more: Any) -> list[Step]:
    return plan_run(start, pots, seats, **more)


def find(steps: list[Step], word: str, number: int = 1) -> Step:
    return next(one for one in steps if one.round == number and word in one.what)


def minute(step: Step) -> int:
    """Minutes since midnight of the first day."""
    return step.day * 1440 + step.at.hour * 60 + step.at.minute


# By hand from the default pace (common practice, no source): 10 min to boil, pots at 0, 2, 4
# and 6 min and 5 min each, 2 min check cups, 18 cups of 8 s (3 min), 6 min to cool, 6 seats of
# 20 s (2 min).
@pytest.mark.parametrize(
    ("word", "at"),
    [
        ("Kettle on", "09:30"),
        ("Brew A1", "09:40"),
        ("Brew B2", "09:46"),
        ("Fill a check cup", "09:51"),
        ("then pour", "09:53"),
        ("Wait until", "09:56"),
        ("Serve", "10:02"),
        ("First sniff", "10:04"),
        ("Rinse with water", "10:12"),
        ("Wash up", "10:17"),
    ],
)
def test_a_round_runs_as_reckoned_by_hand(word: str, at: str) -> None:
    assert f"{find(run(), word).at:%H:%M}" == at


def test_the_run_is_told_in_the_order_of_the_clock() -> None:
    moments = [minute(one) for one in run()]
    assert moments == sorted(moments)


def test_pots_are_brewed_in_the_order_they_are_listed() -> None:
    brews = [one.what for one in run() if one.what.startswith("Brew")]
    assert brews == [f"Brew {name}" for names in POTS for name in names]


def test_a_blend_is_made_after_the_last_brew_and_before_the_check_cups() -> None:
    steps = run(blended=True)
    blend = minute(find(steps, "Blend"))
    assert minute(find(steps, "Brew B2")) + 5 == blend == minute(find(steps, "check cup")) - 2


def test_nothing_is_blended_that_is_not_planned_so() -> None:
    assert not any("Blend" in one.what for one in run())


def test_everybody_waits_for_a_check_cup_of_65_degrees() -> None:
    steps = run()
    wait = find(steps, f"at {HOTTEST_C} °C or below")
    assert HOTTEST_C == 65
    assert minute(wait) + wait.minutes == minute(find(steps, "Serve"))


def test_the_check_cup_of_the_wait_is_filled_after_all_others() -> None:
    *others, last = (one.what for one in run() if one.round == 1 and "then pour" in one.what)
    assert last.endswith("last a check cup")
    assert not any("last a" in one for one in others)


# By hand: 18 cups of 8 s are 2.4 min, 0.6 min a pot from 09:53 on, in whole minutes.
def test_every_pot_has_a_clock_time_for_its_brew_and_for_its_release_and_pour() -> None:
    steps = [one for one in run() if one.round == 1]
    brewed = {name: f"{find(steps, f'Brew {name}').at:%H:%M}" for name in POTS[0]}
    poured = {name: f"{find(steps, f'Release {name} ').at:%H:%M}" for name in POTS[0]}
    assert brewed == {"A1": "09:40", "B1": "09:42", "A2": "09:44", "B2": "09:46"}
    assert poured == {"A1": "09:53", "B1": "09:53", "A2": "09:54", "B2": "09:54"}


def test_pots_are_poured_in_the_order_in_which_they_were_brewed() -> None:
    poured = [one.what.split()[1] for one in run() if one.what.startswith("Release")]
    assert poured == [name for names in POTS for name in names]


@pytest.mark.parametrize("many", [1, 2, 5, 30])
def test_pouring_takes_as_long_from_however_many_pots(many: int) -> None:
    steps = run(pots=[[f"P{number}" for number in range(many)]], seats=10)
    pours = [one for one in steps if one.what.startswith("Release")]
    assert len(pours) == many
    ends = max(minute(one) + one.minutes for one in pours)
    assert ends - minute(pours[0]) == 4  # 30 cups of 8 s


def test_a_blend_is_released_and_poured_once_however_many_pots_it_is_of() -> None:
    steps = run(pots=[["A1, brew 1", "A1, brew 2"]], pours=[["A1"]], blended=True)
    assert len([one for one in steps if one.what.startswith("Release A1 ")]) == 1


def test_a_pause_point_stands_between_two_rounds_alone() -> None:
    assert [one.round for one in run() if one.pause_point] == [1, 2]


@pytest.mark.parametrize("number", [1, 2])
def test_a_pause_comes_after_the_wash_up_and_before_the_next_kettle(number: int) -> None:
    steps = run()
    pause = next(one for one in steps if one.pause_point and one.round == number)
    wash = find(steps, "Wash up", number)
    kettle = find(steps, "Kettle", number + 1)
    assert minute(wash) + wash.minutes == minute(pause) <= minute(kettle)


def test_nothing_is_paused_between_pouring_and_the_end_of_tasting() -> None:
    steps = run(pace=Pace(rest_min=300))
    for number in (1, 2, 3):
        pour, sniff = find(steps, "then pour", number), find(steps, "First sniff", number)
        between = range(minute(pour), minute(sniff) + sniff.minutes + 1)
        assert not [one for one in steps if one.pause_point and minute(one) in between]


@pytest.mark.parametrize("rest", [0, 10, 45, 240])
def test_the_tasters_rest_at_least_as_long_as_asked_for(rest: int) -> None:
    steps = run(pace=Pace(rest_min=rest, brew_min=1, wash_min=0))
    last, next_ = find(steps, "First sniff"), find(steps, "First sniff", 2)
    assert minute(next_) - minute(last) - last.minutes >= rest


def test_a_long_rest_moves_the_kettle_and_not_the_cups_that_stand() -> None:
    steps = run(pace=Pace(rest_min=240))
    pour, sniff = find(steps, "then pour", 2), find(steps, "First sniff", 2)
    assert minute(sniff) - minute(pour) == 11


def test_the_last_sip_is_said_once() -> None:
    assert [one.round for one in run() if one.what.startswith("Last sip")] == [3]


def test_everybody_has_something_to_do() -> None:
    assert {one.who for one in run()} == set(Who)


def test_a_run_past_midnight_says_on_which_day() -> None:
    steps = run(time(23, 50))
    brew = find(steps, "Brew A1")
    assert (brew.at, brew.day, steps[0].day) == (time(0, 0), 1, 0)


def test_the_start_moves_everything_alike() -> None:
    early, late = run(time(0, 0)), run(time(23, 59))
    assert {minute(b) - minute(a) for a, b in zip(early, late, strict=True)} == {1439}


def test_more_seats_take_longer_to_pour_and_to_serve() -> None:
    few, many = find(run(seats=6), "First sniff"), find(run(seats=60), "First sniff")
    assert minute(many) - minute(few) == (24 + 20) - (3 + 2)


@pytest.mark.parametrize(
    ("typed", "at"),
    [("09:30", time(9, 30)), (" 7:05 ", time(7, 5)), ("23:59", time(23, 59)), ("00:00", time(0))],
)
def test_a_clock_time_is_read(typed: str, at: time) -> None:
    assert parse_start(typed) == at


@pytest.mark.parametrize("typed", ["", "24:00", "9", "9.30", "12:60", "-1:00", "noon", "٠٩:٣٠"])
def test_what_is_no_clock_time_is_refused(typed: str) -> None:
    with pytest.raises(ValueError, match="start must be a clock time"):
        parse_start(typed)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"start": time(9, tzinfo=UTC)}, "start must be a clock time without a time zone"),
        ({"pots": []}, "pots must name at least one round"),
        ({"pots": [["A1"], []]}, "got none in 2"),
        ({"pots": [["A1"]], "pours": [[]]}, "pours must name at least one"),
        ({"seats": 0}, "seats must be at least 1, got 0"),
        ({"cups_per_seat": 0}, "cups_per_seat must be at least 1, got 0"),
    ],
)
def test_a_run_that_cannot_be_is_refused(changed: dict[str, Any], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        run(**changed)


def test_a_negative_duration_is_refused() -> None:
    with pytest.raises(ValueError, match="brew_min must be at least 0, got -1"):
        Pace(brew_min=-1)
