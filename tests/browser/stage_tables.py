"""Scored tables in several states, put into the data of a running server."""

from uuid import UUID

from server.pages.assets import SAMPLE_SESSIONS
from server.sheets.starters import get_starter
from server.storage import queries, tables
from server.tastings import closing, sheets_kept
from server.tastings.bench import Bench
from server.tastings.clocking import Pace, read_clock, record_step
from server.tastings.importing import get_leader_id, import_tasting
from server.tastings.sealing import seal_tasting
from tests.table_forms import draft_table


def draft_one(bench: Bench, **changed: str) -> UUID:
    """Draft a scored table; any field of its form can be changed."""
    return draft_table(bench, get_leader_id(bench), **changed)


def seal_one(bench: Bench, **changed: str) -> UUID:
    """Draft a scored table and seal it."""
    tasting_id = draft_one(bench, **changed)
    seal_tasting(bench, tasting_id)
    return tasting_id


def pour_one(bench: Bench) -> tuple[UUID, str]:
    """A shared table whose bowls are poured: its id and the pourer's link."""
    tasting_id = seal_one(
        bench, style="shared", bowls="2", sheet="starter:morning-table", calibration="house filter"
    )
    with bench.reading() as db:
        layout = queries.load_layout(db, db.get_one(tables.Tasting, tasting_id))
        pourer = queries.list_pourer_links(db, tasting_id)[0].token
    for bowl in read_clock(bench, tasting_id, layout, 1, Pace()).bowls:
        record_step(bench, tasting_id, 1, {"step": "poured", "bowl": bowl.label})
    return tasting_id, pourer


def find_paper(bench: Bench) -> tuple[UUID, str]:
    """A table of which nothing is scored yet: its id and the address of a paper sheet."""
    tasting_id = seal_one(bench, bowls="2")
    with bench.reading() as db:
        return tasting_id, f"/seat/{queries.list_seats(db, tasting_id)[0].token}/paper/1"


def close_one(bench: Bench, *, unsealed: bool = False) -> UUID:
    """A table that was closed early, and may be talked about, or unsealed as well."""
    tasting_id = seal_one(bench)
    closing.close_tasting(bench, tasting_id, "the kettle broke", "absent")
    if unsealed:
        closing.unseal_tasting(bench, tasting_id)
    return tasting_id


def keep_sheet(bench: Bench) -> UUID:
    """A sheet with every starter's kinds to change."""
    sheet = get_starter("morning-table").sheet
    return sheets_kept.keep_sheet(bench, get_leader_id(bench), sheet)


def tell_one(bench: Bench) -> tuple[UUID, str]:
    """A sample table that is unsealed: its id and the link of the seat that disagrees."""
    file = SAMPLE_SESSIONS / "lantern-row-upside-down.json"
    tasting_id = import_tasting(bench, get_leader_id(bench), file.read_bytes())
    with bench.reading() as db:
        seats = queries.list_seats(db, tasting_id)
    return tasting_id, next(seat.token for seat in seats if seat.number == 4)
