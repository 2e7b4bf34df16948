from uuid import UUID

import pytest

from server.tastings import pouring, seating
from server.tastings.answering import confirm_codes
from server.tastings.handing_out import add_pourer
from server.tastings.pouring import find_bar, note_brew, void_serving
from server.tastings.refusals import Invalid, NotFound, Refusal


@pytest.fixture
def second_round(bench, play, led):
    """What somebody sees who pours the second round only."""
    return find_bar(bench, add_pourer(bench, led(play), "2"))


def tick_poured(play, slot="A1", *, done=True):
    pouring.tick_poured(play.bench, play.bar, slot, done=done)


def take_all_spares(play):
    for seat in play.made.sealed.seats:
        if seat.spare:
            seating.take_seat(play.bench, play.made.code, seat.number, f"5eed{seat.number}", "")


def test_no_other_word_opens_a_bar(bench, play):
    assert find_bar(bench, "0" * 40) is None
    assert find_bar(bench, play.made.tokens[1]) is None


def test_a_bar_holds_no_answer(play):
    play.contest(1)
    play.answer(2)
    record = play.bar.record
    assert (record.answers, record.contests, record.late) == ({}, {}, [])


def test_a_bar_holds_the_whole_key_for_all_rounds(play):
    assert play.bar.key == play.made.sealed.key


def test_a_pourer_of_one_round_has_only_its_key(play, second_round):
    cups = {cup.id for one in play.made.sealed.servings if one.round == 2 for cup in one.cups}
    assert set(second_round.key) == cups


def test_a_pourer_of_one_round_cannot_touch_another(bench, play, second_round):
    first = play.made.servings(1)[0].id
    slot = next(one.name for one in play.made.sealed.slots if one.round == 1)
    for act in (
        lambda: pouring.tick_poured(bench, second_round, slot, done=True),
        lambda: pouring.tick_served(bench, second_round, first, done=True),
        lambda: pouring.settle_call(bench, second_round, first),
        lambda: void_serving(bench, second_round, first, "spilt"),
        lambda: note_brew(bench, play.made.id, second_round.rounds, {"slot": slot}),
    ):
        with pytest.raises(NotFound):
            act()
    assert play.record.version == 0


def test_samples_take_turns_and_the_other_one_begins_the_next_round(play):
    order = [[slot.sample for slot in play.bar.slots(number)] for number in (1, 2, 3)]
    assert order == [["A", "B", "A", "B"], ["B", "A", "B", "A"], ["A", "B", "A", "B"]]


def test_a_tick_can_be_set_and_taken_back(play):
    tick_poured(play)
    assert play.record.poured == {"A1"}
    tick_poured(play, done=False)
    assert play.record.poured == set()


def test_a_second_tap_on_a_tick_changes_nothing(play):
    tick_poured(play)
    version = play.record.version
    tick_poured(play)
    assert play.record.version == version


def test_taking_back_what_was_never_ticked_does_not_begin_serving(play):
    tick_poured(play, done=False)
    assert (play.record.state, play.record.version) == ("sealed", 0)


def test_a_served_tray_can_be_ticked_and_taken_back(bench, play):
    serving = play.made.servings(4)[0].id
    for done, served in ((True, {serving}), (True, {serving}), (False, set())):
        pouring.tick_served(bench, play.bar, serving, done=done)
        assert play.record.served == served


def test_an_unknown_pot_or_tray_cannot_be_ticked(bench, play):
    with pytest.raises(NotFound):
        tick_poured(play, "A99")
    with pytest.raises(NotFound):
        pouring.tick_served(bench, play.bar, UUID(int=1, version=4), done=True)


def test_a_void_serving_is_replaced_by_the_spare_of_its_round(bench, small):
    spare = void_serving(bench, small.bar, small.made.servings(1)[0].id, "spilt")
    assert spare == small.made.servings(3)[0].id


def test_the_spare_serving_stands_before_the_seat_of_the_void_one(bench, small):
    spare = void_serving(bench, small.bar, small.made.servings(1)[0].id, "spilt")
    assert (small.place(1).current.id, small.place(3).current) == (spare, None)


def test_a_spilt_spare_serving_is_replaced_too(bench, small):
    first = void_serving(bench, small.bar, small.made.servings(1)[0].id, "spilt")
    second = void_serving(bench, small.bar, first, "spilt again")
    assert second == small.made.servings(4)[0].id
    assert [one.id for one in small.place(1).queue] == [second]


