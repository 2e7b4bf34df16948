"""The bowl clock goes by stored moments, keeps one order, and holds the first sip."""

from datetime import timedelta

import pytest

from server.storage import queries
from server.tastings.clocking import Pace, read_clock, read_pace, record_reading, record_step
from server.tastings.refusals import Invalid, NotFound


@pytest.fixture
def made(make_table):
    return make_table(style="shared", bowls="2", assessors="3")


@pytest.fixture
def look(bench, made):
    return lambda **pace: read_clock(bench, made.id, made.sealed, 1, Pace(**pace))


@pytest.fixture
def do(bench, made):
    def act(step, bowl, seat=""):
        record_step(bench, made.id, 1, {"step": step, "bowl": bowl.label, "seat": seat})

    return act


@pytest.fixture
def pour_all(look, do, clock):
    for bowl in look().bowls:
        do("poured", bowl)
        clock.advance(seconds=20)


def test_every_bowl_of_a_shared_table_is_on_the_clock_once(look, made):
    bowls = {(one.code, one.bowl) for one in look().bowls}
    assert bowls == {(cup.code, cup.bowl) for cup in made.sealed.servings[0].cups}
    assert len(look().bowls) == 6


def test_cups_of_ones_own_are_poured_together(make_table, bench):
    made = make_table(sheet="starter:taint-screen")
    face = read_clock(bench, made.id, made.sealed, 1, Pace())
    assert [one.label for one in face.bowls] == ["all cups"]


def test_before_the_first_pour_nothing_is_due(look):
    assert [(one.step, one.due) for one in look().calls] == [("poured", None)]


def test_pours_are_staggered_from_the_first_one(look, do, clock):
    do("poured", look().bowls[0])
    clock.advance(seconds=50)  # late, and the next ones stay where they belong
    do("poured", look().bowls[1])
    [pour] = [one for one in look(gap=30).calls if one.step == "poured"]
    assert pour.due == look().bowls[0].find_time("poured") + timedelta(seconds=60)


@pytest.mark.usefixtures("pour_all")
def test_a_crust_is_broken_a_set_time_after_its_own_pour(look):
    [call] = look(wait=200).calls
    assert (call.step, call.bowl) == ("broken", look().bowls[0])
    assert call.due == look().bowls[0].find_time("poured") + timedelta(seconds=200)


@pytest.mark.usefixtures("pour_all")
def test_breaks_keep_the_order_of_the_pours(look, do):
    with pytest.raises(Invalid, match="same order"):
        do("broken", look().bowls[1])


@pytest.mark.usefixtures("pour_all")
def test_who_broke_which_bowl_is_on_record(look, do):
    do("broken", look().bowls[0], "3")
    assert look().bowls[0].steps["broken"].seat == 3


@pytest.mark.usefixtures("pour_all")
def test_the_seats_take_turns_at_breaking(look, do):
    turns = []
    for bowl in look().bowls:
        turns.append(look().turn)
        do("broken", bowl, str(turns[-1]))
    assert turns == [1, 2, 3, 1, 2, 3]


@pytest.mark.usefixtures("pour_all")
def test_a_seat_that_is_not_there_breaks_nothing(look, do):
    with pytest.raises(Invalid, match="no such seat"):
        do("broken", look().bowls[0], "9")


@pytest.mark.usefixtures("pour_all")
def test_skimming_begins_when_all_are_broken(look, do):
    for bowl in look().bowls:
        assert "skimmed" not in [one.step for one in look().calls]
        do("broken", bowl)
    assert [(one.step, one.bowl) for one in look().calls] == [("skimmed", look().bowls[0])]


def test_a_step_told_twice_is_done_once(bench, made, look, do, clock):
    first = look().bowls[0]
    do("poured", first)
    clock.advance(seconds=5)
    do("poured", first)
    with bench.reading() as db:
        assert len(queries.load_record(db, made.id).bowl_steps) == 1


def test_an_unknown_step_is_not_there(bench, made, look):
    with pytest.raises(NotFound):
        record_step(bench, made.id, 1, {"step": "sip", "bowl": look().bowls[0].label})


def test_a_sitting_that_was_not_planned_has_no_clock(bench, made):
    with pytest.raises(NotFound):
        read_clock(bench, made.id, made.sealed, 2, Pace())


def test_a_triad_has_no_clock(bench, sealed_tasting):
    with pytest.raises(NotFound):
        read_clock(bench, sealed_tasting.id, sealed_tasting.sealed, 1, Pace())


@pytest.mark.usefixtures("pour_all")
@pytest.mark.parametrize(("typed", "free"), [("65,1", False), ("65.0", True), ("61", True)])
def test_the_first_sip_waits_for_65_degrees(bench, made, look, typed, free):
    """65 °C: IARC Monographs vol. 116, 2018: very hot beverages, above 65 °C (from memory)."""
    record_reading(bench, made.id, 1, typed)
    assert (look().sip is not None) == free


def test_a_plan_may_ask_for_less_than_65_degrees(make_table, bench):
    made = make_table(style="shared", sip_limit_c="60")
    for bowl in read_clock(bench, made.id, made.sealed, 1, Pace()).bowls:
        record_step(bench, made.id, 1, {"step": "poured", "bowl": bowl.label})
    record_reading(bench, made.id, 1, "63")
    assert read_clock(bench, made.id, made.sealed, 1, Pace()).sip is None


def test_nothing_is_read_before_all_are_poured(bench, made):
    with pytest.raises(Invalid, match="Pour all bowls first"):
        record_reading(bench, made.id, 1, "60")


@pytest.mark.usefixtures("pour_all")
@pytest.mark.parametrize("typed", ["", "hot", "100", "6e1"])
def test_what_is_no_reading_is_refused(bench, made, typed):
    with pytest.raises(Invalid):
        record_reading(bench, made.id, 1, typed)


def test_a_pace_that_cannot_be_is_as_usual():
    assert read_pace({"gap": "x", "wait": "-1"}) == Pace()
    assert read_pace({"gap": "15", "wait": "180"}) == Pace(15, 180)
