"""Ladders: tastings of one question whose part rises in number, or in brews, step by step."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any, Literal
from uuid import UUID

from pydantic import BaseModel, StringConstraints, ValidationError

from server.blinding.bench_plans import BenchPlan, Ladder
from server.blinding.events import State
from server.blinding.plans import Plan
from server.brewing.bounds import parse_number
from server.reports.contrast_words import IN_POT, SOAK
from server.reports.display import show_count
from server.reports.ladder_words import ABANDONED, NOT_OVER
from server.reports.ladders import WASHED, LadderResult, StepResult, judge_ladder, read_step
from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.concluding import Spoilt, draw_conclusion
from server.tastings.dilutions import find_unsealing
from server.tastings.drafts import keep_draft
from server.tastings.progress import find_led
from server.tastings.refusals import Invalid, NotFound
from server.tastings.tasting_list import find_labels, list_led

OVER = (State.UNSEALED, State.ABANDONED)
DOSED = (SOAK, IN_POT)
"""Contrasts in which like parts can be counted."""


@dataclass(frozen=True)
class Rung:
    """One step of a ladder; ``result`` is None until it is unsealed, and ``why`` says so."""

    id: UUID
    name: str
    state: str
    day: str
    step: str
    at: int
    result: StepResult | None
    why: str


@dataclass(frozen=True)
class LadderLine:
    """A ladder in the list of all."""

    line: str
    title: str
    kind: Literal["state", "dose"]
    steps: tuple[str, ...]


@dataclass(frozen=True)
class LadderView:
    """A ladder with its steps, the lowest first, and what they say side by side."""

    line: str
    title: str
    kind: Literal["state", "dose"]
    rungs: tuple[Rung, ...]
    result: LadderResult


class LadderInput(BaseModel):
    """What a first step is asked for."""

    title: Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=200)]
    kind: Literal["state", "dose"]
    tasting: UUID


MESSAGES = {
    "title": "Say in up to 200 characters what the ladder asks.",
    "kind": "Choose one of these.",
    "tasting": "Choose one of your drafts.",
    "state": "Choose the state of the part.",
}
NO_DOSE = (
    "Parts are counted in water or in a pot: choose a draft whose contrast is a soak, or the part "
    "in one of two like pots."
)
NO_STATE = "This draft says of no part what it can blame: choose its contrast first."
TAKEN = "This ladder has that step already."


def list_ladders(bench: Bench, account_id: UUID) -> tuple[LadderLine, ...]:
    """List the ladders of an account, the one of the newest tasting first."""
    found: dict[str, list[Ladder]] = {}
    for row in list_led(bench, account_id):
        ladder = _find_ladder(row)
        if ladder is not None:
            found.setdefault(ladder.line, []).append(ladder)
    return tuple(
        LadderLine(line, steps[-1].title, steps[-1].kind, tuple(one.step for one in _sort(steps)))
        for line, steps in found.items()
    )


def list_free_drafts(bench: Bench, account_id: UUID) -> tuple[tuple[str, str], ...]:
    """List drafts that may become the first step of a ladder: id, and question."""
    return tuple(
        (str(row.id), f"{row.plan['question']} ({row.name})")
        for row in list_led(bench, account_id)
        if row.state == State.DRAFT and _is_free(row.plan)
    )


def _is_free(plan: Mapping[str, Any]) -> bool:
    return not (plan.get("table") or plan.get("series") or plan.get("ladder"))


def read_ladder(bench: Bench, account_id: UUID, line: UUID) -> LadderView:
    """Read a ladder; only what is unsealed shows a result.

    Raises
    ------
    NotFound
        This account leads no tasting of such a ladder.
    """
    rows = _list_rows(bench, account_id, line)
    rungs = tuple(_read_rung(bench, account_id, row, ladder) for row, ladder in rows)
    first = rows[0][1]
    result = judge_ladder(
        first.kind,
        [one.result for one in rungs if one.result],
        still_open=sum(row.state not in OVER for row, _ in rows),
        late=_list_late(bench, rows),
    )
    return LadderView(str(line), first.title, first.kind, rungs, result)


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
        if row is None or row.state != State.DRAFT or not _is_free(row.plan):
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
    rows = _list_rows(bench, account_id, line)
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


def read_place(kind: str, form: Mapping[str, str]) -> tuple[int, str]:
    """Return the place of a step, and its words.

    Examples
    --------
    >>> read_place("dose", {"parts": "2"}), read_place("state", {"state": "washed"})
    ((2, '2 parts'), (0, 'washed'))

    Raises
    ------
    Invalid
        With the message of the field that cannot be taken.
    """
    state = form.get("state", "")
    if kind == "dose":
        parts = _read_count("parts", form, 0)
        return parts, show_count(parts, "part") if parts else "no part"
    if state not in ("new", WASHED, "used"):
        raise Invalid(state=MESSAGES["state"])
    if state != "used":
        return 0, state
    brews = _read_count("brews_before", form, 1)
    return brews, f"after {show_count(brews, 'brew')}"


def find_field(kind: str, form: Mapping[str, str]) -> str:
    """Return the field that says which step it is."""
    if kind == "dose":
        return "parts"
    return "brews_before" if form.get("state") == "used" else "state"


def _read_count(name: str, form: Mapping[str, str], least: int) -> int:
    try:
        found = int(parse_number(name, form.get(name, "")))
    except ValueError as error:
        raise Invalid(**{name: str(error)}) from None
    if found < least:
        raise Invalid(**{name: f"At least {least}."})
    return found


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


def _find_ladder(row: tables.Tasting) -> Ladder | None:
    kept = row.plan.get("ladder")
    return Ladder.model_validate(kept) if kept else None


def _sort(steps: Sequence[Ladder]) -> list[Ladder]:
    return sorted(steps, key=lambda one: (one.at, one.step))


def _list_rows(bench: Bench, account_id: UUID, line: UUID) -> list[tuple[tables.Tasting, Ladder]]:
    found = [(row, _find_ladder(row)) for row in list_led(bench, account_id)]
    mine = [(row, one) for row, one in found if one is not None and one.line == str(line)]
    if not mine:
        raise NotFound("There is no such ladder.")
    return sorted(mine, key=lambda one: (one[1].at, one[1].step, one[0].created_at))


def _read_rung(bench: Bench, account_id: UUID, row: tables.Tasting, ladder: Ladder) -> Rung:
    result, why = None, ABANDONED if row.state == State.ABANDONED else NOT_OVER
    led = find_led(bench, account_id, row.id) if row.state in OVER else None
    if led is not None and led.record.seal_matches is not None:
        try:
            found = draw_conclusion(bench, led)
        except Spoilt as error:
            why = str(error)
        else:
            sealed = found.sealed.plan.ladder  # what was sealed says, not what is stored beside it
            result = read_step(sealed or ladder, found.analysis, found.finding)
            why = result.left_out
    day = f"{row.created_at:%d %b %Y}"
    return Rung(row.id, row.name, row.state, day, ladder.step, ladder.at, result, why)


def _list_late(bench: Bench, rows: Sequence[tuple[tables.Tasting, Ladder]]) -> tuple[str, ...]:
    """List the steps that were planned when all before them, two at least, were unsealed."""
    with bench.reading() as db:
        ended = {
            row.id: find_unsealing(queries.load_events(db, row.id))
            for row, _ in rows
            if row.state in OVER
        }
    late = []
    for row, ladder in rows:
        before = [one for one, _ in rows if one.created_at < row.created_at]
        known = [_is_before(ended.get(one.id, ""), row.created_at) for one in before]
        if len(before) > 1 and all(known):
            late.append(ladder.step)
    return tuple(late)


def _is_before(unsealed_at: str, moment: datetime) -> bool:
    return bool(unsealed_at) and datetime.fromisoformat(unsealed_at) < moment
