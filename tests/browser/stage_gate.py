"""Brews that are not matched: tried out before sealing, and read before they go out."""

from uuid import UUID

from server.storage import tables
from server.tastings import pouring
from server.tastings.bench import Bench
from server.tastings.importing import get_leader_id
from tests.brew_rows import RECIPE, keep_trial
from tests.browser import stage

READ = {"temperature_c": "60", "fill_g": "40"}


def try_one(bench: Bench) -> UUID:
    """A draft by one recipe, whose trial brews are not matched."""
    draft = stage.draft_one(bench)
    with bench.writing() as db:
        account = db.get_one(tables.Account, get_leader_id(bench))
        row = db.get_one(tables.Tasting, draft)
        row.plan = row.plan | {"bench": {"recipes": {"A": RECIPE, "B": RECIPE}}}
        db.add(row)
        db.commit()
        db.refresh(account)
    for level, tds in (("A", "1.30"), ("B", "1.48")):
        keep_trial(bench, account, draft, level, tds=[tds], **READ)
    return draft


def hold_one(bench: Bench) -> stage.Table:
    """A sealed tasting of which two brews wait for their release."""
    table = stage.seal_one(bench)
    for slot, tds in (("A1", "1.30"), ("B1", "1.48")):
        pouring.note_brew(bench, table.id, (1,), {"slot": slot, "tds": tds} | READ)
    return table
