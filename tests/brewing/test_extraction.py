from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.brewing.extraction import Brewer, Form, Measured, find_extraction_yield, work_out

WHOLE = Measured(
    20, 1.4, water_g=300, beverage_g=250, retained_ratio=2.1, absorbed_ratio=0.4, last_drops=0.5
)


def drip(**changed: Any) -> float:
    given: dict[str, Any] = {"dose_g": 20, "strength": 1.4, "beverage_g": 260}
    return find_extraction_yield(Brewer.PERCOLATION, **(given | changed)).percent


def steep(**changed: Any) -> float:
    given: dict[str, Any] = {"dose_g": 15, "strength": 1.3, "water_g": 250}
    return find_extraction_yield(Brewer.IMMERSION, **(given | changed)).percent


def mix(**changed: Any) -> float:
    given: dict[str, Any] = {"dose_g": 20, "strength": 1.4, "water_g": 300, "beverage_g": 260}
    return find_extraction_yield(Brewer.MIXED, **(given | changed)).percent


# Computed by hand from the mass balance.
def test_a_weighed_percolation_is_its_beverage_times_strength_over_dose() -> None:
    assert drip() == pytest.approx(18.20, abs=0.005)
    assert drip(dose_g=15, beverage_g=220, strength=1.45) == pytest.approx(21.27, abs=0.005)


# Computed by hand; a retained ratio of 2 is common practice, no source.
def test_a_beverage_nobody_weighed_is_estimated_and_says_so() -> None:
    got = find_extraction_yield(
        Brewer.PERCOLATION, dose_g=20, strength=1.4, water_g=300, retained_ratio=2
    )
    assert got.percent == pytest.approx(18.20, abs=0.005)
    assert (got.form, got.beverage_g, got.estimated) == (Form.RETAINED, 260, True)


# 15 : 250 at 1.30 % and 10 : 180 at 1.20 % computed by hand; 20 : 340 at 1.25 % is common
# practice, no source.
@pytest.mark.parametrize(
    ("dose", "water", "strength", "simple", "solids"),
    [(15, 250, 1.30, 21.67, 21.95), (20, 340, 1.25, 21.25, 21.52), (10, 180, 1.20, 21.60, 21.86)],
)
def test_an_immersion_takes_all_its_water(
    dose: float, water: float, strength: float, simple: float, solids: float
) -> None:
    brew = {"dose_g": dose, "water_g": water, "strength": strength}
    assert steep(**brew, count_solids=False) == pytest.approx(simple, abs=0.005)
    assert steep(**brew) == pytest.approx(solids, abs=0.005)


# Computed by hand from the mixed formula.
def test_a_mixed_brew_counts_its_last_drops() -> None:
    assert mix(last_drops=0.5, absorbed_ratio=0.5) == pytest.approx(19.05, abs=0.005)


def test_without_last_drops_a_mixed_brew_is_a_percolation() -> None:
    assert mix(last_drops=0) == pytest.approx(drip())


def test_with_last_drops_as_strong_as_the_beverage_a_mixed_brew_is_an_immersion() -> None:
    brew = {"dose_g": 15, "water_g": 250, "strength": 1.3}
    assert mix(**brew, beverage_g=220, last_drops=1.3) == pytest.approx(steep(**brew))


def test_absorbing_nothing_leaves_the_form_with_solids_counted() -> None:
    assert steep(absorbed_ratio=0) == steep()


def test_a_percolation_is_never_worked_out_from_its_water() -> None:
    with pytest.raises(ValueError, match="beverage_g is missing"):
        drip(beverage_g=None, water_g=300)


def test_an_immersion_is_never_worked_out_from_its_beverage() -> None:
    with pytest.raises(ValueError, match="water_g is missing"):
        steep(water_g=None, beverage_g=220)


@pytest.mark.parametrize("changed", [{"dose_g": 0}, {"strength": 100}, {"water_g": 250}])
def test_numbers_that_cannot_be_are_refused(changed: dict[str, float]) -> None:
    with pytest.raises(ValueError, match=r"must (be|lie|not)"):
        drip(**changed)


