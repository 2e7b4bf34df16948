"""The form of a scored table: what it takes, and what it says about what it cannot take."""

import pytest

from server.blinding.plans import Plan
from server.sheets.starters import get_starter
from server.tastings.refusals import Invalid, NotFound
from server.tastings.table_plan_forms import empty_table_form, read_plan, table_form
from server.tastings.table_planning import read_samples, read_table_plan
from tests.table_forms import TABLE

SHEET = get_starter("roast-consistency").sheet


def read(**changed):
    return read_table_plan(TABLE | changed, SHEET)


def refuse(**changed):
    with pytest.raises(Invalid) as refused:
        read(**changed)
    return refused.value.messages


def test_samples_are_levels_in_the_order_of_the_form():
    assert read().labels == {"A": "batch 14", "B": "batch 15", "C": "batch 16"}


def test_the_sheet_is_sealed_as_plain_json():
    assert read().plan.table.sheet["title"] == "Roast consistency"


def test_a_plan_comes_back_as_its_form():
    given = {"calibration": "house filter", "swallow": "on", "cup_ml": "45.5"}
    planned = read(bowls="3", scattered="on", reference="B", **given)
    again = read_table_plan(table_form(planned.plan, planned.labels, TABLE["sheet"]), SHEET)
    assert again == planned


def test_an_open_bowl_keeps_its_words_without_odd_spaces():
    assert read(calibration=" house \n filter ").plan.table.calibration == "house filter"


@pytest.mark.parametrize("words", ["batch 14", "Batch  15, open", "the house filter of batch 16"])
def test_an_open_bowl_that_is_a_sample_is_refused(words):
    assert "knows it again under its code" in refuse(calibration=words)["calibration"]


def test_the_prior_of_bayes_factors_is_part_of_the_plan():
    assert str(read().plan.table.prior_scale) == "0.707"
    assert str(read(prior_scale="1,0").plan.table.prior_scale) == "1.0"


@pytest.mark.parametrize("typed", ["0.05", "3.1", "", "wide"])
def test_a_prior_nobody_can_mean_is_refused(typed):
    assert "between 0.1 and 3" in refuse(prior_scale=typed)["prior_scale"]


def test_a_plan_of_before_there_was_a_prior_comes_back_with_the_usual_one():
    planned = read()
    stored = planned.plan.model_dump(mode="json")
    del stored["table"]["prior_scale"]
    assert table_form(read_plan(stored), planned.labels, "")["prior_scale"] == "0.707"


def test_duplicates_come_back_in_the_form():
    planned = read(twice_b="on")
    assert table_form(planned.plan, planned.labels, "")["twice_b"] == "on"


def test_the_empty_form_asks_for_a_question_and_samples_alone():
    form = empty_table_form(TABLE["sheet"])
    with pytest.raises(Invalid) as refused:
        read_table_plan(form, SHEET)
    assert set(refused.value.messages) == {"question", "sample_a", "sample_b"}


def test_one_sample_is_too_few():
    assert set(refuse(sample_b="", sample_c="")) == {"sample_b"}


def test_a_gap_between_samples_is_named():
    assert set(refuse(sample_b="")) == {"sample_b"}


def test_two_samples_with_one_label_are_refused():
    assert refuse(sample_c="Batch 15") == {"sample_c": "Another sample has this label."}


def test_twelve_samples_fit():
    assert len(read_samples({f"sample_{one}": one for one in "abcdefghijkl"})) == 12


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("assessors", "0"), ("assessors", "4e1"), ("bowls", "11"), ("sittings", "none"),
        ("pourer", "alone"), ("alpha", "0.6"), ("cup_ml", "5"), ("reference", "D"),
        ("warm_up", "Z"), ("primary", "sparkle"), ("block", "13"),
        ("calibration", "f" * 121),
    ],
)  # fmt: skip
def test_what_cannot_be_taken_is_named_beside_its_field(field, typed):
    assert set(refuse(**{field: typed})) == {field}


def test_nobody_may_plan_a_sip_above_65_degrees():
    """65 °C: IARC Monographs vol. 116, 2018: very hot beverages, above 65 °C (from memory)."""
    assert "above 65 °C a drink scalds" in refuse(sip_limit_c="66")["sip_limit_c"]


def test_scattered_bowls_are_not_duplicated_as_well():
    found = refuse(bowls="2", scattered="on", twice_a="on")
    assert found == {"twice_a": "Scattered bowls are blind duplicates already: leave this empty."}


def test_a_table_too_small_for_its_fixed_samples_is_refused():
    assert set(refuse(block="2", twice_a="on", reference="B")) == {"block"}


def test_a_single_pot_has_to_fill_all_its_cups():
    assert set(refuse(pots="single", pot_ml="100")) == {"pot_ml"}


def test_shared_bowls_are_brewed_one_by_one_whatever_is_chosen_for_cups():
    assert read(style="shared", pots="blend").plan.pots == "separate"


def test_without_a_sheet_nothing_is_planned():
    with pytest.raises(Invalid) as refused:
        read_table_plan(TABLE, None)
    assert refused.value.messages == {"sheet": "Choose a score sheet."}


def test_another_kind_of_plan_is_no_table():
    stored = read().plan.model_dump(mode="json") | {"table": None}
    assert Plan.model_validate(stored).table is None
    with pytest.raises(NotFound):
        read_plan(stored)
