"""An invented bench for the demo: two recipes, one of them the house reference, and brews."""

from typing import TYPE_CHECKING
from uuid import UUID

if TYPE_CHECKING:
    from server.brewing.brewed import Brewed
    from server.tastings.bench import Bench
    from server.tastings.brew_keeping import Change

FINER = {"title": "Filter, two cups, finer", "water_g": "300"}
WEIGHED = (
    ("house", "279", ("1.31", "1.32", "1.31")),
    ("house", "281", ("1.29", "1.30", "1.30")),
    ("finer", "258", ("1.46", "1.47", "1.46")),
    ("finer", "257", ("1.49", "1.48", "1.49")),
)
"""Recipe, beverage in grams and refractometer readings of each brew; all invented."""


def _say(brewed: "Brewed") -> "Change":
    """Return what notes a brew whole."""
    return lambda _recipe, _before: brewed


def load_brews(bench: "Bench", account_id: UUID) -> str:
    """Keep invented recipes and brews, unless some are kept; return what to say about it."""
    from server.brewing.brewed import read_brewed
    from server.brewing.recipe import read_recipe, write_recipe
    from server.tastings import recipes_kept
    from server.tastings.brew_keeping import change_brew
    from server.tastings.brew_sheets import begin_brew
    from server.tastings.recipe_starters import STARTERS

    if recipes_kept.list_recipes(bench, account_id):
        return "Recipes and brews are there already."
    house = STARTERS["filter"]
    finer = read_recipe(write_recipe(house) | FINER | {"steps": []})
    kept = {
        "house": recipes_kept.keep_recipe(bench, account_id, house),
        "finer": recipes_kept.keep_recipe(bench, account_id, finer),
    }
    recipes_kept.mark_house(bench, account_id, kept["house"], house=True)
    for name, beverage, tds in WEIGHED:
        recipe = house if name == "house" else finer
        brewed = read_brewed(
            {"dose_g": recipe.dose_g, "water_g": recipe.water_g, "beverage_g": beverage}
            | {"tds": tds, "sample_c": "22", "temperature_c": "60", "fill_g": "40"}
        )
        brew_id = begin_brew(bench, account_id, recipe_id=kept[name])
        change_brew(bench, account_id, brew_id, _say(brewed), keep=True)
    return f"Recipes {len(kept)}, brews {len(WEIGHED)}, invented as well."
