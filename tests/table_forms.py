"""Forms of scored tables for tests: Lantern Row, a small invented roastery, tastes its batches."""

from uuid import UUID

from server.sheets.starters import get_starter
from server.tastings import table_planning
from server.tastings.bench import Bench
from server.tastings.drafts import keep_draft

TABLE = {
    "question": "Is the new batch like the last?",
    "difference": "roast batch",
    "sample_a": "batch 14",
    "sample_b": "batch 15",
    "sample_c": "batch 16",
    "sheet": "starter:roast-consistency",
    "style": "own",
    "bowls": "1",
    "pourer": "absent",
    "assessors": "6",
    "spare_seats": "1",
}


def draft_table(bench: Bench, account_id: UUID, **changed: str) -> UUID:
    """Store the plan of a scored table as a draft; any field can be changed."""
    form = TABLE | changed
    sheet = get_starter(form["sheet"].partition(":")[2]).sheet
    planned = table_planning.read_table_plan(form, sheet)
    return keep_draft(bench, account_id, planned.plan, planned.labels)
