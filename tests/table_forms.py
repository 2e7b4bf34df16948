"""Forms of scored tables for tests: Lantern Row, a small invented roastery, tastes its batches."""

from typing import Any
from uuid import UUID

from server.blinding.events import Kind
from server.blinding.sealed import Layout, PlannedServing
from server.blinding.table_stands import list_scored, list_stands
from server.sheets.cards import read_sheet
from server.sheets.places import list_places
from server.sheets.starters import get_starter
from server.sheets.values import Answer, Value
from server.storage import queries, tables
from server.tastings import table_planning
from server.tastings.bench import Bench
from server.tastings.drafts import keep_draft
from server.tastings.journal import AT_THE_TABLE, open_journal

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
RANKED = TABLE | {"sheet": "starter:ranking", "method": "ranking", "primary": "order"}
CONTROLLED = TABLE | {
    **{"sheet": "starter:difference-from-control", "method": "difference-from-control"},
    **{"primary": "difference", "reference": "A", "warm_up": "A"},
}


def draft_table(bench: Bench, account_id: UUID, **changed: str) -> UUID:
    """Store the plan of a scored table as a draft; any field can be changed."""
    form = TABLE | changed
    sheet = get_starter(form["sheet"].partition(":")[2]).sheet
    planned = table_planning.read_table_plan(form, sheet)
    return keep_draft(bench, account_id, planned.plan, planned.labels)


def say(sealed: Layout, seat: int, many: int, sitting: int = 1) -> dict[str, Any]:
    """Return an answer of so many values, as a seat's sheet keeps it."""
    serving = find_table(sealed, seat, sitting)
    sheet = read_sheet(sealed.plan.table.sheet) if sealed.plan.table else None
    assert sheet
    places = list_places(sheet, list_stands(serving))[:many]
    values = tuple(
        Value(attribute=one.attribute, code=one.code, bowl=one.bowl, time=one.time, value=500)
        for one in places
    )
    return Answer(values=values).model_dump(mode="json")


def find_table(layout: Layout, seat: int, sitting: int = 1) -> PlannedServing:
    """Return what a seat scores in a sitting."""
    return next(one for one in list_scored(layout) if (one.seat, one.sitting) == (seat, sitting))


def begin(bench: Bench, made: Any, seat: int, many: int) -> None:
    """Put so many values into a seat's draft."""
    serving = find_table(made.sealed, seat)
    with bench.writing() as db:
        row = queries.find_seat(db, made.tokens[seat])
        assert row
        body = say(made.sealed, seat, many)
        db.add(tables.Draft(seat_id=row[0].id, serving_id=serving.id, body=body))
        db.commit()


def lock(bench: Bench, made: Any, seat: int, many: int, sitting: int = 1) -> None:
    """Lock a seat's sheet with so many values."""
    serving = find_table(made.sealed, seat, sitting)
    _answer(bench, made, serving, say(made.sealed, seat, many, sitting))


def answer_with_nothing(bench: Bench, made: Any, serving: PlannedServing) -> None:
    """Note that a warm-up cup was drunk."""
    _answer(bench, made, serving, Answer().model_dump(mode="json"))


def _answer(bench: Bench, made: Any, serving: PlannedServing, body: dict[str, Any]) -> None:
    with open_journal(bench, made.id, AT_THE_TABLE) as journal:
        journal.begin_serving()
        journal.append(
            Kind.ANSWERED,
            serving=str(serving.id),
            revision=1,
            answer=body,
            client_key=serving.id.hex,
            source="device",
            **{"pass": ""},
        )
