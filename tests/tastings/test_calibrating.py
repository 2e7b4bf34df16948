"""The open bowl before the codes is noted once a sitting, in time, and never scored."""

import pytest

from server.storage import queries
from server.tastings.calibrating import (
    TOO_LATE,
    TOO_LONG,
    find_bowl_before,
    find_calibration,
    find_named_sample,
    find_next_sitting,
    find_open_bowl,
    record_calibration,
)
from server.tastings.closing import close_tasting
from server.tastings.refusals import Invalid, NotFound, WrongState
from tests.table_forms import lock

BATCHES = {"A": "batch 14", "B": "batch 15", "C": "the new roast"}


@pytest.fixture
def made(make_table):
    return make_table(calibration="house filter", sittings="2", assessors="3")


@pytest.fixture
def note(bench):
    def note_one(made, sitting=1, words="", *seats):
        ticks = {f"calibrated_seat_{one}": "on" for one in seats}
        form = {"calibrated_sitting": str(sitting), "calibrated_words": words}
        record_calibration(bench, made.id, form | ticks)

    return note_one


@pytest.fixture
def read(bench):
    def read_record(made):
        with bench.reading() as db:
            return queries.load_record(db, made.id)

    return read_record


def test_what_was_agreed_and_who_took_part_is_on_record(made, note, read):
    note(made, 1, "  thin is\n below 30 ", 1, 3)
    found = find_calibration(read(made), 1)
    assert (found.words, found.seats, found.sitting) == ("thin is below 30", (1, 3), 1)


def test_noting_it_does_not_begin_serving(made, note, read):
    note(made)
    assert read(made).state == "sealed"


def test_the_same_note_again_changes_nothing_and_another_one_counts(made, note, read):
    for words in ("thin", "thin", "thin, not weak"):
        note(made, 1, words)
    record = read(made)
    assert [one.words for one in record.calibrations] == ["thin", "thin, not weak"]
    assert find_calibration(record, 1).words == "thin, not weak"


def test_after_a_locked_sheet_it_is_too_late_for_that_sitting_alone(made, note, read, bench):
    lock(bench, made, 1, 3)
    with pytest.raises(Invalid) as refused:
        note(made)
    assert refused.value.messages == {"calibrated_words": TOO_LATE}
    note(made, 2)
    assert [one.sitting for one in read(made).calibrations] == [2]


def test_the_first_sitting_without_a_sheet_is_noted_next(made, read, bench):
    assert find_next_sitting(made.sealed, read(made)) == 1
    lock(bench, made, 1, 3)
    assert find_next_sitting(made.sealed, read(made)) == 2
    lock(bench, made, 1, 3, sitting=2)
    assert find_next_sitting(made.sealed, read(made)) is None


def test_words_too_long_are_refused(made, note):
    with pytest.raises(Invalid) as refused:
        note(made, 1, "w" * 501)
    assert refused.value.messages == {"calibrated_words": TOO_LONG}


@pytest.mark.parametrize("sitting", ["3", "0", "", "one"])
def test_a_sitting_that_is_not_there_is_not_noted(made, note, sitting):
    with pytest.raises(NotFound):
        note(made, sitting)


def test_without_a_planned_bowl_nothing_is_noted(make_table, note, read, sealed_tasting):
    for made in (make_table(), sealed_tasting):
        with pytest.raises(NotFound):
            note(made)
        assert find_next_sitting(made.sealed, read(made)) is None


def test_a_tasting_that_is_over_takes_no_note(made, note, bench):
    close_tasting(bench, made.id, "the shop opens", "absent")
    with pytest.raises(WrongState):
        note(made)


@pytest.mark.parametrize(
    ("words", "named"),
    [
        ("batch 14", "batch 14"),
        ("our Batch 14, as filter", "batch 14"),
        ("The new-roast", "the new roast"),
        ("the new one", ""),
        ("some of the new roast!", "the new roast"),
        ("batch 140", ""),
        ("our house filter", ""),
        ("", ""),
    ],
)
def test_words_that_name_a_sample_are_found(words, named):
    assert find_named_sample(words, BATCHES) == named


def test_a_label_of_one_letter_counts_only_by_itself():
    labels = {"A": "A", "B": "B"}
    assert find_named_sample("a washed lot", labels) == ""
    assert find_named_sample(" a ", labels) == "A"


def test_shared_tables_have_one_open_bowl_and_others_a_cup_a_seat(make_table):
    shared = find_open_bowl(make_table(calibration="x", style="shared").sealed.plan)
    own = find_open_bowl(make_table(calibration="x", cup_ml="100", pot_ml="500").sealed.plan)
    assert (shared.cups, shared.brews) == (1, 1)
    assert (own.cups, own.brews) == (7, 2)  # 6 seats and a spare one; 5 cups a pot


def test_it_comes_before_the_first_round_of_each_sitting(make_table):
    layout = make_table(calibration="house filter", sittings="2", warm_up="A").sealed
    before = [find_bowl_before(layout, number) is not None for number in range(6)]
    assert before == [False, True, False, True, False, False]
