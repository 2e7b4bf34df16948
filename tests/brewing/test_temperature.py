"""Degrees Fahrenheit and Celsius."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.brewing.temperature import read_celsius, to_celsius


# Computed.
@pytest.mark.parametrize(
    ("fahrenheit", "celsius"), [(200, 93.3), (195, 90.6), (205, 96.1), (160, 71.1), (140, 60.0)]
)
def test_degrees_fahrenheit_are_read(fahrenheit: int, celsius: float) -> None:
    assert to_celsius(fahrenheit) == pytest.approx(celsius, abs=0.05)
    assert read_celsius(f" {fahrenheit} °f ") == str(celsius)


@given(st.floats(-100, 500))
def test_degrees_go_there_and_back(celsius: float) -> None:
    assert to_celsius(celsius * 1.8 + 32) == pytest.approx(celsius, abs=1e-9)


@pytest.mark.parametrize("text", ["", "warm", "93 K", "1e2 F"])
def test_what_is_no_temperature_stays_as_it_was_typed(text: str) -> None:
    assert read_celsius(text) == text
