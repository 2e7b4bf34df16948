"""The next tasting of the same question, its weakest point repaired."""

from dataclasses import dataclass

from server.reports.repair import suggest_repair
from server.tastings.bench import Bench
from server.tastings.concluding import draw_conclusion
from server.tastings.plan_forms import plan_form
from server.tastings.progress import LedTasting


@dataclass(frozen=True)
class NextPlan:
    """A filled-in form of a plan, and why it differs from the last one."""

    form: dict[str, str]
    reasons: tuple[str, ...]


def plan_again(bench: Bench, led: LedTasting) -> NextPlan:
    """Return the plan of the next tasting; raises `StillSealed` before unsealing."""
    conclusion = draw_conclusion(bench, led)
    repair = suggest_repair(conclusion.analysis)
    labels = {sample.level: sample.label for sample in led.layout.samples}
    return NextPlan({**plan_form(led.layout.plan, labels), **repair.changes}, repair.reasons)
