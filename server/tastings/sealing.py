"""Seal a draft: draw ids, codes, orders, slots and key, and fix them under one hash."""

from collections.abc import Sequence
from random import Random
from uuid import UUID

from sqlmodel import Session

from server.blinding.alone import draw_alone
from server.blinding.draw import draw_tasting
from server.blinding.events import State
from server.blinding.plans import Plan
from server.blinding.seal import canonical, seal_hash
from server.blinding.sealed import PlannedSample, SealedTasting
from server.blinding.series import draw_series
from server.blinding.table import draw_table
from server.methods.asked import find_orders
from server.storage import queries, tables
from server.storage.write import add_sealed_rows
from server.tastings.bench import Bench
from server.tastings.locking import lock_draft
from server.tastings.pieces_planned import renew_pieces
from server.tastings.trying_out import put_trials


def seal_tasting(bench: Bench, tasting_id: UUID, reason: str = "") -> str:
    """Draw and seal; return the hash. No second draw: what is sealed stays.

    The reason is for trial brews that are not matched.

    Raises
    ------
    NotFound
        No such tasting.
    WrongState
        It is sealed already.
    Invalid
        Its trial brews are not matched, and there is no reason.
    """
    with bench.writing() as db:
        tasting = lock_draft(db, tasting_id)
        samples = queries.list_samples(db, tasting_id)
        plan = _settle_plan(db, tasting, samples, reason)
        sealed = _draw(plan, tasting_id, samples, bench.rng)
        text = canonical(sealed)
        digest = seal_hash(text)
        tasting.key_source = "revealed" if plan.alone else "drawn"
        db.flush()  # what is sealed cannot change
        add_sealed_rows(db, sealed, text, digest, bench.draw_token)
        tasting.state, tasting.head = State.SEALED.value, digest
        db.add(
            tables.PourerLink(
                token=bench.draw_token(), tasting_id=tasting_id, created_at=bench.clock()
            )
        )
        db.commit()
        return digest


def _settle_plan(
    db: Session, tasting: tables.Tasting, samples: Sequence[PlannedSample], reason: str
) -> Plan:
    """Return the plan as it is sealed, with the bench as it is by now."""
    stored = plan = Plan.model_validate(tasting.plan)
    if plan.look_check is not None and not plan.look_check.picked:
        plan = plan.model_copy(update={"look_check": None})  # begun, never finished
    plan = renew_pieces(db, tasting.id, plan)
    plan = put_trials(db, tasting.id, plan, samples, reason)
    if plan != stored:
        tasting.plan = plan.model_dump(mode="json")
    return plan


def _draw(
    plan: Plan, tasting_id: UUID, samples: Sequence[PlannedSample], rng: Random
) -> SealedTasting:
    if plan.table is not None:
        return draw_table(plan, tasting_id, samples, rng)
    if plan.series is not None:
        return draw_series(plan, tasting_id, samples, find_orders(plan), rng)
    draw = draw_alone if plan.alone else draw_tasting
    return draw(plan, tasting_id, samples, find_orders(plan), rng)
