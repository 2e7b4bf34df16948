"""The look-only check before sealing: whether the odd cup can be found with lids on."""

from collections.abc import Mapping
from uuid import UUID

from sqlmodel import Session

from server.blinding.plans import LookCheck, Plan
from server.methods.registry import get_method
from server.methods.traits import count_looks
from server.storage.tables import Tasting
from server.tastings.bench import Bench
from server.tastings.locking import lock_draft
from server.tastings.refusals import Invalid, NotFound

LOOKS = 6
"""Servings judged by eye: five of six right would come up by guessing in 18 of 1000 tries."""


def draw_looks(bench: Bench, tasting_id: UUID) -> LookCheck:
    """Draw where the odd cups stand, once; an unfinished check keeps its draw."""
    with bench.writing() as db:
        tasting, plan = _get_draft(db, tasting_id)
        check = plan.look_check
        if check is None or check.picked:
            cups = count_looks(get_method(plan.method))
            odd = tuple(bench.rng.randint(1, cups) for _ in range(LOOKS))
            check = LookCheck(odd=odd, picked=())
            _keep(db, tasting, plan, check)
        return check


def record_looks(bench: Bench, tasting_id: UUID, form: Mapping[str, str]) -> LookCheck:
    """Store which cups were picked by eye (fields ``look1`` …), and the cue if one was named.

    Raises
    ------
    Invalid
        A pick is missing.
    """
    with bench.writing() as db:
        tasting, plan = _get_draft(db, tasting_id)
        if plan.look_check is None:
            raise NotFound("There is no look-only check yet.")
        known = {str(place): place for place in range(1, count_looks(get_method(plan.method)) + 1)}
        given = [form.get(f"look{at}", "") for at in range(1, LOOKS + 1)]
        if not set(given) <= set(known):
            raise Invalid(looks="Pick one cup of every row; guess if you must.")
        check = LookCheck(
            odd=plan.look_check.odd,
            picked=tuple(known[one] for one in given),
            cue=form.get("cue", "").strip()[:300],
        )
        _keep(db, tasting, plan, check)
        return check


def _get_draft(db: Session, tasting_id: UUID) -> tuple[Tasting, Plan]:
    tasting = lock_draft(db, tasting_id)
    return tasting, Plan.model_validate(tasting.plan)


def _keep(db: Session, tasting: Tasting, plan: Plan, check: LookCheck) -> None:
    tasting.plan = plan.model_copy(update={"look_check": check}).model_dump(mode="json")
    db.add(tasting)
    db.commit()
