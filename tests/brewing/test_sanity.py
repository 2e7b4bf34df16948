"""What strikes about a brew's numbers. Ranges are common practice, no source."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.brewing.brewed import read_brewed
from server.brewing.extraction import Brewer
from server.brewing.sanity import PLAUSIBLE, Finding, Remark, Weight, check_brew, find_meant
from server.reports.brew_words import REASONS, REMARKS, say_remark

FILTER: dict[str, Any] = {"dose_g": 20, "water_g": 300, "beverage_g": 260, "tds": ["1.40"]}


def check(how: Brewer = Brewer.PERCOLATION, **changed: Any) -> dict[Remark, Finding]:
    said = {name: value for name, value in (FILTER | changed).items() if value is not None}
    return {one.remark: one for one in check_brew(how, read_brewed(said))}


def test_nothing_strikes_about_an_ordinary_brew() -> None:
    assert check() == {}


def test_a_slipped_point_is_asked_about_with_what_may_be_meant() -> None:
    found = check(tds=["13.6"])[Remark.POINT]
    assert (found.weight, found.instead) == (Weight.ASK, Decimal("1.36"))
    assert say_remark(found) == "13.6 %TDS? Such a brew has 0.5 to 3 %TDS. 1.36?"


@pytest.mark.parametrize(
    ("how", "typed", "meant"),
    [
        (Brewer.PERCOLATION, "0.136", "1.36"),
        (Brewer.PERCOLATION, "13.6", "1.36"),
        (Brewer.PERCOLATION, "136", "1.36"),
        (Brewer.IMMERSION, "12.5", "1.25"),
        (Brewer.ESPRESSO, "0.95", "9.5"),
        (Brewer.ESPRESSO, "9.5", None),
        (Brewer.ESPRESSO, "1.2", "12"),
        (Brewer.PERCOLATION, "1.36", None),
        (Brewer.PERCOLATION, "0", None),
    ],
)
def test_what_may_be_meant_depends_on_the_brewer(
    how: Brewer, typed: str, meant: str | None
) -> None:
    assert find_meant(how, Decimal(typed)) == (None if meant is None else Decimal(meant))


def test_a_strength_that_no_slip_explains_is_asked_about() -> None:
    assert check(Brewer.PERCOLATION, tds=["0"])[Remark.STRENGTH_FAR].weight is Weight.ASK


def test_beverage_above_the_water_is_refused() -> None:
    assert check(beverage_g=301)[Remark.BEVERAGE_ABOVE_WATER].weight is Weight.REFUSE


@pytest.mark.parametrize("how", Brewer)
def test_water_below_the_dose_is_refused(how: Brewer) -> None:
    found = check(how, water_g=10, beverage_g=8)[Remark.WATER_BELOW_DOSE]
    assert found.weight is Weight.REFUSE


@pytest.mark.parametrize(
    ("beverage", "warned"), [(270, False), (271, True), (230, False), (229, True)]
)
def test_a_retained_ratio_outside_one_and_a_half_to_three_and_a_half_is_warned_of(
    beverage: int, warned: bool
) -> None:
    assert (Remark.RETAINED_FAR in check(beverage_g=beverage)) is warned


@pytest.mark.parametrize(("how", "beverage"), [(Brewer.IMMERSION, 300), (Brewer.ESPRESSO, 40)])
def test_nothing_is_kept_of_a_bowl_and_nobody_asks_what_a_shot_keeps(
    how: Brewer, beverage: int
) -> None:
    assert Remark.RETAINED_FAR not in check(how, beverage_g=beverage)


def test_millilitres_at_brewing_heat_are_hinted_at_where_they_would_explain_it() -> None:
    found = check(beverage_g=225)[Remark.HOT_ML]
    assert (found.weight, found.instead) == (Weight.ASK, Decimal(289))
    assert Remark.HOT_ML not in check(beverage_g=150)


def test_readings_that_lie_apart_and_a_warm_sample_are_warned_of() -> None:
    found = check(tds=["1.40", "1.44"], sample_c="41")
    assert {Remark.SPREAD, Remark.WARM} <= found.keys()
    assert found[Remark.SPREAD].value == Decimal("0.04")


def test_a_sample_with_grounds_in_it_and_a_zero_of_air_are_warned_of() -> None:
    found = check(filtered=False, zero="air")
    assert found.keys() == {Remark.NOT_FILTERED, Remark.ZERO_AIR}
    assert check(filtered=True, zero="brew water") == check() == {}


@pytest.mark.parametrize(("strength", "warned"), [("0.38", True), ("0.40", False), ("2.4", True)])
def test_a_yield_below_five_or_above_thirty_percent_is_warned_of(
    strength: str, warned: bool
) -> None:
    assert (Remark.YIELD_FAR in check(tds=[strength])) is warned


def test_a_yield_that_no_coffee_gives_is_warned_of() -> None:
    assert check(tds=["3.9"])[Remark.YIELD_FAR].value == Decimal("50.7")


# Both traps, computed by hand: 15 g of coffee, 250 g of water.
def test_each_trap_is_named_with_what_it_would_have_read() -> None:
    drip = check(dose_g=15, water_g=250, beverage_g=None, tds=["1.45"])[Remark.ESTIMATED]
    assert drip.instead == Decimal("24.2")
    steeped = check(Brewer.IMMERSION, dose_g=15, water_g=250, beverage_g=220, tds=["1.30"])
    assert steeped[Remark.NOT_FROM_BEVERAGE].instead == Decimal("19.1")


def test_what_is_refused_comes_first() -> None:
    found = check_brew(Brewer.PERCOLATION, read_brewed(FILTER | {"beverage_g": 301, "tds": ["30"]}))
    assert [one.weight for one in found][:2] == [Weight.REFUSE, Weight.ASK]


@given(
    st.sampled_from(Brewer),
    st.fixed_dictionaries(
        {},
        optional={
            "dose_g": st.decimals("0.5", 60, places=1),
            "water_g": st.decimals(0, 900, places=1),
            "beverage_g": st.decimals(0, 900, places=1),
            "tds": st.lists(st.decimals(0, 30, places=2), max_size=3),
            "sample_c": st.decimals(0, 100, places=1),
            "filtered": st.booleans(),
        },
    ),
)
def test_of_any_brew_every_remark_can_be_said(how: Brewer, said: dict[str, Any]) -> None:
    for one in check_brew(how, read_brewed(said)):
        assert say_remark(one).endswith((".", "?"))
        assert "  " not in say_remark(one)


def test_every_remark_and_reason_has_its_sentence() -> None:
    assert set(REMARKS) == set(Remark)
    assert all(sentence.endswith(".") for sentence in REASONS.values())


@given(st.sampled_from(Brewer), st.decimals(0, 30, places=2))
def test_what_may_be_meant_is_always_plausible(how: Brewer, typed: Decimal) -> None:
    meant, (low, high) = find_meant(how, typed), PLAUSIBLE[how]
    assert meant is None or low <= meant <= high