@pytest.mark.parametrize("brewer", Brewer)
def test_water_below_the_dose_is_refused_of_any_brewer(brewer: Brewer) -> None:
    given: dict[str, Any] = {
        "dose_g": 20,
        "strength": 1.2,
        "water_g": 10,
        "beverage_g": 8,
        "last_drops": 0.5,
    }
    with pytest.raises(ValueError, match="water_g must not lie below dose_g 20"):
        find_extraction_yield(brewer, **given)


@pytest.mark.parametrize("brewer", Brewer)
def test_beverage_above_the_water_is_refused_of_any_brewer(brewer: Brewer) -> None:
    given: dict[str, Any] = {
        "dose_g": 20,
        "strength": 1.2,
        "water_g": 300,
        "beverage_g": 301,
        "last_drops": 0.5,
    }
    with pytest.raises(ValueError, match="beverage_g must not exceed water_g 300"):
        find_extraction_yield(brewer, **given)


# Both traps, computed by hand: 15 g of coffee, 250 g of water, 220 g of beverage. A percolation
# taken for its water reads almost three points high, an immersion taken for its beverage as low.
def test_neither_trap_can_be_stepped_into() -> None:
    right = drip(dose_g=15, water_g=250, beverage_g=220, strength=1.45)
    assert right == pytest.approx(21.27, abs=0.005)
    assert right < round(250 * 1.45 / 15, 2) == 24.17
    steeped = steep(beverage_g=220, count_solids=False)
    assert steeped == pytest.approx(21.67, abs=0.005)
    assert steeped > round(220 * 1.3 / 15, 2) == 19.07


# Computed by hand: at 55 g/L and a retained ratio of 2, a yield of 18, 20, 22 % is a strength
# of 1.11, 1.24, 1.36 %.
@pytest.mark.parametrize(("percent", "strength"), [(18, 1.11), (20, 1.24), (22, 1.36)])
def test_the_strength_of_a_yield_at_a_ratio_goes_both_ways(percent: float, strength: float) -> None:
    beverage = 1000 - 2 * 55
    assert percent * 55 / beverage == pytest.approx(strength, abs=0.005)
    found = find_extraction_yield(
        Brewer.PERCOLATION,
        dose_g=55,
        water_g=1000,
        retained_ratio=2,
        strength=percent * 55 / beverage,
    )
    assert found.percent == pytest.approx(percent)


@pytest.mark.parametrize("form", Form)
@given(st.floats(0.5, 20), st.floats(0.01, 2))
def test_by_every_form_a_stronger_cup_is_more_extracted(
    form: Form, strength: float, more: float
) -> None:
    weak = work_out(form, replace(WHOLE, strength=strength))
    assert work_out(form, replace(WHOLE, strength=strength + more)) > weak


@pytest.mark.parametrize("form", Form)
@given(st.floats(0.1, 50))
def test_by_every_form_only_ratios_of_masses_matter(form: Form, times: float) -> None:
    masses = {name: times * getattr(WHOLE, name) for name in ("dose_g", "water_g", "beverage_g")}
    assert work_out(form, replace(WHOLE, **masses)) == pytest.approx(work_out(form, WHOLE))


@given(st.floats(0.5, 12), st.floats(5, 30), st.floats(1.0, 3.0))
def test_the_mixed_form_meets_both_others_at_its_ends(
    strength: float, ratio: float, kept: float
) -> None:
    brew = replace(
        WHOLE, strength=strength, water_g=20 * ratio, beverage_g=20 * (ratio - kept),
        absorbed_ratio=0.0,
    )  # fmt: skip
    drained = work_out(Form.LAST_DROPS, replace(brew, last_drops=0.0))
    steeped = work_out(Form.LAST_DROPS, replace(brew, last_drops=strength))
    assert drained == pytest.approx(work_out(Form.BEVERAGE, brew))
    assert steeped == pytest.approx(work_out(Form.SOLIDS, brew))
