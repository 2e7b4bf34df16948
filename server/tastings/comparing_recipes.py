"""A draft that holds a recipe against the house reference, both recipes in its plan."""

from uuid import UUID

from server.blinding.bench_plans import BenchPlan
from server.brewing.recipe import Recipe, write_recipe
from server.tastings.bench import Bench
from server.tastings.drafts import keep_draft
from server.tastings.plan_forms import empty_form, seal_ready
from server.tastings.planning import read_plan
from server.tastings.recipes_kept import get_recipe, list_recipes
from server.tastings.refusals import Refusal

NO_HOUSE = "No recipe is marked as the house reference: mark the one you brew every day first."
ITSELF = "This is the house reference itself: choose another recipe to hold against it."


def draft_comparison(bench: Bench, account_id: UUID, recipe_id: UUID) -> UUID:
    """Store a draft of a triangle test, the house reference as sample A; return its id.

    Raises
    ------
    NotFound
        This account keeps no such recipe.
    Refusal
        There is no house reference, or it is this recipe.
    """
    other = get_recipe(bench, account_id, recipe_id)
    house = next((one for one in list_recipes(bench, account_id) if one.house), None)
    if house is None:
        raise Refusal(NO_HOUSE)
    if house.id == other.id:
        raise Refusal(ITSELF)
    given = read_plan(fill_comparison(house.recipe, other.recipe))
    recipes = {"A": write_recipe(house.recipe), "B": write_recipe(other.recipe)}
    plan = seal_ready(given).model_copy(update={"bench": BenchPlan(recipes=recipes)})
    return keep_draft(bench, account_id, plan, {"A": given.sample_a, "B": given.sample_b})


def fill_comparison(house: Recipe, other: Recipe) -> dict[str, str]:
    """Return the form of such a plan; two brewers of different names are two whole brewers."""
    names = {house.device.name.casefold(), other.device.name.casefold()}
    brewers = len(names) == 2 and "" not in names
    return empty_form() | {
        "question": f"Is “{_name(other)}” noticed beside “{_name(house)}”?",
        "sample_a": f"{_name(house)} (house reference)",
        "sample_b": _name(other),
        "difference": "the brewer, and its recipe" if brewers else "the recipe",
        "contrast": "whole brewer" if brewers else "",
        "pourer": "absent",
    }


def _name(recipe: Recipe) -> str:
    return f"{recipe.title}, version {recipe.version}"
