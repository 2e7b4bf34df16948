from typing import Any

import pytest

from server.blinding.plans import Plan, TablePlan
from server.blinding.table_plans import check_table_plan, count_codes, get_table
from tests.drawn_tables import plan_table


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"assessors": 0}, "assessors must be at least 1, got 0"),
        ({"sittings": 0}, "sittings must be at least 1, got 0"),
        ({"spare_seats": -1}, "spare_seats must be at least 0, got -1"),
        ({"rounds": 2}, "rounds must be 1, a sitting each, got 2"),
        ({"bowls": 0}, "bowls must be at least 1, got 0"),
        ({"sip_limit_c": "65.5"}, "sip_limit_c must lie above 0 and up to 65, got 65.5"),
        ({"method": "triangle"}, "method must be table, got triangle"),
        ({"pourer": "alone"}, "pourer must not be alone"),
        ({"style": "shared", "pots": "blend"}, "pots must be separate where bowls are shared"),
        ({"warm_up": "X"}, "warm_up must be one of the samples, got X"),
        ({"reference": "X"}, "reference must be one of the samples, got X"),
        ({"duplicates": ("A", "A")}, "duplicates must be different ones"),
        ({"duplicates": ("X",)}, "duplicates must be different ones"),
        ({"duplicates": ("A",), "bowls": 2, "scattered": True}, "duplicates must be none where"),
        ({"block": 1}, "block must be 0 or lie between 2 and 4, got 1"),
        ({"block": 5}, "block must be 0 or lie between 2 and 4, got 5"),
        ({"block": 2, "reference": "A", "duplicates": ("B",)}, "block must be 0 or lie between 3"),
        ({"block": 2, "assessors": 1}, "block must be so large that every sample is met, got 2"),
        ({"block": 2, "style": "shared"}, "block must be so large that every sample is met"),
        ({"sittings": 150}, "sittings must need at most 567 codes, got 600"),
    ],
)
def test_a_table_that_cannot_be_drawn_is_refused(changed: dict[str, Any], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        check_table_plan(plan_table(**changed), "ABCD")


@pytest.mark.parametrize("levels", [["A"], ["A", "A"], ["A", "b"], ["A", "BB"]])
def test_levels_that_name_no_two_samples_are_refused(levels: list[str]) -> None:
    with pytest.raises(ValueError, match="levels must be two or more different letters"):
        check_table_plan(plan_table(), levels)


def test_controls_are_refused() -> None:
    plan = plan_table().model_copy(update={"null_control": True})
    with pytest.raises(ValueError, match="controls must not be planned for a scored table"):
        check_table_plan(plan, "ABCD")


@pytest.mark.parametrize(
    ("changed", "codes"),
    [
        ({}, 4),
        ({"bowls": 3}, 4),
        ({"bowls": 3, "scattered": True}, 12),
        ({"duplicates": ("A", "B")}, 6),
        ({"block": 3, "duplicates": ("A",)}, 4),
        ({"block": 4}, 4),
        ({"warm_up": "A", "reference": "B"}, 4),
    ],
)
def test_codes_of_a_serving_follow_from_the_plan(changed: dict[str, Any], codes: int) -> None:
    assert count_codes(TablePlan(sheet={}, **changed), "ABCD") == codes


def test_a_plan_without_a_table_has_none(make_plan: Any) -> None:
    plan: Plan = make_plan()
    with pytest.raises(ValueError, match="plan must have a table, got the method triangle"):
        get_table(plan)
