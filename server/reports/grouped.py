"""Secondary comparisons: groups of seats that the plan declared, tested each by itself."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.blinding.plans import Plan
from server.methods.asked import find_model
from server.reports.counting import Judgement
from server.stats.binomial import p_value, reaches
from server.stats.multiple import holm


@dataclass(frozen=True)
class GroupResult:
    """Answers of one group.

    Attributes
    ----------
    label, seats
        As declared.
    correct, trials
        Right answers and answers that count.
    p_value
        Exact one-sided p; 1 where nothing was answered.
    adjusted
        The same after Holm's adjustment among all declared groups.
    detected
        Whether that reaches the planned level.
    """

    label: str
    seats: tuple[int, ...]
    correct: int
    trials: int
    p_value: float
    adjusted: float
    detected: bool


def measure_groups(plan: Plan, judgements: Sequence[Judgement]) -> tuple[GroupResult, ...]:
    """Test every declared group by itself, and adjust all of them to each other.

    A group without answers stays in the family, so that nobody gains by an empty one.

    References
    ----------
    Holm, S. (1979). A simple sequentially rejective multiple test procedure. Scandinavian
    Journal of Statistics, 6, 65-70.
    """
    if not plan.groups:
        return ()
    chance, alpha = find_model(plan).chance, float(plan.alpha)
    mine = [[one.correct for one in judgements if one.seat in group.seats] for group in plan.groups]
    plain = [p_value(sum(one), len(one), chance) if one else 1.0 for one in mine]
    adjusted = holm(plain)
    return tuple(
        GroupResult(
            group.label, group.seats, sum(one), len(one), p, by_holm, reaches(by_holm, alpha)
        )
        for group, one, p, by_holm in zip(plan.groups, mine, plain, adjusted, strict=True)
    )
