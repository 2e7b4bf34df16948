"""Yields by the form of the brewer, with their uncertainty."""

from collections.abc import Mapping
from dataclasses import replace
from math import sqrt
from typing import Any

import numpy as np
import pytest

from server.brewing.brewed import Brewed, read_brewed
from server.brewing.extraction import Brewer, Form, Measured, work_out
from server.brewing.strength import Instrument
from server.brewing.yields import LIMITS, BrewYield, combine, find_yield

FILTER: dict[str, Any] = {"dose_g": 20, "water_g": 300, "beverage_g": 260, "tds": ["1.40"]}
WHOLE = Measured(
    20, 1.4, water_g=300, beverage_g=250, retained_ratio=2.1, absorbed_ratio=0.4, last_drops=0.5
)
SAID: Mapping[str, float] = {
    name: limit / sqrt(3)
    for name, limit in {**LIMITS, "strength": 0.03, "last_drops": 0.03}.items()
}


def brew(how: Brewer, **changed: Any) -> BrewYield:
    said = {name: value for name, value in (FILTER | changed).items() if value is not None}
    return find_yield(how, read_brewed(said))


# Computed by hand from the mass balance; the retained ratio of 2 is common practice, no source.
@pytest.mark.parametrize(
    ("how", "changed", "percent", "form"),
    [
        (Brewer.PERCOLATION, {}, 18.20, Form.BEVERAGE),
        (Brewer.PERCOLATION, {"beverage_g": None}, 18.20, Form.RETAINED),
        (Brewer.ESPRESSO, {"water_g": None, "beverage_g": 40, "tds": ["9"]}, 18.0, Form.BEVERAGE),
        (Brewer.IMMERSION, {"dose_g": 15, "water_g": 250, "beverage_g": None, "tds": ["1.30"]},
         21.95, Form.SOLIDS),
        (Brewer.IMMERSION, {"absorbed_ratio": "0.5"}, 20.59, Form.ABSORBED),
        (Brewer.MIXED, {"last_drops": "0.5", "absorbed_ratio": "0.5"}, 19.05, Form.LAST_DROPS),
    ],
)  # fmt: skip
def test_the_brewer_chooses_the_form(
    how: Brewer, changed: dict[str, Any], percent: float, form: Form
) -> None:
    found = brew(how, **changed)
    assert (found.form, found.reason) == (form, "")
    assert found.percent == pytest.approx(percent, abs=0.006)


# Common practice, no source: 20 : 340 at 1.25 % is 21.25 % simply, 21.52 % with solids counted.
def test_solids_of_an_immersion_are_counted_unless_somebody_wishes_otherwise() -> None:
    steeped = read_brewed({"dose_g": 20, "water_g": 340, "tds": ["1.25"]})
    counted = find_yield(Brewer.IMMERSION, steeped)
    simple = find_yield(Brewer.IMMERSION, steeped, count_solids=False)
    assert counted.percent == pytest.approx(21.52, abs=0.005)
    assert simple.percent == pytest.approx(21.25)
    assert simple.form is Form.SIMPLE


@pytest.mark.parametrize(
    ("how", "changed", "reason"),
    [
        (Brewer.PERCOLATION, {"tds": None}, "strength"),
        (Brewer.PERCOLATION, {"dose_g": None}, "dose"),
        (Brewer.PERCOLATION, {"water_g": None, "beverage_g": None}, "beverage"),
        (Brewer.ESPRESSO, {"beverage_g": None}, "beverage"),
        (Brewer.IMMERSION, {"water_g": None}, "water"),
        (Brewer.MIXED, {"beverage_g": None}, "beverage"),
        (Brewer.MIXED, {}, "last drops"),
        (Brewer.PERCOLATION, {"beverage_g": 301}, "cannot be"),
        (Brewer.IMMERSION, {"water_g": 10, "beverage_g": None}, "cannot be"),
    ],
)
def test_a_yield_that_cannot_be_worked_out_says_why(
    how: Brewer, changed: dict[str, Any], reason: str
) -> None:
    found = brew(how, **changed)
    assert (found.percent, found.reason) == (None, reason)


def test_of_a_brew_of_which_nothing_is_known_there_is_no_yield() -> None:
    assert find_yield(Brewer.PERCOLATION, Brewed()) == BrewYield(reason="strength")


