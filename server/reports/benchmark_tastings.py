"""What a finding says of two recipes that its tasting held together."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from server.blinding.plans import Plan
from server.brewing.recipe import Recipe
from server.methods.registry import get_method
from server.methods.traits import asks_for_liking
from server.reports.analysis import Analysis
from server.reports.brew_readings import find_recipe
from server.reports.contrasts import CLEAN, NOT_SHOWN
from server.reports.findings import Finding
from server.reports.numbers import NumberLine
from server.reports.table_findings import TableFinding
from server.reports.table_means import QuestionMeans, TableMeans
from server.reports.table_verdicts import DIFFER_BY_MATCH, Standing, TableVerdict
from server.reports.verdicts import LEANS, Verdict
from server.stats.results import Interval

SHOWN = ("pd", "pd_one_each", "pc", "hits", "alarms", "people", "brews")
"""Numbers of a finding that say how many noticed, and on how much that rests."""

CLOUDED = {
    Verdict.TOLD_APART_NEARLY_MATCHED,
    Verdict.TOLD_APART_NOT_MATCHED,
    Verdict.TOLD_APART_NOT_MEASURED,
    Verdict.TOLD_APART_BREWS,
    Verdict.TOLD_APART_POTS,
    Verdict.TOLD_APART_ONE_BREW,
} | (set(LEANS.values()) - {Verdict.LEANS, Verdict.NO_LEAN})
CLOUDED_TABLES = {*DIFFER_BY_MATCH.values(), TableVerdict.DIFFER_BOWLS}
LEVELS = 2


class Outcome(StrEnum):
    """What a tasting says of two recipes."""

    APART = "told apart"
    CLOUDED = "told apart, and something else may be why"
    FEW = "few notice, if any"
    NOT_SHOWN = "not shown to be told apart"
    NONE = "no conclusion"


@dataclass(frozen=True)
class MeanRow:
    """How much higher a recipe was scored than the house reference in one question.

    ``apart`` tells whether the two are told apart, ``standing`` what the question's test came to.
    """

    question: str
    difference: float
    limits: Interval | None
    apart: bool
    standing: Standing


@dataclass(frozen=True)
class Said:
    """What a finding says of two recipes.

    Attributes
    ----------
    headline
        Of the whole finding.
    outcome
        Of these two.
    labels
        Of the sample brewed by the recipe, and of that brewed by the house reference.
    liking
        Whether it was asked what people like, not what they notice.
    numbers
        Lines of the finding that say how many noticed, of how many people and brews.
    means
        Of a scored table, question by question.
    """

    headline: str
    outcome: Outcome
    labels: tuple[str, str]
    liking: bool = False
    numbers: tuple[NumberLine, ...] = ()
    means: tuple[MeanRow, ...] = ()


def find_levels(plan: Plan, recipe: Recipe, house: Recipe) -> tuple[str, str] | None:
    """Return the samples that a plan brews by a recipe and by the house reference.

    None where it does not hold these two together. A copy is known by all that it says, title
    and version among it.
    """
    if plan.bench is None or plan.series is not None or recipe == house:
        return None
    copies = {level: find_recipe(plan, level) for level in plan.bench.recipes}
    mine = next((level for level, one in copies.items() if one == recipe), None)
    its = next((level for level, one in copies.items() if one == house), None)
    return None if mine is None or its is None else (mine, its)


def read_test(analysis: Analysis, finding: Finding, levels: tuple[str, str]) -> Said | None:
    """Read what the finding of a test says of two samples; None if it compared others."""
    called = {one.level: one.label for one in analysis.samples}
    if {*called} != {*levels}:
        return None
    liking = asks_for_liking(get_method(analysis.plan.method))
    shown = tuple(one for one in finding.numbers if one.name in SHOWN)
    return Said(finding.headline, _judge(finding.verdict), _name(called, levels), liking, shown)


def read_table(
    finding: TableFinding, means: TableMeans, levels: tuple[str, str], called: Mapping[str, str]
) -> Said:
    """Read what the finding of a scored table says of two of its samples.

    ``called`` has the labels of all its samples.
    """
    declared = next((one for one in means.questions if one.declared), None)
    shown = tuple(one for one in finding.numbers if one.name in SHOWN)
    rows = tuple(_subtract(means, levels))
    outcome = _judge_table(finding.verdict, declared, levels, len(called))
    return Said(finding.headline, outcome, _name(called, levels), numbers=shown, means=rows)


def _name(called: Mapping[str, str], levels: tuple[str, str]) -> tuple[str, str]:
    mine, its = levels
    return called[mine], called[its]


def _judge(verdict: Verdict) -> Outcome:
    if verdict is Verdict.FEW:
        return Outcome.FEW
    if verdict in CLEAN:
        return Outcome.APART
    if verdict in CLOUDED:
        return Outcome.CLOUDED
    return Outcome.NOT_SHOWN if verdict in NOT_SHOWN else Outcome.NONE


def _judge_table(
    verdict: TableVerdict, declared: QuestionMeans | None, levels: tuple[str, str], samples: int
) -> Outcome:
    """Judge these two samples: that some of many differ does not say that these do."""
    if verdict is TableVerdict.NOT_SHOWN:
        return Outcome.NOT_SHOWN
    if verdict is not TableVerdict.DIFFER and verdict not in CLOUDED_TABLES:
        return Outcome.NONE
    if declared is None and samples > LEVELS:
        return Outcome.NONE
    if declared is not None and not declared.is_apart(*levels):
        return Outcome.NOT_SHOWN
    return Outcome.APART if verdict is TableVerdict.DIFFER else Outcome.CLOUDED


def _subtract(means: TableMeans, levels: tuple[str, str]) -> Iterator[MeanRow]:
    for one in means.questions:
        found = one.subtract(*levels)
        if found is not None:
            yield MeanRow(one.question, *found, one.is_apart(*levels), one.standing)


def count_outcomes(said: Sequence[Said]) -> Mapping[Outcome, int]:
    """Count outcomes of the tastings that asked what people notice, those without any left out."""
    asked = [one.outcome for one in said if not one.liking]
    return {one: asked.count(one) for one in dict.fromkeys(asked) if one is not Outcome.NONE}
