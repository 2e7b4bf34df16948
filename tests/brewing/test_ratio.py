"""Ratios and the weight of hot water."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.brewing.hot_water import find_density, weigh_hot_water
from server.brewing.ratio import find_ratio


# Computed; 20 : 340 is common practice, no source.
@pytest.mark.parametrize(
    ("dose", "water", "parts", "litre"),
    [
        (15, 250, 16.67, 60.0),
        (18, 300, 16.67, 60.0),
        (20, 320, 16.00, 62.5),
        (8.25, 150, 18.18, 55.0),
        (20, 340, 17.00, 58.8),
    ],
)
def test_a_ratio_is_known_as_parts_and_as_grams_a_litre(
    dose: float, water: float, parts: float, litre: float
) -> None:
    found = find_ratio(dose, water, "water in")
    assert found.parts == pytest.approx(parts, abs=0.005)
    assert found.grams_per_litre == pytest.approx(litre, abs=0.05)


def test_a_ratio_says_what_it_is_of() -> None:
    assert find_ratio(18, 36, "beverage out").of == "beverage out"


@pytest.mark.parametrize(("dose", "liquid"), [(0, 1), (1, 0), (-1, 5), (1, float("inf"))])
def test_no_ratio_is_made_of_nothing(dose: float, liquid: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        find_ratio(dose, liquid, "water in")


# Densities as handbooks print them (CRC Handbook of Chemistry and Physics, water at normal
# pressure; from memory).
@pytest.mark.parametrize(
    ("celsius", "density"),
    [(0, 0.99984), (4, 0.99997), (25, 0.99705), (50, 0.98804), (80, 0.97180), (100, 0.95837)],
)
def test_densities_are_those_of_handbooks(celsius: float, density: float) -> None:
    assert find_density(celsius) == pytest.approx(density, abs=2e-5)


# Computed with a density of 0.963 at 93 °C.
def test_a_jug_of_brewing_water_weighs_less_than_its_marks_say() -> None:
    assert weigh_hot_water(150, 93) == pytest.approx(144.5, abs=0.05)


@given(st.floats(5, 99))
def test_above_five_degrees_warmer_water_is_lighter(celsius: float) -> None:
    assert find_density(celsius + 1) < find_density(celsius)


@pytest.mark.parametrize("celsius", [-1, 101, float("nan")])
def test_a_density_outside_of_the_formula_is_refused(celsius: float) -> None:
    with pytest.raises(ValueError, match="celsius must lie from 0 to 100"):
        find_density(celsius)


def test_no_water_has_less_than_no_volume() -> None:
    with pytest.raises(ValueError, match="millilitres"):
        weigh_hot_water(-1, 20)