def test_the_answer_to_a_second_spare_serving_counts(bench, small):
    first = void_serving(bench, small.bar, small.made.servings(1)[0].id, "spilt")
    second = void_serving(bench, small.bar, first, "spilt again")
    small.answer(1)
    assert small.record.standing(second) is not None


def test_a_seat_whose_last_spare_is_spilt_has_nothing_to_answer(bench, small):
    serving = small.made.servings(1)[0].id
    while serving:
        serving = void_serving(bench, small.bar, serving, "spilt")
    assert small.place(1).queue == []


def test_a_void_serving_stays_void_when_no_spare_is_left(bench, play):
    void_serving(bench, play.bar, play.made.servings(1)[0].id, "spilt")
    assert void_serving(bench, play.bar, play.made.servings(2)[0].id, "spilt") is None
    assert [one.round for one in play.place(2).queue] == [2, 3]


def test_a_second_tap_on_void_lends_no_second_spare(bench, small):
    serving = small.made.servings(1)[0].id
    first = void_serving(bench, small.bar, serving, "spilt")
    version = small.record.version
    assert void_serving(bench, small.bar, serving, "spilt") == first
    assert small.record.version == version


def test_a_taken_spare_seat_lends_nothing(bench, small):
    take_all_spares(small)
    assert void_serving(bench, small.bar, small.made.servings(1)[0].id, "spilt") is None


def test_a_spare_serving_never_stands_in_for_itself(bench, play):
    spare = play.made.servings(7)[0].id
    assert void_serving(bench, play.bar, spare, "broken") is None


def test_a_spare_seat_taken_later_keeps_its_other_rounds(bench, play):
    void_serving(bench, play.bar, play.made.servings(1)[0].id, "spilt")
    take_all_spares(play)
    assert [one.round for one in play.place(7).queue] == [2, 3]


def test_a_void_serving_needs_a_reason(bench, play):
    with pytest.raises(Invalid) as refused:
        void_serving(bench, play.bar, play.made.servings(1)[0].id, "")
    assert "reason" in refused.value.messages
    assert play.record.voids == {}


def test_an_answered_serving_cannot_be_voided_by_the_pourer(bench, play):
    serving = play.place(1).current.id
    play.answer(1)
    with pytest.raises(Refusal, match="tell the leader"):
        void_serving(bench, play.bar, serving, "spilt")


def test_a_settled_call_is_over(bench, play):
    serving = play.made.servings(1)[0].id
    confirm_codes(bench, play.made.tokens[1], serving, differ=True)
    pouring.settle_call(bench, play.bar, serving)
    pouring.settle_call(bench, play.bar, serving)
    assert (play.record.calls, play.record.called) == (set(), {serving})
    assert play.record.version == 3  # serving began, codes differ, call settled


def test_a_brew_is_noted_with_its_readings(bench, play):
    form = {"slot": "A1", "tds": "1,31 1.32", "temperature_c": "58,5", "time": "09:40"}
    note_brew(bench, play.made.id, [1], form | {"note": " a bit slow "})
    brew = play.record.brews["A1"]
    assert (brew.tds, brew.temperature_c) == (("1.31", "1.32"), "58.5")
    assert (brew.time, brew.note) == ("09:40", "a bit slow")


def test_a_later_note_takes_the_place_of_an_earlier_one(bench, play):
    for tds in ("1.31", "1.40"):
        note_brew(bench, play.made.id, [1], {"slot": "A1", "tds": tds})
    assert (play.record.brews["A1"].tds, play.record.version) == (("1.40",), 2)


@pytest.mark.parametrize(
    ("typed", "fields"),
    [
        ({"tds": "strong"}, {"tds"}),
        ({"tds": "1.3 31"}, {"tds"}),
        ({"tds": "-1"}, {"tds"}),
        ({"temperature_c": "101"}, {"temperature_c"}),
        ({"temperature_c": "hot", "tds": "?"}, {"tds", "temperature_c"}),
    ],
)
def test_nonsense_is_no_reading(bench, play, typed, fields):
    with pytest.raises(Invalid) as refused:
        note_brew(bench, play.made.id, [1], {"slot": "A1"} | typed)
    assert set(refused.value.messages) == fields
    assert play.record.brews == {}


def test_a_brew_belongs_to_a_slot(bench, play):
    for form in ({}, {"slot": "A99"}):
        with pytest.raises(NotFound):
            note_brew(bench, play.made.id, [1, 2, 3], form)
