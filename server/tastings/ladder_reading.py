"""What the steps of a ladder say, side by side; only what is unsealed shows a result."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal
from uuid import UUID

from server.blinding.bench_plans import Ladder
from server.blinding.events import State
from server.reports.ladder_words import ABANDONED, NOT_OVER
from server.reports.ladders import LadderResult, StepResult, judge_ladder, read_step
from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.concluding import Spoilt, draw_conclusion
from server.tastings.dilutions import find_unsealing
from server.tastings.progress import find_led
from server.tastings.refusals import NotFound
from server.tastings.tasting_list import list_led

OVER = (State.UNSEALED, State.ABANDONED)


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
        if row.state == State.DRAFT and is_free(row.plan)
    )


def is_free(plan: Mapping[str, Any]) -> bool:
    """Whether a plan may become a step: it asks for two samples, and is on no ladder."""
    return not (plan.get("table") or plan.get("series") or plan.get("ladder"))


def read_ladder(bench: Bench, account_id: UUID, line: UUID) -> LadderView:
    """Read a ladder; only what is unsealed shows a result.

    Raises
    ------
    NotFound
        This account leads no tasting of such a ladder.
    """
    rows = list_rows(bench, account_id, line)
    rungs = tuple(_read_rung(bench, account_id, row, ladder) for row, ladder in rows)
    first = rows[0][1]
    result = judge_ladder(
        first.kind,
        [one.result for one in rungs if one.result],
        still_open=sum(row.state not in OVER for row, _ in rows),
        late=_list_late(bench, rows),
    )
    return LadderView(str(line), first.title, first.kind, rungs, result)


def _find_ladder(row: tables.Tasting) -> Ladder | None:
    kept = row.plan.get("ladder")
    return Ladder.model_validate(kept) if kept else None


def _sort(steps: Sequence[Ladder]) -> list[Ladder]:
    return sorted(steps, key=lambda one: (one.at, one.step))


def list_rows(bench: Bench, account_id: UUID, line: UUID) -> list[tuple[tables.Tasting, Ladder]]:
    """List the tastings of a ladder, the lowest step first.

    Raises
    ------
    NotFound
        This account leads none of it.
    """
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
