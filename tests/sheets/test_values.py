"""A seat's values: read from a form, merged into its draft, checked before it locks."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from server.blinding.seal import canonical
from server.sheets.places import Item, Place, list_places
from server.sheets.scales.defect import HOW_STRONG
from server.sheets.sheet import Sheet, add_words
from server.sheets.values import (
    MOST_EARLIER,
    NOT_HERE,
    UNTOUCHED,
    Answer,
    Value,
    find_answer_problems,
    list_missing,
    merge,
    read_form,
)
from tests.sheets.building import BOWLS, CUPS, FLAG, make_attribute, make_full_sheet, make_sheet
from tests.sheets.random_sheets import sheets, tables, values

SWEET = Place("sweet", "385", 0, "")
Changes = dict[Place, Any]


@st.composite
def said(draw: st.DrawFn) -> tuple[Sheet, tuple[Item, ...], Changes]:
    """A sheet, a table, and values at some of its places."""
    sheet, items = draw(sheets()), draw(tables())
    sheet = add_words(sheet, ["wet hay", "tin"][: sheet.own_words])
    codes = tuple(one.code for one in items)
    scales = {one.name: one.scale for one in sheet.attributes}
    places = list_places(sheet, items)[:30]
    chosen = draw(st.sets(st.sampled_from(places))) if places else ()
    return (
        sheet,
        items,
        {place: draw(values(scales[place.attribute], codes)) for place in sorted(chosen)},
    )


def write_form(sheet: Sheet, changes: Changes) -> dict[str, str]:
    """Fill a form with values."""
    scales = {one.name: one.scale for one in sheet.attributes}
    return {
        place.name_part(part): text
        for place, value in changes.items()
        for part, text in scales[place.attribute].fill(value).items()
    }


@given(said())
@settings(max_examples=15)
def test_a_filled_form_is_read_as_what_it_was_filled_with(
    case: tuple[Sheet, tuple[Item, ...], Changes],
) -> None:
    sheet, items, changes = case
    reading = read_form(sheet, items, write_form(sheet, changes))
    assert (reading.changes, reading.problems) == (changes, {})


@given(said())
@settings(max_examples=15)
def test_an_answer_is_canonical_json_and_comes_back(
    case: tuple[Sheet, tuple[Item, ...], Changes],
) -> None:
    answer = merge(Answer(), case[2], 3.3)
    assert Answer.model_validate_json(canonical(answer)) == answer


@given(said())
@settings(max_examples=15)
def test_what_is_said_is_no_problem_and_not_missing_unless_begun(
    case: tuple[Sheet, tuple[Item, ...], Changes],
) -> None:
    sheet, items, changes = case
    answer = merge(Answer(), changes)
    missing = {one.place for one in list_missing(sheet, items, answer.values)}
    untouched = set(list_places(sheet, items)) - changes.keys()
    assert find_answer_problems(sheet, items, answer) == ()
    assert untouched <= missing


@given(said(), st.randoms(use_true_random=False))
@settings(max_examples=12)
def test_the_order_in_which_places_are_filled_does_not_matter(
    case: tuple[Sheet, tuple[Item, ...], Changes], rng: Any
) -> None:
    shuffled = list(case[2].items())
    rng.shuffle(shuffled)
    one_by_one = Answer()
    for place, value in shuffled:
        one_by_one = merge(one_by_one, {place: value}, 2.0)
    assert one_by_one == merge(Answer(), case[2], 2.0)


@given(said())
@settings(max_examples=12)
def test_the_same_values_sent_again_change_nothing(
    case: tuple[Sheet, tuple[Item, ...], Changes],
) -> None:
    draft = merge(Answer(), case[2], 1.0)
    assert merge(draft, case[2], 9.0) == draft


def test_a_form_of_a_few_fields_changes_no_other_place() -> None:
    reading = read_form(make_full_sheet(), CUPS, {"v.sweet.417.0.cool": "450", "key": "abc"})
    assert reading.changes == {Place("sweet", "417", 0, "cool"): 450}


def test_an_empty_field_takes_its_value_back() -> None:
    assert read_form(make_sheet(), CUPS, {"v.sweet.385.0.": ""}).changes == {SWEET: None}


@pytest.mark.parametrize(
    "field",
    [
        "v.sweet.999.0.",
        "v.sour.385.0.",
        "v.sweet.385.1.",
        "v.sweet.385.0.hot",
        "v.sweet.385.0..word",
        "v.",
    ],
    ids=["code", "attribute", "bowl", "pass", "part", "nothing"],
)
def test_a_field_that_is_not_at_this_table_is_refused(field: str) -> None:
    reading = read_form(make_sheet(), CUPS, {field: "500"})
    assert (reading.changes, reading.problems) == ({}, {field: NOT_HERE})


def test_a_bad_field_does_not_cost_the_good_ones() -> None:
    form = {"v.sweet.385.0.": "1001", "v.sweet.417.0.": "7"}
    reading = read_form(make_sheet(), CUPS, form)
    assert reading.changes == {Place("sweet", "417", 0, ""): 7}
    assert list(reading.problems) == ["v.sweet.385.0."]


def test_a_problem_stands_at_the_part_it_is_about() -> None:
    sheet = make_sheet(make_attribute("flaw", FLAG))
    form = {"v.flaw.385.1.": "yes", "v.flaw.385.1..intensity": "9"}
    assert list(read_form(sheet, BOWLS, form).problems) == ["v.flaw.385.1..intensity"]


def test_a_changed_value_is_kept_with_its_minutes() -> None:
    draft = merge(merge(Answer(), {SWEET: 700}, 4.0), {SWEET: 550}, 9.52)
    assert [(one.value, one.minutes) for one in draft.values] == [(550, 9.5)]
    assert [(one.value, one.minutes) for one in draft.earlier] == [(700, 4.0)]


def test_a_value_taken_back_is_kept_too() -> None:
    draft = merge(merge(Answer(), {SWEET: 700}), {SWEET: None})
    assert (draft.values, [one.value for one in draft.earlier]) == ((), [700])


@pytest.mark.parametrize(
    ("begun", "said"),
    [
        ({"found": True}, {"found": True, "intensity": 2}),
        ([["385"]], [["385"], ["417"]]),
        (["papery"], ["papery", "woody"]),
        ("fl", "flat"),
        ("1", "12.5"),
    ],
    ids=["a flag", "an order", "ticks", "a comment", "a number"],
)
def test_a_value_begun_and_completed_within_a_minute_is_one_value(begun: Any, said: Any) -> None:
    draft = merge(merge(Answer(), {SWEET: begun}, 4.0), {SWEET: said}, 4.9)
    assert ([one.value for one in draft.values], draft.earlier) == ([said], ())


def test_a_value_that_goes_on_later_is_a_second_thought() -> None:
    draft = merge(merge(Answer(), {SWEET: ["papery"]}, 4.0), {SWEET: ["papery", "woody"]}, 5.0)
    assert [one.value for one in draft.earlier] == [["papery"]]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (700, 705),
        ({"found": True, "intensity": 1}, {"found": True, "intensity": 2}),
        ({"found": True}, {"found": False}),
        (["papery"], ["woody"]),
        ("flat", "round"),
    ],
)
def test_another_value_is_a_second_thought_however_soon(old: Any, new: Any) -> None:
    draft = merge(merge(Answer(), {SWEET: old}, 4.0), {SWEET: new}, 4.0)
    assert [one.value for one in draft.earlier] == [old]


def test_taking_back_what_was_never_said_changes_nothing() -> None:
    assert merge(Answer(), {SWEET: None}) == Answer()


def test_one_place_cannot_fill_the_memory_with_earlier_values() -> None:
    draft = Answer()
    for value in range(100):
        draft = merge(draft, {SWEET: value, Place("sweet", "417", 0, ""): value % 2})
    kept = [one.value for one in draft.earlier if one.place == SWEET]
    assert kept == list(range(99 - MOST_EARLIER, 99))


def test_a_clock_that_runs_backwards_gives_no_minutes_below_zero() -> None:
    assert merge(Answer(), {SWEET: 700}, -2.0).values[0].minutes == 0.0


def test_personal_words_stay_with_the_draft() -> None:
    assert merge(Answer(words=("wet hay",)), {SWEET: 700}).words == ("wet hay",)


def test_a_value_is_written_with_the_word_pass() -> None:
    body = merge(Answer(), {Place("sweet", "385", 0, "hot"): 700}).model_dump(mode="json")
    assert body["values"] == [
        {"attribute": "sweet", "code": "385", "bowl": 0, "pass": "hot", "value": 700,
         "minutes": None},
    ]  # fmt: skip


@pytest.mark.parametrize("minutes", [float("nan"), float("inf"), -1, 100_001])
def test_minutes_that_no_clock_shows_are_refused(minutes: float) -> None:
    with pytest.raises(ValidationError):
        Value(attribute="sweet", code="385", bowl=0, time="", value=1, minutes=minutes)


def test_what_is_missing_is_listed_in_the_order_of_the_table() -> None:
    sheet = make_sheet(make_attribute("sweet"), make_attribute("sour", required=False))
    values = merge(Answer(), {Place("sweet", "417", 0, ""): 1}).values
    assert [
        (one.place.code, one.place.attribute, one.required, one.message)
        for one in list_missing(sheet, CUPS, values)
    ] == [
        ("385", "sweet", True, UNTOUCHED),
        ("385", "sour", False, UNTOUCHED),
        ("417", "sour", False, UNTOUCHED),
    ]


def test_a_value_begun_is_missing_what_it_lacks() -> None:
    sheet = make_sheet(make_attribute("flaw", FLAG))
    values = merge(Answer(), {Place("flaw", "385", 0, ""): {"found": True}}).values
    assert list_missing(sheet, CUPS[:1], values)[0].message == HOW_STRONG


def test_a_full_table_misses_nothing() -> None:
    assert list_missing(make_sheet(), CUPS[:1], merge(Answer(), {SWEET: 0}).values) == ()


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ([("sour", "385", 5)], "v.sour.385.0.: That is not asked"),
        ([("sweet", "999", 5)], "v.sweet.999.0.: That is not asked"),
        ([("sweet", "385", 5), ("sweet", "385", 6)], "v.sweet.385.0.: there are two values."),
        ([("sweet", "385", 1001)], "v.sweet.385.0.: That place is not on the line"),
        ([("sweet", "385", None)], "v.sweet.385.0.: That place is not on the line"),
        ([("sweet", "385", True)], "v.sweet.385.0.: That place is not on the line"),
    ],
)
def test_an_answer_that_does_not_fit_the_sheet_is_found_out(
    values: list[tuple[str, str, Any]], said: str
) -> None:
    answer = Answer(
        values=tuple(
            Value(attribute=name, code=code, bowl=0, time="", value=value)
            for name, code, value in values
        )
    )
    assert any(one.startswith(said) for one in find_answer_problems(make_sheet(), CUPS, answer))


def test_an_earlier_value_that_cannot_be_is_found_out_too() -> None:
    wrong = Value(attribute="sweet", code="385", bowl=0, time="", value="much")
    assert find_answer_problems(make_sheet(), CUPS, Answer(earlier=(wrong,)))
