"""Numbers as people type them."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Annotated, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter

from server.brewing.bounds import BOUNDS, parse_number, parse_optional
from server.brewing.brewed import Brewed, PartUsed
from server.brewing.recipe import BrewWater, Grinder, Plain, Recipe


@pytest.mark.parametrize("name", BOUNDS)
def test_both_ends_of_every_bound_are_taken_and_no_more(name: str) -> None:
    bound = BOUNDS[name]
    assert parse_number(name, str(bound.low)) == bound.low
    assert parse_number(name, str(bound.high)) == bound.high
    with pytest.raises(ValueError, match=bound.label):
        parse_number(name, str(bound.high + 1))


@pytest.mark.parametrize("text", ["", "nan", "1e2", "1_0", "0x1", "20 g", "٢٠", "1" * 40, "--3"])
def test_what_is_no_number_is_refused_with_range_and_unit(text: str) -> None:
    with pytest.raises(ValueError, match=r"Dose: a number from 0\.5 to 2000 g"):
        parse_number("dose_g", text)


def test_a_comma_is_a_decimal_point() -> None:
    assert parse_number("dose_g", "20,5") == Decimal("20.5")


def test_more_decimals_than_can_be_weighed_are_refused_but_noughts_say_nothing() -> None:
    assert parse_number("dose_g", "20.5000") == Decimal("20.5")
    with pytest.raises(ValueError, match="2 decimals at most"):
        parse_number("dose_g", "20.505")


def test_nothing_is_no_number_where_it_may_be_left_out() -> None:
    assert parse_optional("ph", " ") is None
    assert parse_optional("ph", "7,1") == Decimal("7.1")


@given(st.text(max_size=30))
def test_any_text_is_taken_within_bounds_or_refused(text: str) -> None:
    bound = BOUNDS["water_g"]
    try:
        found = parse_number("water_g", text)
    except ValueError:
        return
    assert bound.low <= found <= bound.high


MEMBERS: Mapping[type[Plain], str] = {
    Brewed: (
        "dose_g water_g beverage_g retained_ratio absorbed_ratio last_drops sample_c "
        "temperature_c fill_g shots"
    ),
    Recipe: "dose_g water_g water_c beverage_g shots",
    BrewWater: "hardness alkalinity ph",
    Grinder: "median_um",
    PartUsed: "brews_before",
}


@pytest.mark.parametrize(
    ("model", "name"), [(model, name) for model, names in MEMBERS.items() for name in names.split()]
)
@pytest.mark.parametrize("end", ["low", "high"])
def test_whatever_a_bound_takes_can_be_kept(model: type[Plain], name: str, end: str) -> None:
    number = getattr(BOUNDS[name], end)
    finest = number if end == "high" else number + Decimal(1).scaleb(-BOUNDS[name].decimals)
    member = model.model_fields[name]
    kind: Any = Annotated[member.annotation, member]
    assert TypeAdapter(kind).validate_python(finest) == finest
