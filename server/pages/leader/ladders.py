"""Ladders: a question asked again with more parts, or after more brews, step by step."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Form, Leader
from server.pages.rendering import go_to, show
from server.reports.ladder_words import KINDS
from server.tastings import laddering
from server.tastings.laddering import LadderLine, LadderView
from server.tastings.refusals import Invalid

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
    """One ladder, and the form of its next step."""

    ladder: LadderView
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
    return show(request, "leader/ladder", LadderPage(laddering.read_ladder(bench, leader.id, line)))


@router.post("/ladders/{line}/next")
def next_step(request: Request, bench: AtBench, leader: Leader, line: UUID, form: Form) -> Response:
    """Draft the next step, and go to its plan."""
    try:
        drafted = laddering.add_step(bench, leader.id, line, form)
    except Invalid as error:
        view = LadderPage(laddering.read_ladder(bench, leader.id, line), form, error.messages)
        return show(request, "leader/ladder", view, 422)
    return go_to(request, f"/tastings/{drafted}")


def _list(
    bench: AtBench,
    leader: Leader,
    form: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
) -> LadderList:
    kept = laddering.list_ladders(bench, leader.id)
    return LadderList(kept, laddering.list_free_drafts(bench, leader.id), form or {}, errors or {})