# Computed by hand, limits added as root of squares: 15 ± 0.1 g, 220 ± 1 g, and 1.45 % within
# 0.01 or 0.03 make 0.23 and 0.47 points.
@pytest.mark.parametrize(("strength", "points"), [(0.01, 0.23), (0.03, 0.47)])
def test_limits_add_up_as_the_root_of_their_squares(strength: float, points: float) -> None:
    limits = {"dose_g": 0.1, "beverage_g": 1.0, "strength": strength}
    found = combine(Form.BEVERAGE, Measured(15, 1.45, beverage_g=220), limits)
    assert found == pytest.approx(points, abs=0.005)


@pytest.mark.parametrize("form", Form)
def test_the_uncertainty_of_every_form_is_that_of_simulated_brews(form: Form) -> None:
    rng = np.random.default_rng(20261201)
    drawn = {
        name: getattr(WHOLE, name) + rng.uniform(-1, 1, 200_000) * sqrt(3) * said
        for name, said in SAID.items()
    }
    simulated = work_out(form, Measured(**drawn)).std()  # type: ignore[attr-defined]  # of arrays it makes one
    assert combine(form, WHOLE, SAID) == pytest.approx(simulated, rel=0.01)


def test_what_shifts_both_strengths_of_a_mixed_brew_adds_up_before_it_is_squared() -> None:
    rng = np.random.default_rng(20261202)
    shift = rng.uniform(-0.03, 0.03, 200_000)
    drawn = {name: getattr(WHOLE, name) + shift for name in ("strength", "last_drops")}
    simulated = work_out(Form.LAST_DROPS, replace(WHOLE, **drawn)).std()  # type: ignore[attr-defined]  # of arrays it makes one
    shared = dict.fromkeys(drawn, 0.03 / sqrt(3))
    together = combine(Form.LAST_DROPS, WHOLE, {}, shared)
    assert together == pytest.approx(simulated, rel=0.01)
    assert together > 1.05 * combine(Form.LAST_DROPS, WHOLE, shared)


# The whole way from what was noted: seeded Monte-Carlo of a mixed brew, whose two strengths
# were read on one instrument, against the uncertainty that stands beside its yield.
def test_the_uncertainty_of_a_mixed_brew_is_that_of_simulated_ones() -> None:
    rng = np.random.default_rng(20261203)
    shift = rng.uniform(-0.03, 0.03, 200_000)
    noted = Measured(20, 1.4, water_g=300, beverage_g=260, absorbed_ratio=0.5, last_drops=0.5)
    own = {**LIMITS, "strength": 0.01, "last_drops": 0.01, "retained_ratio": 0.0}
    drawn = {
        name: getattr(noted, name) + rng.uniform(-1, 1, 200_000) * limit
        for name, limit in own.items()
    }
    drawn |= {name: drawn[name] + shift for name in ("strength", "last_drops")}
    simulated = work_out(Form.LAST_DROPS, Measured(**drawn)).std()  # type: ignore[attr-defined]  # of arrays it makes one
    found = brew(Brewer.MIXED, last_drops="0.5", absorbed_ratio="0.5")
    assert found.alone == pytest.approx(simulated, rel=0.01)


def test_better_scales_leave_less_doubt() -> None:
    noted = read_brewed(FILTER)
    fine = find_yield(
        Brewer.PERCOLATION,
        noted,
        limits={"dose_g": 0.01, "beverage_g": 0.1},
        instrument=Instrument(precision=0.001, accuracy=0.003),
    )
    assert fine.alone < find_yield(Brewer.PERCOLATION, noted).alone / 5


def test_an_immersion_taken_simply_leaves_out_what_the_coffee_took_up() -> None:
    steeped = read_brewed({"dose_g": 20, "water_g": 340, "tds": ["1.25"], "absorbed_ratio": "0.5"})
    assert find_yield(Brewer.IMMERSION, steeped, count_solids=False).form is Form.SIMPLE


def test_what_two_brews_share_does_not_come_between_them() -> None:
    found = brew(Brewer.PERCOLATION, tds=["1.40", "1.41", "1.40"])
    assert 0 < found.repeat < found.alone
    assert found.plus_minus == pytest.approx(sqrt(3) * found.alone)


def test_what_a_form_does_not_use_adds_no_doubt() -> None:
    assert brew(Brewer.PERCOLATION).alone == pytest.approx(
        brew(Brewer.PERCOLATION, retained_ratio="3.1").alone
    )
