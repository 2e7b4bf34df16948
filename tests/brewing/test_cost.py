from decimal import Decimal
from typing import Any

import pytest

from server.brewing.cost import Cost, estimate_cost


def cost(**changed: Any) -> Cost:
    given: dict[str, Any] = {
        **{"assessors": 18, "spare_seats": 0, "rounds": 1, "cups_per_serving": 3},
        **{"cup_ml": Decimal(40), "pots": 10, "swallow": True},
    }
    return estimate_cost(**(given | changed))


# 18 balanced triads: 27 + 27 cups, 1080 mL of each sample, 5 pots of 250 mL of each (arithmetic).
def test_eighteen_triads_take_two_litres_and_ten_small_pots() -> None:
    got = cost()
    assert (got.cups, got.ml, got.pots) == (54, Decimal(2160), 10)


def test_spare_seats_are_poured_for() -> None:
    assert cost(assessors=6, spare_seats=1, rounds=3).cups == 63


# 12 triads of three 30 mL cups, all swallowed: 1080 mL, at 95 mg in 237 mL about 433 mg (by hand:
# 1080 * 95 / 237 = 432.9).
def test_twelve_triads_swallowed_hold_more_caffeine_than_a_day_allows() -> None:
    got = cost(rounds=12, cup_ml=Decimal(30))
    assert got.caffeine_mg_per_person is not None
    assert round(got.caffeine_mg_per_person) == 433
    assert (got.over_single_dose, got.over_day) == (True, True)


# The same in 10 mL sips: about 144 mg (1080 / 3 * 95 / 237 = 144.3).
def test_small_sips_stay_below_a_single_dose() -> None:
    got = cost(rounds=12, cup_ml=Decimal(10))
    assert (round(got.caffeine_mg_per_person or 0), got.over_single_dose) == (144, False)


# EFSA 2015: 200 mg as a single dose, 400 mg over a day. 9 and 10 cups of 55 mL are 198 and 220 mg.
@pytest.mark.parametrize(("cups", "over"), [(9, False), (10, True)])
def test_the_single_dose_flag_turns_above_two_hundred(cups: int, over: bool) -> None:
    assert cost(cups_per_serving=cups, cup_ml=Decimal(55)).over_single_dose is over


def test_between_the_guides_only_the_single_dose_is_flagged() -> None:
    got = cost(rounds=6)  # 720 mL, 289 mg
    assert (got.over_single_dose, got.over_day) == (True, False)


def test_caffeine_is_not_estimated_for_those_who_spit() -> None:
    got = cost(rounds=12, swallow=False)
    assert (got.caffeine_mg_per_person, got.over_day) == (None, False)


def test_those_who_spit_get_an_upper_bound() -> None:
    assert round(cost(rounds=12, cup_ml=Decimal(30), swallow=False).caffeine_if_swallowed_mg) == 433


@pytest.mark.parametrize(
    "wrong",
    [{"assessors": 0}, {"rounds": 0}, {"spare_seats": -1}, {"pots": 0}, {"cup_ml": Decimal(0)}],
)
def test_numbers_that_make_no_plan_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=next(iter(wrong))):
        cost(**wrong)
