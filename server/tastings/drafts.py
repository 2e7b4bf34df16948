"""Drafts: plans that are stored, changed and forgotten until one is sealed."""

from typing import Any
from uuid import UUID

from sqlmodel import col, delete

from server.blinding.events import State
from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.planning import PlanInput, seal_ready
from server.tastings.refusals import NotFound, WrongState


def create_draft(bench: Bench, account_id: UUID, given: PlanInput) -> UUID:
    """Store a draft led by this account and return its id."""
    with bench.writing() as db:
        code = bench.draw_join_code()
        while queries.find_by_join_code(db, code):
            code = bench.draw_join_code()
        tasting = tables.Tasting(
            id=bench.draw_uuid(),
            name=f"Tasting {code}",
            join_code=code,
            method=given.method,
            plan=seal_ready(given).model_dump(mode="json"),
            created_at=bench.clock(),
        )
        db.add(tasting)
        db.flush()
        db.add(tables.Membership(account_id=account_id, tasting_id=tasting.id))
        _put_samples(db, tasting.id, given)
        db.commit()
        return tasting.id


def change_draft(bench: Bench, tasting_id: UUID, given: PlanInput) -> None:
    """Replace the plan of a draft; refused once it is sealed."""
    with bench.writing() as db:
        tasting = queries.lock_tasting(db, tasting_id)
        if tasting is None:
            raise NotFound("There is no such tasting.")
        if tasting.state != State.DRAFT:
            raise WrongState(State(tasting.state))
        tasting.method = given.method
        looked = tasting.plan.get("look_check")
        tasting.plan = seal_ready(given).model_dump(mode="json") | {"look_check": looked}
        db.exec(delete(tables.Sample).where(col(tables.Sample.tasting_id) == tasting_id))
        _put_samples(db, tasting_id, given)
        db.commit()


def delete_draft(bench: Bench, tasting_id: UUID) -> None:
    """Forget a draft; what is sealed stays for ever."""
    with bench.writing() as db:
        tasting = queries.lock_tasting(db, tasting_id)
        if tasting is None:
            raise NotFound("There is no such tasting.")
        if tasting.state != State.DRAFT:
            raise WrongState(State(tasting.state))
        for table in (tables.Sample, tables.Membership):
            db.exec(delete(table).where(col(table.tasting_id) == tasting_id))
        db.delete(tasting)
        db.commit()


def _put_samples(db: Any, tasting_id: UUID, given: PlanInput) -> None:
    labels = {"A": given.sample_a, "B": given.sample_b}
    if given.positive_control:
        labels["C"] = given.positive_label
    for level, label in labels.items():
        db.add(tables.Sample(tasting_id=tasting_id, level=level, label=label))
