import pytest
from pydantic import ValidationError

from server.sheets.scales.base import Analysis
from server.sheets.scales.control import Control

WORDS = ("none", "slight", "clear", "large")


def test_no_difference_is_number_zero() -> None:
    scale = Control(control="the open cup", words=WORDS)
    assert (scale.describe(0), scale.to_number(0)) == ("none", 0.0)


def test_differences_are_numbers() -> None:
    assert Control(control="the open cup", words=WORDS).analysis == Analysis.NUMBERS


@pytest.mark.parametrize("control", ["", "  "])
def test_a_control_must_be_named(control: str) -> None:
    with pytest.raises(ValidationError, match="must not be empty"):
        Control(control=control, words=WORDS)
