"""Ladders: a question asked again with more parts, or after more brews, step by step."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Form, Leader
from server.pages.rendering import go_to, show
from server.reports.ladder_figure import describe_ladder, draw_ladder, pick_steps
from server.reports.ladder_words import KINDS
from server.reports.ladders import Right
from server.tastings import laddering
from server.tastings.ladder_reading import (
    LadderLine,
    LadderView,
    list_free_drafts,
    list_ladders,
    read_ladder,
)
from server.tastings.refusals import Invalid, NotFound

router = APIRouter()


@dataclass(frozen=True)
class LadderList:
    """All ladders, and the form that begins one more."""

    ladders: tuple[LadderLine, ...]
    drafts: tuple[tuple[str, str], ...]
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)
    kinds: Mapping[str, str] = field(default_factory=lambda: KINDS)


@dataclass(frozen=True)
class LadderPage:
    """One ladder, and the form of its next step; ``picture`` is what it shows, in words."""

    ladder: LadderView
    picture: str = ""
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)


@router.get("/ladders")
def ladders(request: Request, bench: AtBench, leader: Leader) -> Response:
    """Show the ladders of this account."""
    return show(request, "leader/ladders", _list(bench, leader))


@router.post("/ladders")
def begin(request: Request, bench: AtBench, leader: Leader, form: Form) -> Response:
    """Make a draft the first step of a new ladder."""
    try:
        line = laddering.start_ladder(bench, leader.id, form)
    except Invalid as error:
        view = _list(bench, leader, form, error.messages)
        return show(request, "leader/ladders", view, 422)
    return go_to(request, f"/ladders/{line}")


@router.get("/ladders/{line}")
def ladder(request: Request, bench: AtBench, leader: Leader, line: UUID) -> Response:
    """Show one ladder; what is still sealed shows nothing."""
    return _show_ladder(request, read_ladder(bench, leader.id, line))


@router.get("/ladders/{line}/steps.svg")
def steps_picture(bench: AtBench, leader: Leader, line: UUID) -> Response:
    """Return the picture of the unsealed steps."""
    steps = _pick(read_ladder(bench, leader.id, line))
    if not steps:
        raise NotFound("There is no picture of this ladder yet.")
    kept = {"Cache-Control": "private, no-cache"}
    return Response(draw_ladder(steps), media_type="image/svg+xml", headers=kept)


@router.post("/ladders/{line}/next")
def next_step(request: Request, bench: AtBench, leader: Leader, line: UUID, form: Form) -> Response:
    """Draft the next step, and go to its plan."""
    try:
        drafted = laddering.add_step(bench, leader.id, line, form)
    except Invalid as error:
        kept = read_ladder(bench, leader.id, line)
        return _show_ladder(request, kept, form, error.messages)
    return go_to(request, f"/tastings/{drafted}")


def _pick(ladder: LadderView) -> tuple[tuple[str, Right], ...]:
    return pick_steps([one.result for one in ladder.rungs if one.result])


def _show_ladder(
    request: Request,
    ladder: LadderView,
    form: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
) -> Response:
    steps = _pick(ladder)
    picture = describe_ladder(steps) if steps else ""
    view = LadderPage(ladder, picture, form or {}, errors or {})
    return show(request, "leader/ladder", view, 422 if errors else 200)


def _list(
    bench: AtBench,
    leader: Leader,
    form: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
) -> LadderList:
    kept = list_ladders(bench, leader.id)
    return LadderList(kept, list_free_drafts(bench, leader.id), form or {}, errors or {})
