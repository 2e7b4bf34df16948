"""What a plan may declare beforehand, and what follows from it."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.methods.registry import get_method
from server.methods.traits import is_two_sided
from server.reports.few.facts import Declared, find_people
from server.stats.similarity import most_correct
from server.tastings.refusals import Invalid

if TYPE_CHECKING:
    from server.tastings.planning import PlanNumbers

ONE_ROUND = (
    "To show that few notice, everybody answers once: plan one round, and more people. "
    "Several answers of one person carry no such claim."
)
ONE_SIDED = "Where either sample may be chosen more often, nobody can be shown to notice little."
A_PANEL = "To show that few notice takes a panel: one person tells nothing about others."


@dataclass(frozen=True)
class FewNotice:
    """What follows from a similarity test; shares are fractions.

    Attributes
    ----------
    most_correct
        Largest number of right answers that passes; None: no conclusion can be drawn.
    passes
        Chance to pass if nobody notices.
    at_limit
        Chance to pass although the share is at the limit.
    people
        Answers from which on that chance to pass stays good; None: more than can be planned.
    """

    most_correct: int | None
    passes: float
    at_limit: float
    people: int | None


def refuse_what_cannot_be(numbers: "PlanNumbers") -> None:
    """Refuse a similarity test that could carry no claim.

    Raises
    ------
    Invalid
        With the field that has to change.
    """
    if numbers.shows != "few":
        return
    if is_two_sided(get_method(numbers.method)):
        raise Invalid(shows=ONE_SIDED)
    if numbers.alone or numbers.assessors == 1:
        raise Invalid(shows=A_PANEL)
    if numbers.rounds > 1:
        raise Invalid(rounds=ONE_ROUND)


def follow_few(numbers: "PlanNumbers") -> FewNotice | None:
    """Return what follows from a similarity test; None if the plan is no such test."""
    if numbers.shows != "few":
        return None
    limit, beta = float(numbers.size_percent) / 100, float(numbers.beta)
    declared = Declared(get_method(numbers.method).model.chance, limit, beta)
    most = most_correct(numbers.trials, declared.chance, limit, beta)
    reached = 0.0 if most is None else declared.find_chance_at_limit(most, numbers.trials)
    return FewNotice(
        most, declared.find_chance_to_pass(numbers.trials), reached, find_people(declared)
    )
