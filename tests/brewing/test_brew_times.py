"""Times of a brew: what is tapped, taken back, typed later, and set beside the plan."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from server.brewing import brew_times
from server.brewing.brewed import Brewed
from tests.brewing_bench import make_recipe

NINE = datetime(2031, 5, 14, 9, tzinfo=UTC)
RECIPE = make_recipe()
BEGUN = brew_times.note_start(RECIPE, Brewed(), NINE)


def note(*taps: tuple[int, int]) -> Brewed:
    brewed = BEGUN
    for place, at_s in taps:
        brewed = brew_times.note_step(RECIPE, brewed, place, at_s)
    return brewed


def tell(brewed: Brewed) -> list[int | None]:
    return [one.done_s for one in brew_times.list_times(RECIPE, brewed)]


def test_the_first_water_begins_the_pour_that_is_planned_for_it():
    assert BEGUN.started == "2031-05-14T09:00:00.000+00:00"
    assert tell(BEGUN) == [0, None, None, None]


def test_a_brew_that_does_not_begin_with_a_pour_only_begins():
    recipe = make_recipe(steps=[{"kind": "steep", "at_s": 0}, {"kind": "end", "at_s": 90}])
    assert brew_times.note_start(recipe, Brewed(), NINE).steps == ()


def test_a_second_start_keeps_the_first_moment():
    later = NINE + timedelta(seconds=9)
    assert brew_times.note_start(RECIPE, BEGUN, later) == BEGUN


def test_a_repeated_tap_keeps_the_first_time():
    assert tell(note((1, 12), (1, 19))) == [0, 12, None, None]


def test_a_missed_step_leaves_a_gap_and_no_other_takes_its_place():
    assert tell(note((2, 44), (3, 175))) == [0, None, 44, 175]


def test_late_and_early_are_told_apart():
    rows = brew_times.list_times(RECIPE, note((1, 12), (2, 38)))
    assert [one.late_s for one in rows] == [0, 2, -2, None]


@pytest.mark.parametrize("place", [-1, 4, 99])
def test_a_step_that_there_is_not_is_refused(place):
    with pytest.raises(ValueError, match="place"):
        brew_times.note_step(RECIPE, BEGUN, place, 5)


def test_taps_are_taken_back_one_by_one():
    brewed, names = note((1, 12), (2, 41), (3, 181)), []
    while name := brew_times.name_last(brewed):
        names.append(name)
        brewed = brew_times.undo_last(brewed, name)
    assert names == ["end", "2", "1", "start"]
    assert brewed == Brewed()


def test_a_double_tap_on_undo_takes_one_tap_back():
    once = brew_times.undo_last(note((1, 12), (2, 41)), "2")
    assert brew_times.undo_last(once, "2") == once


def test_seconds_are_counted_from_the_stored_start():
    assert brew_times.measure_since(BEGUN, NINE + timedelta(seconds=61.9)) == 61
    assert brew_times.measure_since(BEGUN, NINE - timedelta(seconds=3)) == 0


def test_nothing_is_counted_before_the_first_water():
    with pytest.raises(ValueError, match="not begun"):
        brew_times.measure_since(Brewed(), NINE)


@pytest.mark.parametrize("typed", ["1:5", "1:60", "1.05", "soon", "-4", "1441:00", "²"])
def test_what_is_no_time_is_refused(typed):
    with pytest.raises(ValueError, match=r"such as 1:05"):
        brew_times.read_minutes(typed)


@pytest.mark.parametrize("seconds", [0, 59, 60, 605, 86_400])
def test_a_time_that_was_written_is_read_back(seconds):
    assert brew_times.read_minutes(brew_times.write_minutes(seconds)) == seconds


def test_a_missed_tap_is_typed_later_and_the_others_stay():
    typed = brew_times.type_times(RECIPE, note((2, 44)), {1: 11}, {2: Decimal(318)}, 176)
    assert tell(typed) == [0, 11, 44, 176]
    assert [one.water_g for one in typed.steps] == [None, None, Decimal(318)]


def test_a_typed_time_keeps_what_the_scale_showed():
    read = brew_times.type_times(RECIPE, note((2, 44)), {}, {2: Decimal(318)})
    moved = brew_times.type_times(RECIPE, read, {2: 46}, {})
    assert (moved.steps[-1].at_s, moved.steps[-1].water_g) == (46, 318)


def test_a_scale_without_a_time_is_refused():
    with pytest.raises(ValueError, match="step 2"):
        brew_times.type_times(RECIPE, BEGUN, {}, {2: Decimal(318)})


def test_an_end_before_a_step_is_refused():
    with pytest.raises(ValueError, match="must not come before"):
        brew_times.type_times(RECIPE, note((2, 44)), {}, {}, 43)


@pytest.mark.parametrize(("given", "kept"), [(0, 1), (3, 3), (40, 12)])
def test_shots_are_counted_from_one_to_a_dozen(given, kept):
    assert brew_times.count_shots(Brewed(), given).shots == kept
