"""Drafts: plans that are stored, changed and forgotten until one is sealed."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from sqlmodel import col, delete

from server.blinding.bench_plans import BenchPlan
from server.blinding.plans import Plan
from server.storage import queries, tables, trial_brews
from server.tastings.bench import Bench
from server.tastings.locking import lock_draft
from server.tastings.plan_forms import seal_ready
from server.tastings.planning import PlanInput

KEPT = ("look_check", "extends", "bench", "ladder")
"""What a plan is not asked for anew when its form is changed."""


def create_draft(
    bench: Bench,
    account_id: UUID,
    given: PlanInput,
    extends: str = "",
    brewed_as: BenchPlan | None = None,
) -> UUID:
    """Store a draft led by this account and return its id.

    With ``extends``, the seal of a tasting whose result is known, it is more of the same;
    ``brewed_as`` is the bench of an earlier tasting, of which no trial brew goes along.
    """
    plan = seal_ready(given).model_copy(update={"extends": extends})
    if brewed_as is not None:
        changes = {"trials": (), "unmatched_reason": ""}
        soak = brewed_as.soak if plan.contrast == "soak" else None
        kept = brewed_as.model_copy(update=changes | {"soak": soak})
        plan = plan.model_copy(update={"bench": kept})
    return keep_draft(bench, account_id, plan, _list_labels(given))


def keep_draft(bench: Bench, account_id: UUID, plan: Plan, labels: Mapping[str, str]) -> UUID:
    """Store a plan and the labels of its levels as a draft of this account; return its id."""
    with bench.writing() as db:
        code = bench.draw_join_code()
        while queries.find_by_join_code(db, code):
            code = bench.draw_join_code()
        tasting = tables.Tasting(
            id=bench.draw_uuid(),
            name=f"Tasting {code}",
            join_code=code,
            method=plan.method,
            plan=plan.model_dump(mode="json"),
            style=plan.table.style if plan.table else "own",
            created_at=bench.clock(),
        )
        db.add(tasting)
        db.flush()
        db.add(tables.Membership(account_id=account_id, tasting_id=tasting.id))
        _put_samples(db, tasting.id, labels)
        db.commit()
        return tasting.id


def change_draft(bench: Bench, tasting_id: UUID, given: PlanInput) -> None:
    """Replace the plan of a draft; refused once it is sealed."""
    replace_draft(bench, tasting_id, seal_ready(given), _list_labels(given))


def replace_draft(bench: Bench, tasting_id: UUID, plan: Plan, labels: Mapping[str, str]) -> None:
    """Replace plan and labels of a draft; refused once it is sealed."""
    with bench.writing() as db:
        tasting = lock_draft(db, tasting_id)
        kept = {name: tasting.plan[name] for name in KEPT if name in tasting.plan}
        if plan.method != tasting.method:
            kept["look_check"] = None  # it was made with another number of cups
        if plan.contrast != "soak" and kept.get("bench"):
            kept["bench"] = {name: one for name, one in kept["bench"].items() if name != "soak"}
        tasting.method = plan.method
        tasting.style = plan.table.style if plan.table else "own"
        tasting.plan = plan.model_dump(mode="json") | kept
        db.exec(delete(tables.Sample).where(col(tables.Sample.tasting_id) == tasting_id))
        _put_samples(db, tasting_id, labels)
        db.commit()


def delete_draft(bench: Bench, tasting_id: UUID) -> None:
    """Forget a draft; what is sealed stays for ever."""
    with bench.writing() as db:
        tasting = lock_draft(db, tasting_id)
        trial_brews.release_from(db, tasting_id)
        for table in (tables.Sample, tables.Membership):
            db.exec(delete(table).where(col(table.tasting_id) == tasting_id))
        db.flush()
        db.delete(tasting)
        db.commit()


def _list_labels(given: PlanInput) -> dict[str, str]:
    positive = {"C": given.positive_label} if given.positive_control else {}
    return {"A": given.sample_a, "B": given.sample_b} | positive


def _put_samples(db: Any, tasting_id: UUID, labels: Mapping[str, str]) -> None:
    for level, label in labels.items():
        db.add(tables.Sample(tasting_id=tasting_id, level=level, label=label))
