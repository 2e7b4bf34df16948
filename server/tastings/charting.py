"""The brews behind a chart: those noted of a tasting, tried out for a draft, or on the bench."""

from dataclasses import dataclass
from uuid import UUID

from server.blinding.events import State
from server.blinding.sealed import Layout
from server.brewing.brewed import Brewed
from server.brewing.extraction import Brewer
from server.reports.brew_chart import ChartBrew, make_point
from server.reports.brew_readings import find_recipe
from server.reports.brewed_notes import read_note
from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.brew_sheets import KeptBrew, list_brews
from server.tastings.recipes_kept import get_recipe

MOST = 60
"""Brews of the bench log on one chart, the newest: more would cover each other."""


@dataclass(frozen=True)
class Charted:
    """Brews as points, and the samples of which no recipe says how they were brewed."""

    brews: tuple[ChartBrew, ...]
    unknown: tuple[str, ...] = ()


def chart_tasting(
    bench: Bench, account_id: UUID, tasting: tables.Tasting, how: Brewer | None
) -> Charted:
    """Return the brews noted of a tasting; of a draft the trial brews.

    Where no recipe says how water leaves the coffee, ``how`` does.
    """
    if tasting.state == State.DRAFT:
        return chart_bench(list_brews(bench, account_id, tasting.id))
    with bench.reading() as db:
        layout = queries.load_layout(db, tasting)
        notes = queries.load_record(db, tasting.id).brews
    brewed = {slot.name: read_note(notes[slot.name]) for slot in layout.slots if slot.name in notes}
    return _chart_slots(layout, brewed, how)


def _chart_slots(layout: Layout, brewed: dict[str, Brewed], how: Brewer | None) -> Charted:
    recipes = {one.level: find_recipe(layout.plan, one.level) for one in layout.samples}
    known = {level: one.device.how if one else how for level, one in recipes.items()}
    brews = []
    for slot in layout.slots:
        brewer = known.get(slot.sample)
        if slot.name in brewed and brewer is not None:
            brews.append(make_point(slot.name, slot.sample, brewer, brewed[slot.name]))
    served = {slot.sample for slot in layout.slots if slot.name in brewed}
    return Charted(tuple(brews), tuple(sorted(one for one in served if known[one] is None)))


def chart_log(bench: Bench, account_id: UUID, recipe_id: UUID | None = None) -> Charted:
    """Return kept brews of the bench log, or only those by one version of a recipe.

    Raises
    ------
    NotFound
        This account keeps no such recipe.
    """
    brews = list_brews(bench, account_id)
    if recipe_id is None:
        return chart_bench(brews)
    recipe = get_recipe(bench, account_id, recipe_id).recipe
    return chart_bench(tuple(one for one in brews if one.recipe == recipe))


def chart_bench(brews: tuple[KeptBrew, ...]) -> Charted:
    """Return kept brews of the bench, the newest first, by recipe or by the sample they try out."""
    kept = [one for one in brews if one.kept and one.slot is None][:MOST]
    return Charted(
        tuple(
            make_point(
                str(number), one.level or one.recipe.title, one.recipe.device.how, one.brewed
            )
            for number, one in enumerate(kept, 1)
        )
    )
