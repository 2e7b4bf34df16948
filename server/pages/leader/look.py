"""The look-only check of a draft: six servings judged by eye."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from server.blinding.plans import LookCheck, Plan
from server.methods.registry import get_method
from server.methods.traits import count_looks
from server.pages.deps import AtBench, Form, LedRow
from server.pages.rendering import go_to, show
from server.reports.looks import LookResult, measure_looks
from server.storage.tables import Tasting
from server.tastings.looking import draw_looks, record_looks
from server.tastings.refusals import Invalid, NotFound

router = APIRouter()


@dataclass(frozen=True)
class Look:
    """The check: not begun, set up, or counted."""

    tasting: Tasting
    plan: Plan
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def check(self) -> LookCheck | None:
        """What was drawn, and picked."""
        return self.plan.look_check

    @property
    def result(self) -> LookResult | None:
        """What it showed."""
        return measure_looks(self.plan)

    @property
    def cups(self) -> int:
        """Cups set side by side."""
        return count_looks(get_method(self.plan.method))


def get_judged(tasting: LedRow) -> Tasting:
    """Return a tasting whose servings may be judged by eye: no scored table."""
    if tasting.plan.get("table"):
        raise NotFound("Nothing is judged by eye before a scored table.")
    return tasting


Judged = Annotated[Tasting, Depends(get_judged)]


@router.get("/tastings/{tasting_id}/look")
def look(request: Request, tasting: Judged) -> Response:
    """Show the check."""
    return show(request, "leader/look", Look(tasting, Plan.model_validate(tasting.plan)))


@router.post("/tastings/{tasting_id}/look/draw")
def draw(request: Request, bench: AtBench, tasting: Judged) -> Response:
    """Draw where the odd cups stand."""
    draw_looks(bench, tasting.id)
    return go_to(request, f"/tastings/{tasting.id}/look")


@router.post("/tastings/{tasting_id}/look")
def count(request: Request, bench: AtBench, tasting: Judged, form: Form) -> Response:
    """Count what the eye picked."""
    try:
        record_looks(bench, tasting.id, form)
    except Invalid as error:
        view = Look(tasting, Plan.model_validate(tasting.plan), form, error.messages)
        return show(request, "leader/look", view, 422)
    return go_to(request, f"/tastings/{tasting.id}/look")
