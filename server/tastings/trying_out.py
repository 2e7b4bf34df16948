"""The gate before sealing: trial brews of a draft, how they match, and why it is sealed anyway."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from sqlmodel import Session

from server.blinding.bench_plans import BenchPlan, TrialBrew
from server.blinding.plans import Plan
from server.blinding.sealed import PlannedSample
from server.reports.trials import TrialMatch, is_one_recipe, match_trials
from server.storage import queries, tables, trial_brews
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid

LONGEST_REASON = 300
NEEDS_REASON = (
    "The trial brews are not matched. Match them first, or say in a few words why it is sealed "
    "all the same: the finding will quote it."
)


@dataclass(frozen=True)
class Gate:
    """What stands between a draft and its seal.

    Attributes
    ----------
    levels
        The samples that are compared.
    trials
        How their last trial brews match.
    made
        Trial brews, all of them.
    one_recipe
        Whether nothing differs between the samples by what the bench says.
    """

    levels: tuple[str, ...]
    trials: TrialMatch
    made: int
    one_recipe: bool


def find_gate(bench: Bench, tasting: tables.Tasting) -> Gate | None:
    """Return what stands between a draft and its seal; None of a series, whose base is one."""
    plan = Plan.model_validate(tasting.plan)
    if plan.series is not None:
        return None
    with bench.reading() as db:
        levels = list_compared(plan, queries.list_samples(db, tasting.id))
        trials = read_trials(db, tasting.id)
    match = match_trials(plan, levels, trials)
    return Gate(levels, match, len(trials), is_one_recipe(plan, levels))


def list_compared(plan: Plan, samples: Sequence[PlannedSample]) -> tuple[str, ...]:
    """List the levels that the test compares, without those of controls."""
    levels = tuple(one.level for one in samples)
    return levels if plan.table is not None else levels[:2]


def read_trials(db: Session, tasting_id: UUID) -> tuple[TrialBrew, ...]:
    """Return the trial brews of a tasting as they are sealed, in order of time."""
    rows = trial_brews.list_trials(db, tasting_id)
    return tuple(TrialBrew(level=row.level or "", brew=row.body) for row in rows)


def put_trials(
    db: Session, tasting_id: UUID, plan: Plan, samples: Sequence[PlannedSample], reason: str
) -> Plan:
    """Return the plan with its trial brews; a reason is kept only where one is needed.

    Raises
    ------
    Invalid
        They are not matched, and there is no reason.
    """
    trials = read_trials(db, tasting_id)
    given = " ".join(reason.split())[:LONGEST_REASON]
    needed = (
        plan.series is None
        and match_trials(plan, list_compared(plan, samples), trials).needs_reason
    )
    if needed and not given:
        raise Invalid(reason=NEEDS_REASON)
    kept = {"trials": trials, "unmatched_reason": given if needed else ""}
    changed = (plan.bench or BenchPlan()).model_copy(update=kept)
    return plan.model_copy(update={"bench": None if changed == BenchPlan() else changed})
