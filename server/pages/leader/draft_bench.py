"""The bench of a draft: recipes of its samples, trial brews, their match, pieces of the part."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from fastapi import APIRouter, Request, Response

from server.blinding.events import State
from server.blinding.plans import Plan
from server.pages.deps import AtBench, Form, Leader, LedRow
from server.pages.rendering import go_to, show
from server.reports.gate_words import say_advice, say_property
from server.storage.tables import Account, Tasting
from server.tastings.bench import Bench
from server.tastings.draft_bench import DraftBench, choose_recipes, find_draft_bench
from server.tastings.pieces_planned import PlannedPieces, find_pieces
from server.tastings.refusals import Invalid

router = APIRouter()


@dataclass(frozen=True)
class DraftBenchPage:
    """What stands on the bench for a draft."""

    tasting: Tasting
    plan: Plan
    bench: DraftBench
    pieces: PlannedPieces
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def match(self) -> tuple[str, ...]:
        """How the trial brews match, in plain words."""
        gate = self.bench.gate
        return tuple(say_property(one) for one in gate.trials.properties) if gate else ()

    @property
    def advice(self) -> str:
        """How two samples become alike in strength; empty if there is nothing to do."""
        labels = {one.level: f"sample {one.level}" for one in self.bench.samples}
        return say_advice(self.bench.advice, labels) if self.bench.advice else ""


@router.get("/tastings/{tasting_id}/bench")
def draft_bench(request: Request, bench: AtBench, leader: Leader, tasting: LedRow) -> Response:
    """Show a draft's bench; that of a sealed tasting stands in its seal."""
    if tasting.state != State.DRAFT:
        return go_to(request, f"/tastings/{tasting.id}")
    return show(request, "leader/draft_bench", _lay_out(bench, leader, tasting))


@router.post("/tastings/{tasting_id}/bench/recipes")
def choose(
    request: Request, bench: AtBench, leader: Leader, tasting: LedRow, form: Form
) -> Response:
    """Copy the chosen recipes into the plan."""
    try:
        choose_recipes(bench, leader.id, tasting.id, form)
    except Invalid as error:
        view = _lay_out(bench, leader, tasting, form, error.messages)
        return show(request, "leader/draft_bench", view, 422)
    return go_to(request, f"/tastings/{tasting.id}/bench")


def _lay_out(
    bench: Bench,
    leader: Account,
    tasting: Tasting,
    form: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
) -> DraftBenchPage:
    return DraftBenchPage(
        tasting,
        Plan.model_validate(tasting.plan),
        find_draft_bench(bench, leader.id, tasting),
        find_pieces(bench, leader.id, tasting),
        form or {},
        errors or {},
    )
