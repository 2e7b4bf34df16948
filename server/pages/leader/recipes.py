"""The leader's recipes: kept ones and starters, brought in from a card, taken out as one."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Depends, Request, Response

from server.brewing.recipe import Recipe
from server.pages.card_files import send_card, take_file
from server.pages.deps import AtBench, Form, Leader
from server.pages.rendering import go_to, show
from server.reports.recipe_words import say_ratio
from server.reports.step_words import say_recipe
from server.tastings import recipes_kept
from server.tastings.bench import Bench
from server.tastings.recipe_cards import CARD, export_recipe, import_recipe
from server.tastings.recipe_starters import STARTERS
from server.tastings.recipes_kept import KeptRecipe
from server.tastings.refusals import Invalid, NotFound

router = APIRouter(prefix="/recipes")


@dataclass(frozen=True)
class RecipeList:
    """The newest version of every recipe, and recipes to copy."""

    kept: tuple[KeptRecipe, ...]
    house: KeptRecipe | None
    starters: Mapping[str, Recipe]
    errors: Mapping[str, str] = field(default_factory=dict)

    def short(self, recipe: Recipe) -> str:
        """Say a recipe in one line."""
        return say_recipe(recipe)

    def ratio(self, recipe: Recipe) -> str:
        """Say its ratio, and of what it is."""
        return say_ratio(recipe)


SentFile = Annotated[bytes, Depends(take_file(CARD.largest))]


@router.get("")
def recipes(request: Request, bench: AtBench, leader: Leader) -> Response:
    """Show the recipes of this account, and what to start from."""
    return show(request, "leader/recipes", _list(bench, leader.id))


@router.post("/starters/{name}")
def copy_starter(request: Request, bench: AtBench, leader: Leader, name: str) -> Response:
    """Copy a starter, to be changed."""
    if name not in STARTERS:
        raise NotFound("There is no such starter recipe.")
    recipe_id = recipes_kept.keep_recipe(bench, leader.id, STARTERS[name])
    return go_to(request, f"/recipes/{recipe_id}")


@router.post("/import")
def import_card(request: Request, bench: AtBench, leader: Leader, file: SentFile) -> Response:
    """Keep the recipe of a card."""
    try:
        recipe_id = import_recipe(bench, leader.id, file)
    except Invalid as error:
        return show(request, "leader/recipes", _list(bench, leader.id, error.messages), 422)
    return go_to(request, f"/recipes/{recipe_id}")


@router.get("/{recipe_id}/recipe.json")
def export(bench: AtBench, leader: Leader, recipe_id: UUID) -> Response:
    """Return a recipe as a card."""
    recipe = recipes_kept.get_recipe(bench, leader.id, recipe_id).recipe
    return send_card(export_recipe(recipe), recipe.title, recipe.version, "recipe")


@router.post("/{recipe_id}/house")
def mark_house(
    request: Request, bench: AtBench, leader: Leader, recipe_id: UUID, form: Form
) -> Response:
    """Make a version the house reference, or no longer that."""
    recipes_kept.mark_house(bench, leader.id, recipe_id, house=form.get("house") == "1")
    return go_to(request, f"/recipes/{recipe_id}")


@router.post("/{recipe_id}/delete")
def delete(request: Request, bench: AtBench, leader: Leader, recipe_id: UUID) -> Response:
    """Forget a version; what was brewed by it keeps its copy."""
    recipes_kept.delete_recipe(bench, leader.id, recipe_id)
    return go_to(request, "/recipes")


def _list(bench: Bench, account_id: UUID, errors: Mapping[str, str] | None = None) -> RecipeList:
    kept = recipes_kept.list_recipes(bench, account_id)
    house = next((one for one in kept if one.house), None)
    return RecipeList(tuple(one for one in kept if one.newest), house, STARTERS, errors or {})
