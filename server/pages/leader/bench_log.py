"""The bench: brews that go on, the log of kept ones, and the way to all that belongs to it."""

from dataclasses import dataclass
from statistics import median

from fastapi import APIRouter, Request, Response

from server.brewing.yields import find_yield
from server.pages.deps import AtBench, Leader
from server.pages.rendering import show
from server.reports.brew_words import NO_COMPARING, say_yield
from server.reports.step_words import say_number, say_recipe
from server.tastings.bench_log import BenchLog, read_log
from server.tastings.brew_sheets import KeptBrew
from server.tastings.recipes_kept import KeptRecipe, list_recipes
from server.tastings.specimens import KeptSpecimen, list_specimens

router = APIRouter()


@dataclass(frozen=True)
class BenchView:
    """The bench log; what a brew can be begun from, and with which piece of a part."""

    log: BenchLog
    recipes: tuple[KeptRecipe, ...] = ()
    pieces: tuple[KeptSpecimen, ...] = ()
    no_comparing: str = NO_COMPARING

    def short(self, brew: KeptBrew) -> str:
        """Say the recipe in one line."""
        return say_recipe(brew.recipe)

    def serves(self, brew: KeptBrew) -> str:
        """Say what a brew was made for."""
        if brew.tasting_id is None:
            return ""
        name = self.log.names.get(brew.tasting_id, "a tasting")
        return f"{name}, {f'slot {brew.slot}' if brew.slot else f'trial of {brew.level}'}"

    def numbers(self, brew: KeptBrew) -> str:
        """Say strength, beverage, and the yield with its form, as far as they are known."""
        tds, beverage = brew.brewed.tds, brew.brewed.beverage_g
        found = find_yield(brew.recipe.device.how, brew.brewed)
        parts = (
            f"{median(tds):.2f} %TDS" if tds else "strength not read",
            f"{say_number(beverage)} g of beverage" if beverage is not None else "",
            f"extraction yield {say_yield(found)}" if found.percent is not None else "",
        )
        return " · ".join(one for one in parts if one)


@router.get("/bench")
def bench_log(request: Request, bench: AtBench, leader: Leader) -> Response:
    """Show the bench log."""
    recipes = tuple(one for one in list_recipes(bench, leader.id) if one.newest)
    pieces = tuple(one for one in list_specimens(bench, leader.id) if not one.retired)
    view = BenchView(read_log(bench, leader.id), recipes, pieces)
    return show(request, "leader/bench_log", view)
