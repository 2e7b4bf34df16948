"""A recipe of the invented tea bar, and tastings whose plan has it for its samples."""

from uuid import UUID

from sqlmodel import select

from server.blinding.bench_plans import BenchPlan
from server.brewing.recipe import Recipe, read_recipe, write_recipe
from server.storage import tables
from server.storage.tables import PourerLink
from server.tastings import brew_sheets
from server.tastings.bench import Bench
from server.tastings.drafts import create_draft
from server.tastings.planning import PlanInput
from server.tastings.sealing import seal_tasting

RECIPE = {
    "title": "Roasted barley, flat bed",
    "device": {"name": "flat bed", "how": "percolation", "filter": "paper"},
    "dose_g": "20",
    "water_g": "320",
    "water_c": "93",
    "steps": [
        {"kind": "pour", "at_s": 0, "water_g": "60"},
        {"kind": "stir", "at_s": 10},
        {"kind": "pour", "at_s": 40, "water_g": "320", "note": "in circles"},
        {"kind": "end", "at_s": 180},
    ],
}


def make_recipe(**changed: object) -> Recipe:
    """Return the recipe; any member can be changed."""
    return read_recipe(RECIPE | changed)


def begin(bench: Bench, account_id: UUID, **more: object) -> UUID:
    """Begin a brew of the recipe."""
    options: dict[str, object] = {"recipe": make_recipe()} | more
    return brew_sheets.begin_brew(bench, account_id, **options)  # type: ignore[arg-type]


def draft_with_recipe(bench: Bench, account_id: UUID, given: PlanInput) -> UUID:
    """Store a draft whose two samples are brewed by the recipe."""
    tasting_id = create_draft(bench, account_id, given)
    recipe = write_recipe(make_recipe())
    plan = BenchPlan(recipes={"A": recipe, "B": recipe})
    with bench.writing() as db:
        row = db.get_one(tables.Tasting, tasting_id)
        row.plan = row.plan | {"bench": plan.model_dump(mode="json")}
        db.add(row)
        db.commit()
    return tasting_id


def seal_with_recipe(bench: Bench, account_id: UUID, given: PlanInput) -> tuple[UUID, str]:
    """Seal such a draft; return its id and the token of its pourer's link."""
    tasting_id = draft_with_recipe(bench, account_id, given)
    seal_tasting(bench, tasting_id)
    with bench.reading() as db:
        links = select(PourerLink.token).where(PourerLink.tasting_id == tasting_id)
        return tasting_id, db.exec(links).one()
