"""The next tasting of a question: its weakest point repaired, or, alone, more of the same."""

from dataclasses import dataclass
from uuid import UUID

from server.blinding.bench_plans import BenchPlan
from server.blinding.events import State
from server.blinding.plans import Plan
from server.reports.repair import suggest_repair
from server.tastings.bench import Bench
from server.tastings.concluding import draw_conclusion
from server.tastings.drafts import create_draft
from server.tastings.plan_forms import plan_form
from server.tastings.planning import read_plan
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound, WrongState
from server.tastings.tasting_list import find_led_row, list_led


@dataclass(frozen=True)
class NextPlan:
    """A filled-in form of a plan, and why it differs from the last one."""

    form: dict[str, str]
    reasons: tuple[str, ...]


def draft_more(bench: Bench, account_id: UUID, led: LedTasting) -> UUID:
    """Store a draft of further servings alone, and return its id; asked again, find it.

    It names the seal of the tasting whose result is known, so that its own finding stays
    apart from that one, and exploratory.

    Raises
    ------
    NotFound
        Somebody else poured: then a next tasting is planned anew.
    WrongState
        The tasting is not unsealed.
    """
    if not led.layout.plan.alone:
        raise NotFound("Only a tasting alone goes on so.")
    if led.state != State.UNSEALED:
        raise WrongState(led.state)
    for one in list_led(bench, account_id):
        if one.state == State.DRAFT and one.plan.get("extends") == led.seal:
            return one.id
    given = read_plan(plan_form(led.layout.plan, _list_labels(led)))
    brewed_as = led.layout.plan.bench
    return create_draft(bench, account_id, given, extends=led.seal, brewed_as=brewed_as)


def _list_labels(led: LedTasting) -> dict[str, str]:
    return {sample.level: sample.label for sample in led.layout.samples}


def find_brewed_as(bench: Bench, account_id: UUID, tasting: str) -> BenchPlan | None:
    """Return the bench of a tasting that is planned again; None if there is none to be found."""
    try:
        row = find_led_row(bench, account_id, UUID(tasting))
    except ValueError:
        return None
    return Plan.model_validate(row.plan).bench if row else None


def plan_again(bench: Bench, led: LedTasting) -> NextPlan:
    """Return the plan of the next tasting; raises `StillSealed` before unsealing."""
    conclusion = draw_conclusion(bench, led)
    repair = suggest_repair(conclusion.analysis)
    form = plan_form(led.layout.plan, _list_labels(led))
    again = {"again": str(led.tasting.id)}
    return NextPlan({**form, **repair.changes, **again}, repair.reasons)
