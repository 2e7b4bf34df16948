"""Ladders: tastings of one question whose part rises in number, or in brews, step by step."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal
from uuid import UUID

from pydantic import BaseModel, StringConstraints, ValidationError

from server.blinding.bench_plans import BenchPlan, Ladder
from server.blinding.events import State
from server.blinding.plans import Plan
from server.reports.contrast_words import IN_POT, SOAK
from server.reports.ladders import WASHED
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.drafts import keep_draft
from server.tastings.ladder_places import find_field, read_place
from server.tastings.ladder_reading import is_free, list_rows
from server.tastings.refusals import Invalid
from server.tastings.tasting_list import find_labels

DOSED = (SOAK, IN_POT)
"""Contrasts in which like parts can be counted."""


class LadderInput(BaseModel):
    """What a first step is asked for."""

    title: Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=200)]
    kind: Literal["state", "dose"]
    tasting: UUID


MESSAGES = {
    "title": "Say in up to 200 characters what the ladder asks.",
    "kind": "Choose one of these.",
    "tasting": "Choose one of your drafts.",
}
NO_DOSE = (
    "Parts are counted in water or in a pot: choose a draft whose contrast is a soak, or the part "
    "in one of two like pots."
)
NO_STATE = "This draft says of no part what it can blame: choose its contrast first."
TAKEN = "This ladder has that step already."


def start_ladder(bench: Bench, account_id: UUID, form: Mapping[str, str]) -> UUID:
    """Make a draft the first step of a new ladder, and return the ladder.

    Raises
    ------
    Invalid
        With one message for each field that cannot be taken.
    """
    try:
        given = LadderInput.model_validate({name: form.get(name, "") for name in MESSAGES})
    except ValidationError as error:
        wrong = {str(one["loc"][0]) for one in error.errors()}
        raise Invalid(**{name: MESSAGES[name] for name in wrong}) from None
    at, step = read_place(given.kind, form)
    with bench.writing() as db:
        queries.lock_tasting(db, given.tasting)
        row = queries.find_led_tasting(db, account_id, given.tasting)
        if row is None or row.state != State.DRAFT or not is_free(row.plan):
            raise Invalid(tasting=MESSAGES["tasting"])
        plan = Plan.model_validate(row.plan)
        _refuse_contrast(plan, given.kind)
        line = bench.draw_uuid()
        ladder = Ladder(line=str(line), kind=given.kind, title=given.title, step=step, at=at)
        row.plan = _place(plan, ladder).model_dump(mode="json")
        db.add(row)
        db.commit()
    return line


def add_step(bench: Bench, account_id: UUID, line: UUID, form: Mapping[str, str]) -> UUID:
    """Draft the next step: the newest one's plan with another number of parts, or of brews.

    Raises
    ------
    NotFound
        There is no such ladder.
    Invalid
        What was typed cannot be taken, or the ladder has this step already.
    """
    rows = list_rows(bench, account_id, line)
    newest = max(rows, key=lambda one: one[0].created_at)
    row, ladder = newest
    at, step = read_place(ladder.kind, form)
    if any(one.step == step and row.state != State.ABANDONED for row, one in rows):
        raise Invalid(**{find_field(ladder.kind, form): TAKEN})
    following = ladder.model_copy(update={"step": step, "at": at})
    plan = Plan.model_validate(row.plan)
    fresh = plan.model_copy(update={"look_check": None, "extends": ""})
    labels = find_labels(bench, row.id)
    if plan.contrast == SOAK and ladder.kind == "dose":
        labels["B"] = _name_sample(plan, at)
    return keep_draft(bench, account_id, _place(fresh, following), labels)


def _name_sample(plan: Plan, parts: int) -> str:
    """Name what stands in the second jar, so that no step bears the name of another."""
    soak = plan.bench.soak if plan.bench else None
    part = soak.part if soak else "the part"
    return f"water that stood with {parts} × {part}" if parts else "water from a second jar alone"


def _refuse_contrast(plan: Plan, kind: str) -> None:
    if kind == "dose" and plan.contrast not in DOSED:
        raise Invalid(tasting=NO_DOSE)
    if not plan.contrast:
        raise Invalid(tasting=NO_STATE)


def _place(plan: Plan, ladder: Ladder) -> Plan:
    """Put a plan on a ladder; its soak, if it has one, follows, and no trial brew goes along."""
    bench = plan.bench
    if bench is not None:
        changes: dict[str, Any] = {"trials": (), "unmatched_reason": ""}
        if bench.soak is not None:
            changes["soak"] = bench.soak.model_copy(update=_change_soak(ladder))
        bench = BenchPlan.model_validate(bench.model_copy(update=changes).model_dump())
    return plan.model_copy(update={"ladder": ladder, "bench": bench})


def _change_soak(ladder: Ladder) -> dict[str, Any]:
    if ladder.kind == "dose":
        return {"parts": ladder.at}
    state = "used" if ladder.at else WASHED if ladder.step == WASHED else "first"
    return {"state": state, "brews": ladder.at}
