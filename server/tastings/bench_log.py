"""The bench log: brews that go on, and those that were kept, by recipe."""

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from server.storage import brews, queries
from server.tastings.bench import Bench
from server.tastings.brew_sheets import KeptBrew, tell

MOST = 300
"""Kept brews that one page shows."""


@dataclass(frozen=True)
class BenchLog:
    """Brews of an account, the newest first.

    Attributes
    ----------
    going_on
        Those not kept yet.
    by_recipe
        Title of a recipe to its kept brews; the recipe brewed last comes first.
    names
        Tasting to its name, for brews that were made for one.
    left_out
        Older kept brews that are not shown.
    """

    going_on: tuple[KeptBrew, ...]
    by_recipe: Mapping[str, tuple[KeptBrew, ...]]
    names: Mapping[UUID, str]
    left_out: int = 0


def read_log(bench: Bench, account_id: UUID) -> BenchLog:
    """Return the bench log of an account."""
    with bench.reading() as db:
        rows = brews.list_brews(db, account_id)
        tastings = queries.list_led_tastings(db, account_id)
    going_on = tuple(tell(row) for row in rows if row.kept_at is None)
    kept = [row for row in rows if row.kept_at is not None]
    groups: dict[str, tuple[KeptBrew, ...]] = {}
    for brew in map(tell, kept[:MOST]):
        title = brew.recipe.title
        groups[title] = (*groups.get(title, ()), brew)
    names = {one.id: one.name for one in tastings}
    return BenchLog(going_on, groups, names, max(0, len(kept) - MOST))
