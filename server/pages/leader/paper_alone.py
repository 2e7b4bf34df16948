"""What somebody alone prints: marks to stick under the cups, the run, lines for answers."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.blinding.alone import plan_sitting_pots
from server.blinding.plans import Plan, Pots
from server.blinding.sealed import Layout, PlannedServing
from server.brewing.cautions import HOT, HYGIENE, LOCAL_CODES
from server.brewing.sitting import SittingStep, plan_single_sitting, plan_sitting
from server.methods.registry import get_method
from server.pages.deps import Led
from server.pages.rendering import show
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound
from server.tastings.turning import list_sittings, name_marks

router = APIRouter(prefix="/tastings/{tasting_id}/paper")

CAUTIONS = (
    "Marks and tape stay under the cup, away from rim and drink; use tape and ink that heat and "
    "moisture do not loosen. " + HOT.text,
    HYGIENE.text,
    LOCAL_CODES,
)


@dataclass(frozen=True)
class Serving:
    """One serving: its number, its codes left to right, and how many cups of what to pour."""

    number: int
    codes: tuple[str, ...]
    pours: tuple[tuple[int, str], ...]


@dataclass(frozen=True)
class Sitting:
    """One sitting; ``marks`` are sorted over all its servings, so that they say nothing."""

    number: int
    marks: tuple[str, ...]
    servings: tuple[Serving, ...]


@dataclass(frozen=True)
class Alone:
    """All sheets of a tasting alone."""

    id: UUID
    name: str
    seal: str
    samples: tuple[tuple[str, str], ...]
    cup_ml: str
    question: str
    sittings: tuple[Sitting, ...]
    steps: tuple[SittingStep, ...]
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def minutes(self) -> int:
        """Minutes of a sitting, estimated."""
        return sum(step.minutes for step in self.steps)


@router.get("/alone")
def alone(request: Request, led: Led) -> Response:
    """Show the sheets of a tasting alone."""
    if not led.layout.plan.alone:
        raise NotFound("These sheets belong to tastings alone.")
    return show(request, "paper/alone", _lay_out(led))


def _lay_out(led: LedTasting) -> Alone:
    layout, plan = led.layout, led.layout.plan
    method = get_method(plan.method)
    attribute = plan.asked_for
    return Alone(
        id=led.tasting.id,
        name=led.tasting.name,
        seal=led.seal,
        samples=tuple((one.level, one.label) for one in layout.samples),
        cup_ml=f"{plan.cup_ml:f}",
        question=method.question.replace("{attribute}", attribute),
        sittings=tuple(_list_sittings(layout)),
        steps=_plan_steps(plan),
    )


def _plan_steps(plan: Plan) -> tuple[SittingStep, ...]:
    method = get_method(plan.method)
    if plan.single_cups:
        return plan_single_sitting(plan.rounds, method.cups)
    pots = plan_sitting_pots(plan.rounds, plan.cup_ml, plan.pot_ml, plan.pots, method.orders)
    blended = plan.pots == Pots.BLEND
    return plan_sitting(plan.rounds, method.cups, 2 * pots.pots, blended=blended)


def _list_sittings(layout: Layout) -> Iterator[Sitting]:
    for number in list_sittings(layout):
        servings = [one for one in layout.servings if one.sitting == number]
        names = name_marks(layout, number)
        yield Sitting(
            number,
            tuple(sorted(names[slot] for one in servings for slot in one.pours)),
            tuple(_line(one, names) for one in servings),
        )


def _line(serving: PlannedServing, names: Mapping[str, str]) -> Serving:
    counts = Counter(names[slot] for slot in serving.pours)
    return Serving(serving.round, serving.codes, tuple((n, name) for name, n in counts.items()))
