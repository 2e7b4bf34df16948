"""Drafts: plans that are stored, changed and forgotten until one is sealed."""

from typing import Any
from uuid import UUID

from sqlmodel import col, delete

from server.blinding.events import State
from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.plan_forms import seal_ready
from server.tastings.planning import PlanInput
from server.tastings.refusals import NotFound, WrongState

KEPT = ("look_check", "extends")
"""What a plan is not asked for anew when its form is changed."""


def create_draft(bench: Bench, account_id: UUID, given: PlanInput, extends: str = "") -> UUID:
    """Store a draft led by this account and return its id.

    With ``extends``, the seal of a tasting whose result is known, it is more of the same.
    """
    with bench.writing() as db:
        code = bench.draw_join_code()
        while queries.find_by_join_code(db, code):
            code = bench.draw_join_code()
        tasting = tables.Tasting(
            id=bench.draw_uuid(),
            name=f"Tasting {code}",
            join_code=code,
            method=given.method,
            plan=seal_ready(given).model_dump(mode="json")
            | ({"extends": extends} if extends else {}),
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
        kept = {name: tasting.plan[name] for name in KEPT if name in tasting.plan}
        if given.method != tasting.method:
            kept["look_check"] = None  # it was made with another number of cups
        tasting.method = given.method
        tasting.plan = seal_ready(given).model_dump(mode="json") | kept
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
