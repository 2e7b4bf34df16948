"""Water to add, and when water does not help."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.brewing.dilution import (
    Advice,
    advise_dilution,
    find_uncertainty_to_add,
    find_water_to_add,
)
from server.brewing.extraction import Form
from server.brewing.strength import find_strength
from server.brewing.yields import BrewYield


# Computed.
@pytest.mark.parametrize(
    ("beverage", "strength", "target", "water"),
    [(200, 1.48, 1.30, 27.7), (150, 1.50, 1.25, 30.0)],
)
def test_water_to_add(beverage: float, strength: float, target: float, water: float) -> None:
    assert find_water_to_add(beverage, strength, target) == pytest.approx(water, abs=0.05)


@given(st.floats(10, 5000), st.floats(0.5, 20), st.floats(0.05, 0.95))
def test_dilution_leaves_the_solids_and_so_the_yield_as_they_were(
    beverage: float, strength: float, part: float
) -> None:
    target = strength * part
    water = find_water_to_add(beverage, strength, target)
    assert (beverage + water) * target == pytest.approx(beverage * strength)


@pytest.mark.parametrize(("strength", "target"), [(1.3, 1.3), (1.2, 1.3), (1.3, 0), (100, 1.3)])
def test_nothing_is_made_stronger(strength: float, target: float) -> None:
    with pytest.raises(ValueError, match="must"):
        find_water_to_add(200, strength, target)


def test_the_uncertainty_of_the_water_is_that_of_simulated_readings() -> None:
    rng = np.random.default_rng(5)
    beverage = rng.normal(200, 0.6, 200_000)
    strength, target = rng.normal(1.48, 0.006, 200_000), rng.normal(1.30, 0.012, 200_000)
    simulated = (beverage * (strength / target - 1)).std()
    found = find_uncertainty_to_add(200, 1.48, 1.30, 0.6, 0.006, 0.012)
    assert found == pytest.approx(simulated, rel=0.01)


def tell(tds: float | None, percent: float | None = None, form: Form = Form.BEVERAGE) -> BrewYield:
    strength = None if tds is None else find_strength([tds])
    return BrewYield(percent, form if percent else None, strength)


# That a point of yield is too much for water is common practice, no source.
@pytest.mark.parametrize(
    ("first", "second", "advice"),
    [
        (tell(1.30), tell(1.35), Advice.NOTHING),
        (tell(1.30, 20.0), tell(1.48, 21.0), Advice.DILUTE),
        (tell(1.30, 20.0), tell(1.48, 21.1), Advice.REDIAL),
        (tell(1.30, 20.0), tell(1.30, 22.0), Advice.REDIAL),
        (tell(1.30, 20.0), tell(1.48, 20.0, Form.SOLIDS), Advice.FORMS),
        (tell(1.30), tell(None), Advice.READ),
        (tell(1.30), tell(1.48, 20.0), Advice.DILUTE),
    ],
)
def test_what_to_do_about_two_brews(first: BrewYield, second: BrewYield, advice: Advice) -> None:
    assert advise_dilution({"A": first, "B": second}, 0.05).advice is advice


def test_the_stronger_one_is_diluted_whichever_it_is() -> None:
    assert advise_dilution({"A": tell(1.5), "B": tell(1.25)}, 0.05).stronger == "A"
    found = advise_dilution({"A": tell(1.25), "B": tell(1.5)}, 0.05)
    assert (found.stronger, found.water_g) == ("B", pytest.approx(20))


# By hand: 100 g / 1.30 * sqrt(u² + (1.48 / 1.30)² u²) is 1.165 g for each 0.01 %TDS of either.
def test_the_advice_has_the_limits_that_readings_leave_it() -> None:
    found = advise_dilution({"A": tell(1.30), "B": tell(1.48)}, 0.05)
    repeat = find_strength([1.30]).repeat
    assert found.plus_minus_g == pytest.approx(3**0.5 * 1.165 * repeat / 0.01, rel=1e-3)


def test_advice_is_about_two_brews() -> None:
    with pytest.raises(ValueError, match="brews must be two"):
        advise_dilution({"A": tell(1.3)}, 0.05)
