"""Rising series: read from their form, and what whoever pours adds to what."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from server.tastings.dosing import list_doses, measure
from server.tastings.pouring import order_slots
from server.tastings.proposing import propose
from server.tastings.refusals import Invalid
from server.tastings.series_costs import work_out_series
from server.tastings.series_planning import empty_series_form, read_series_plan, series_form
from server.tastings.wishing import Aim, Wish
from tests.series_forms import SERIES


def test_a_plan_names_the_base_and_every_step() -> None:
    planned = read_series_plan(SERIES)
    assert planned.labels == {
        "A": "green tea",
        "B": "0.5 g/L rock sugar",
        "C": "1 g/L rock sugar",
        "D": "2 g/L rock sugar",
        "E": "4 g/L rock sugar",
    }
    assert planned.plan.rounds == 4


def test_a_stored_plan_fills_the_same_form() -> None:
    planned = read_series_plan(SERIES | {"swallow": "on", "attribute": "sweet"})
    again = series_form(planned.plan, planned.labels)
    assert read_series_plan(again) == planned


def test_an_empty_form_lacks_only_what_a_leader_must_say() -> None:
    with pytest.raises(Invalid) as refused:
        read_series_plan(empty_series_form())
    assert set(refused.value.messages) == {"question", "base", "substance", "unit", "steps"}


@pytest.mark.parametrize(
    "steps",
    ["", "1 2", "1 2 2", "4 2 1", "0 1 2", "a b c", "1e1 1e2 1e3", "1 2 3 4 5 6 7 8 9 10 11"],
)
def test_steps_that_make_no_series_are_refused(steps: str) -> None:
    with pytest.raises(Invalid) as refused:
        read_series_plan(SERIES | {"steps": steps})
    assert set(refused.value.messages) == {"steps"}


def test_decimal_commas_and_separators_are_understood() -> None:
    planned = read_series_plan(SERIES | {"steps": "0,5; 1, 2\n4,5"})
    assert planned.plan.series
    assert planned.plan.series.steps == tuple(map(Decimal, ("0.5", "1", "2", "4.5")))


def test_a_pot_smaller_than_its_cup_is_refused() -> None:
    with pytest.raises(Invalid) as refused:
        read_series_plan(SERIES | {"cup_ml": "150", "pot_ml": "100"})
    assert "pot_ml" in refused.value.messages


def test_nobody_can_pour_and_taste_a_series_alone() -> None:
    with pytest.raises(Invalid) as refused:
        read_series_plan(SERIES | {"pourer": "alone"})
    assert "pourer" in refused.value.messages


def test_costs_count_every_cup_and_say_what_luck_does() -> None:
    costs = work_out_series(read_series_plan(SERIES).plan)
    assert costs.cost.cups == 7 * 4 * 3
    assert (costs.least, costs.most, costs.is_uneven) == (2, 2, False)
    assert costs.luck == pytest.approx(sum(3.0**-k for k in range(1, 5)))  # by hand


def test_uneven_steps_are_noticed() -> None:
    assert work_out_series(read_series_plan(SERIES | {"steps": "1 2 5"}).plan).is_uneven


def test_what_is_added_is_measured_for_every_cup_and_a_check_cup(
    make_series: Callable[..., Any],
) -> None:
    made = make_series()
    first, *_, last = list_doses(made.sealed)
    assert (first.base_slot, first.slot, first.part_ml) == ("A1", "B1", 240)  # 8 cups of 30 mL
    assert (first.amount, last.amount) == ("0.12 g", "0.96 g")  # 0.5 and 4 g/L of 0.24 L
    assert not first.fill_up


def test_a_share_in_percent_is_filled_up(make_series: Callable[..., Any]) -> None:
    dose = list_doses(make_series(unit="%", steps="5 10 20").sealed)[0]
    assert (dose.amount, dose.fill_up) == ("12 mL", True)


def test_a_unit_that_says_no_amount_leaves_it_to_the_pourer() -> None:
    assert measure(Decimal(5), "parts per million", Decimal(240)) == ""


def test_other_tests_add_nothing(sealed_tasting: Any) -> None:
    assert list_doses(sealed_tasting.sealed) == ()


def test_the_base_is_poured_first_in_every_round(make_series: Callable[..., Any]) -> None:
    layout = make_series().sealed
    first = [order_slots(layout, number)[0].name for number in range(1, 5)]
    assert first == ["A1", "A2", "A3", "A4"]


def test_the_planner_leads_to_a_series() -> None:
    proposal = propose(Wish(aim=Aim.THRESHOLD))
    assert proposal.chosen is None
    assert proposal.series == "/tastings/new/series"
