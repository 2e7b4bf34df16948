"""Units of hardness and alkalinity."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.brewing.water import ALKALINITY, HARDNESS, TARGETS, Unit, convert


# Computed from molar masses and gallons.
@pytest.mark.parametrize(
    ("value", "unit", "lime"),
    [
        (1, Unit.GRAINS, 17.1),
        (1, Unit.GERMAN, 17.8),
        (1, Unit.FRENCH, 10.0),
        (61, Unit.HYDROGEN_CARBONATE, 50.0),
        (24, Unit.CALCIUM, 59.9),
        (10, Unit.MAGNESIUM, 41.2),
    ],
)
def test_every_unit_is_so_much_lime(value: float, unit: Unit, lime: float) -> None:
    assert convert(value, unit) == pytest.approx(lime, abs=0.05)


# A handbook's table of hardness degrees (from memory): 1 mmol/L is 100.1 mg/L CaCO3, 5.61 °dH,
# 10.01 °fH and 7.02 °e.
@pytest.mark.parametrize(
    ("to", "value"), [(Unit.GERMAN, 5.61), (Unit.FRENCH, 10.01), (Unit.ENGLISH, 7.02)]
)
def test_a_millimole_is_what_tables_of_degrees_print(to: Unit, value: float) -> None:
    assert convert(1, Unit.MILLIMOLE, to) == pytest.approx(value, abs=0.006)


@given(st.floats(0, 1000), st.sampled_from(Unit), st.sampled_from(Unit))
def test_there_and_back_is_the_same(value: float, unit: Unit, to: Unit) -> None:
    assert convert(convert(value, unit, to), to, unit) == pytest.approx(value)


@pytest.mark.parametrize("value", [-0.1, float("nan"), float("inf")])
def test_less_than_nothing_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="value must be a number from 0"):
        convert(value, Unit.GERMAN)


def test_no_unit_says_two_things() -> None:
    assert Unit.HYDROGEN_CARBONATE not in HARDNESS
    assert Unit.MILLIMOLE not in ALKALINITY


def test_every_target_names_its_source_and_none_is_called_the_standard() -> None:
    assert all(one.source and "standard" not in one.name.lower() for one in TARGETS)
