"""Trial brews: the last one of each sample counts, by the limits of the plan."""

from decimal import Decimal
from typing import Any

import pytest

from server.blinding.bench_plans import BenchPlan, PlannedSpecimen, TrialBrew
from server.blinding.plans import Plan
from server.brewing.match import Verdict
from server.brewing.recipe import Recipe, write_recipe
from server.reports.trials import TrialMatch, is_one_recipe, match_trials
from tests.reports.conftest import PLAN


@pytest.fixture
def plan() -> Plan:
    return Plan.model_validate(PLAN)


RECIPE = Recipe(title="Sencha", dose_g=Decimal(20), water_g=Decimal(300))
HOT = {"temperature_c": "60", "fill_g": "40"}


def try_out(plan: Plan, *trials: tuple[str, dict[str, Any]]) -> TrialMatch:
    made = [TrialBrew(level=level, brew=brew) for level, brew in trials]
    return match_trials(plan, ("A", "B"), made)


def put(plan: Plan, **recipes: Recipe) -> Plan:
    written = {level: write_recipe(one) for level, one in recipes.items()}
    return plan.model_copy(update={"bench": BenchPlan(recipes=written)})


# Limits of 0.05 and 0.10 %TDS: common practice, no source.
@pytest.mark.parametrize(
    ("tds", "verdict"),
    [
        ("1.35", Verdict.MATCHED),
        ("1.36", Verdict.BORDERLINE),
        ("1.4", Verdict.BORDERLINE),
        ("1.41", Verdict.NOT_MATCHED),
    ],
)
def test_the_limits_of_the_plan_decide(plan: Plan, tds: str, verdict: Verdict) -> None:
    found = try_out(plan, ("A", {"tds": ["1.30"], **HOT}), ("B", {"tds": [tds], **HOT}))
    assert found.verdict == verdict
    assert found.needs_reason == (verdict == Verdict.NOT_MATCHED)


def test_the_last_trial_of_a_sample_counts(plan: Plan) -> None:
    weak, strong = {"tds": ["1.30"], **HOT}, {"tds": ["1.60"], **HOT}
    assert try_out(plan, ("A", weak), ("B", strong), ("B", weak)).verdict == Verdict.MATCHED
    assert try_out(plan, ("A", weak), ("B", weak), ("B", strong)).needs_reason


def test_one_sample_tried_out_says_nothing(plan: Plan) -> None:
    assert try_out(plan, ("A", {"tds": ["1.30"]})).verdict is None


def test_unread_strength_is_no_reason_to_ask_for_one(plan: Plan) -> None:
    found = try_out(plan, ("A", HOT), ("B", HOT))
    assert (found.verdict, found.needs_reason) == (Verdict.NOT_MEASURED, False)


def test_strength_is_not_judged_where_water_is_added_on_purpose(plan: Plan) -> None:
    diluted = plan.model_copy(update={"dilution_percent": Decimal(12)})
    found = try_out(diluted, ("A", {"tds": ["1.5"], **HOT}), ("B", {"tds": ["1.3"], **HOT}))
    assert found.verdict == Verdict.MATCHED


def test_extraction_counts_by_the_recipes_of_the_plan(plan: Plan) -> None:
    judged = put(plan, A=RECIPE, B=RECIPE).model_copy(update={"extraction_limit": Decimal("0.7")})
    read = {"dose_g": "20", "water_g": "300", "tds": ["1.40"], **HOT}
    found = try_out(
        judged, ("A", read | {"beverage_g": "260"}), ("B", read | {"beverage_g": "239"})
    )
    assert found.properties[-1].name == "extraction"
    assert found.properties[-1].state == Verdict.NOT_MATCHED  # 18.2 and 16.73 %


def test_what_cannot_be_read_as_a_brew_counts_as_unread(plan: Plan) -> None:
    found = try_out(plan, ("A", {"tds": "thick"}), ("B", HOT))
    assert found.verdict == Verdict.NOT_MEASURED


def test_two_samples_by_one_recipe_are_one_whatever_it_is_called(plan: Plan) -> None:
    named = RECIPE.model_copy(update={"title": "Other", "version": 3, "note": "n"})
    assert is_one_recipe(put(plan, A=RECIPE, B=named), "AB")


@pytest.mark.parametrize(
    "changed",
    [
        {"contrast": "same brewer"},
        {"dilution_percent": Decimal(12)},
    ],
)
def test_what_differs_on_purpose_makes_two_samples(plan: Plan, changed: dict[str, Any]) -> None:
    assert not is_one_recipe(put(plan, A=RECIPE, B=RECIPE).model_copy(update=changed), "AB")


def test_a_piece_in_one_of_them_makes_two_samples(plan: Plan) -> None:
    same = put(plan, A=RECIPE, B=RECIPE)
    assert same.bench
    pieces = {"B": (PlannedSpecimen(label="seal 3"),)}
    with_piece = same.bench.model_copy(update={"specimens": pieces})
    assert not is_one_recipe(same.model_copy(update={"bench": with_piece}), "AB")


def test_other_water_makes_two_samples(plan: Plan) -> None:
    more = RECIPE.model_copy(update={"water_g": Decimal(310)})
    assert not is_one_recipe(put(plan, A=RECIPE, B=more), "AB")
    assert not is_one_recipe(put(plan, A=RECIPE), "AB")
