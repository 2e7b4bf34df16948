"""Readings as they are typed at the bar."""

from decimal import Decimal

import pytest

from server.brewing.quick_readings import parse_fill, parse_tds, parse_temperature


@pytest.mark.parametrize("text", ["1.31 1,32 1.30", "1.31;1,32;1.30", " 1.31\n1.32  1.30 "])
def test_readings_are_read_as_people_type_them(text: str) -> None:
    assert parse_tds(text) == (Decimal("1.31"), Decimal("1.32"), Decimal("1.30"))


@pytest.mark.parametrize("text", ["", "  "])
def test_a_blank_field_holds_no_reading(text: str) -> None:
    assert (parse_tds(text), parse_temperature(text)) == ((), None)


@pytest.mark.parametrize("text", ["0", "30", "0.01"])
def test_strength_may_lie_from_zero_to_thirty(text: str) -> None:
    assert parse_tds(text) == (Decimal(text),)


@pytest.mark.parametrize(
    "text",
    ["30.01", "131", "-1", "1.3x", "nan", "Infinity", "1e1", "1.2.3", "1,3,2", "\u0661.\u0663"],
)
def test_what_is_no_strength_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="TDS must be a number from 0 to 30 %, got"):
        parse_tds(f"1.30 {text}")


def test_a_strength_without_its_point_is_asked_about() -> None:
    with pytest.raises(ValueError, match=r"got '136'; 1\.36\?"):
        parse_tds("136")


@pytest.mark.parametrize("text", ["100.1", "-3", "hot", "NaN", "58°C"])
def test_what_is_no_temperature_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="temperature must be a number from 0 to 100 °C"):
        parse_temperature(text)


def test_two_temperatures_are_refused() -> None:
    with pytest.raises(ValueError, match="temperature must be one number, got '58 59'"):
        parse_temperature("58 59")


@pytest.mark.parametrize("text", ["500.1", "-3", "full", "30g"])
def test_what_is_no_fill_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="fill must be a number from 0 to 500 g"):
        parse_fill(text)


def test_a_blank_fill_is_no_reading() -> None:
    assert parse_fill(" ") is None
