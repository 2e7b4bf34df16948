"""What a note says of a brew: its yield by the recipe's brewer, and when it ended."""

from decimal import Decimal

from server.brewing.brewed import Brewed
from server.brewing.extraction import Brewer
from server.brewing.recipe import Device, Recipe
from server.reports.brew_readings import find_end, find_yield_of


def brew_with(how: Brewer) -> Recipe:
    return Recipe(title="Tea bar", dose_g=Decimal(20), water_g=Decimal(300), device=Device(how=how))


# 20 g, beverage 260 g, 1.40 %: 18.20 %; as an immersion of 300 g, 21.30 %: computed exactly.
def test_a_yield_takes_what_was_weighed_by_the_form_of_the_recipes_brewer() -> None:
    read = {"dose_g": 20, "water_g": 300, "beverage_g": 260, "tds": ("1.39", "1.40", "1.45")}
    brewed = Brewed.model_validate(read)
    drip = find_yield_of(brew_with(Brewer.PERCOLATION), brewed)
    steeped = find_yield_of(brew_with(Brewer.IMMERSION), brewed)
    assert drip
    assert drip[:2] == (Decimal("18.200"), "beverage weighed")
    assert steeped
    assert steeped[:2] == (Decimal("21.298"), "all water, solids counted")


# How wide the limits must be is held to a simulation where they are worked out.
def test_a_yield_says_within_what_it_is_right() -> None:
    brewed = Brewed.model_validate({"dose_g": 20, "beverage_g": 260, "tds": ("1.40", "1.40")})
    found = find_yield_of(brew_with(Brewer.PERCOLATION), brewed)
    assert found
    assert 0 < found.plus_minus < 1


def test_what_was_only_planned_makes_no_yield() -> None:
    read_only = Brewed.model_validate({"tds": ("1.40",)})
    assert find_yield_of(brew_with(Brewer.IMMERSION), read_only) is None


def test_no_recipe_makes_no_yield() -> None:
    assert find_yield_of(None, Brewed.model_validate({"dose_g": 20, "tds": ("1.4",)})) is None


def test_a_clocked_end_comes_before_a_typed_one() -> None:
    brewed = Brewed(started="2026-03-31T09:00:00+00:00", ended_s=90)
    minutes, clock = find_end(brewed, "23:59")
    assert minutes is not None
    assert (minutes % 60, clock) == (Decimal("1.5"), "server")


def test_a_time_that_is_none_says_nothing() -> None:
    assert find_end(Brewed(), "24:0") == (None, "")
