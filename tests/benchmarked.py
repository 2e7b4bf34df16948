"""Tastings of two recipes of the invented tea bar, one of them the house reference."""

from collections.abc import Sequence
from uuid import UUID

from server.blinding.bench_plans import BenchPlan
from server.brewing.brewed import Brewed
from server.brewing.recipe import Recipe, write_recipe
from server.storage import tables
from server.tastings import brew_sheets, closing, recipes_kept
from server.tastings.bench import Bench
from server.tastings.brew_keeping import change_brew
from server.tastings.drafts import create_draft
from server.tastings.planning import PlanInput
from server.tastings.sealing import seal_tasting
from tests.brewing_bench import make_recipe
from tests.conftest import look_up
from tests.playing import Play

HOUSE = make_recipe(title="Flat bed, house")
CONE = make_recipe(title="Cone, finer")


def keep_both(bench: Bench, account_id: UUID) -> tuple[UUID, UUID]:
    """Keep both recipes and mark the house reference; return their ids, its own first."""
    house, cone = (recipes_kept.keep_recipe(bench, account_id, one) for one in (HOUSE, CONE))
    recipes_kept.mark_house(bench, account_id, house, house=True)
    return house, cone


def brew(bench: Bench, account_id: UUID, recipe: Recipe, strengths: Sequence[str]) -> None:
    """Keep a brew of so many %TDS each."""
    for tds in strengths:
        read = {"dose_g": "20", "beverage_g": "280", "tds": [tds], "ended_s": 180}
        brewed = Brewed.model_validate(read)
        brew_id = brew_sheets.begin_brew(bench, account_id, recipe=recipe)
        change_brew(bench, account_id, brew_id, lambda *_, brewed=brewed: brewed, keep=True)


def put_recipes(bench: Bench, tasting_id: UUID, **recipes: Recipe) -> None:
    """Have the samples of a draft brewed by recipes."""
    plan = BenchPlan(recipes={level: write_recipe(one) for level, one in recipes.items()})
    with bench.writing() as db:
        row = db.get_one(tables.Tasting, tasting_id)
        row.plan = row.plan | {"bench": plan.model_dump(mode="json")}
        db.add(row)
        db.commit()


def draw_both(
    bench: Bench, account_id: UUID, given: PlanInput, a: Recipe = HOUSE, b: Recipe = CONE
) -> Play:
    """Seal a test of two recipes, to be played."""
    tasting_id = create_draft(bench, account_id, given)
    put_recipes(bench, tasting_id, A=a, B=b)
    return Play(bench, look_up(bench, tasting_id, seal_tasting(bench, tasting_id)))


def unseal(bench: Bench, tasting_id: UUID) -> None:
    """Close a tasting with what is answered, and unseal it."""
    closing.close_tasting(bench, tasting_id, "the kettle broke", "absent")
    closing.unseal_tasting(bench, tasting_id)
