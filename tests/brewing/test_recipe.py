"""Recipes and brews as plain data. The numbers are invented."""

import pytest
from pydantic import ValidationError

from server.brewing.brewed import (
    Brewed,
    read_brewed,
    write_brewed,
    write_for_event,
)
from server.brewing.recipe import Recipe, StepKind, read_recipe, write_recipe

FILTER = {
    "title": "Filter for two",
    "dose_g": "20",
    "water_g": "340",
    "water_c": "94",
    "steps": [
        {"kind": "pour", "at_s": 0, "water_g": "60"},
        {"kind": "stir", "at_s": 30},
        {"kind": "end", "at_s": 190},
    ],
}
POUR = {"kind": "pour", "at_s": 0, "water_g": "100"}


def test_a_recipe_survives_the_way_to_json_and_back() -> None:
    recipe = read_recipe(FILTER)
    assert read_recipe(write_recipe(recipe)) == recipe
    assert write_recipe(recipe)["water_g"] == "340"


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"water_g": "10"}, "water_g must not be less than dose_g"),
        ({"beverage_g": "341"}, "beverage_g must not be more than water_g"),
        ({"water_g": None}, "water_g must be given"),
        ({"steps": [{"kind": "pour", "at_s": 9}, {"kind": "stir", "at_s": 3}]}, "order of time"),
        ({"steps": [{"kind": "end", "at_s": 1}, {"kind": "stir", "at_s": 3}]}, "the end last"),
        ({"steps": [POUR, POUR | {"at_s": 9, "water_g": "90"}]}, "not have the scale fall"),
        ({"coffee": {"roasted": "2026-02-30"}}, "a day such as"),
        ({"coffee": {"roasted": "20260131"}}, "a day such as"),
        ({"water": {"hardness_unit": "mg/L HCO3"}}, "never told in it"),
        ({"water": {"alkalinity_unit": "mmol/L"}}, "never told in it"),
        ({"dose_g": "NaN"}, "finite"),
        ({"unheard": 1}, "Extra"),
    ],
)
def test_a_recipe_that_cannot_be_is_refused(change: dict[str, object], named: str) -> None:
    with pytest.raises(ValidationError, match=named):
        read_recipe(FILTER | change)


def test_an_espresso_may_leave_its_water_open() -> None:
    device = {"how": "espresso"}
    recipe = read_recipe(FILTER | {"water_g": None, "beverage_g": "36", "device": device})
    assert recipe.beverage_g == 36


def test_a_brew_of_which_nothing_is_known_is_written_as_nothing() -> None:
    assert write_brewed(Brewed()) == {}
    assert read_brewed({}) == Brewed()


def test_an_event_says_readings_in_members_of_their_own() -> None:
    brewed = read_brewed({"tds": ["1.31"], "fill_g": "40", "beverage_g": "300", "note": "late"})
    assert write_for_event(brewed) == {"beverage_g": "300"}


def test_a_start_without_a_time_zone_is_refused() -> None:
    with pytest.raises(ValidationError, match="time zone"):
        Brewed(started="2026-12-01T09:00:00")


def test_the_first_step_of_a_recipe_has_a_kind() -> None:
    steps = Recipe.model_validate(FILTER).steps
    assert [step.kind for step in steps] == [StepKind.POUR, StepKind.STIR, StepKind.END]
