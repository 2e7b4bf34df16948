import math
from decimal import Decimal

import pytest
from pydantic import ValidationError

from server.sheets.scales.base import InvalidValue
from server.sheets.scales.magnitude import Magnitude

SCALE = Magnitude(reference="1 g of sugar in 100 g of water", reference_value=Decimal(10))


@pytest.mark.parametrize(
    ("text", "value"), [("5", "5"), ("12,50", "12.5"), ("007.0", "7"), ("0.001", "0.001")]
)
def test_a_number_is_kept_as_its_shortest_decimal(text: str, value: str) -> None:
    assert SCALE.parse({"": text}, ()) == value


@pytest.mark.parametrize("text", ["0", "0,000", "-5", "1e3", "1.2345", "many", "1 000", "∞"])
def test_what_is_no_number_above_zero_is_refused(text: str) -> None:
    with pytest.raises(InvalidValue, match="above 0"):
        SCALE.parse({"": text}, ())


def test_the_mean_of_logarithms_is_a_geometric_mean() -> None:
    logs = [SCALE.to_number(value) for value in ("5", "20", "40")]
    mean = math.exp(sum(logs) / 3) * 10
    assert mean == pytest.approx((5 * 20 * 40) ** (1 / 3))


def test_the_reference_itself_is_nought() -> None:
    assert SCALE.to_number("10") == 0.0


@pytest.mark.parametrize("number", ["0", "-1", "NaN", "Infinity", "1000001", "0.0001"])
def test_a_reference_must_have_a_value_above_zero(number: str) -> None:
    with pytest.raises(ValidationError):
        Magnitude(reference="sugar water", reference_value=Decimal(number))
