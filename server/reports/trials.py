"""Trial brews: whether the samples matched before they were sealed, and whether they are two."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pydantic import ValidationError

from server.blinding.bench_plans import BenchPlan, TrialBrew
from server.blinding.plans import Plan
from server.brewing.brewed import Brewed, read_brewed
from server.brewing.match import MatchTable, SlotReadings, Verdict
from server.brewing.recipe import Recipe
from server.reports.brew_readings import find_recipe, find_yield_of
from server.reports.gate import Properties, find_gravest, list_judged, match_all

WORDS_ALONE = {"title", "version", "note"}
"""What of a recipe changes no brew."""

PART_DIFFERS = {"soak", "part in pot", "same brewer"}
"""Contrasts by which a part differs, whatever the recipes say."""


@dataclass(frozen=True)
class TrialMatch:
    """How the trial brews of a plan matched.

    Attributes
    ----------
    last
        Level to its last trial brew: what counts; earlier ones are kept as well.
    match, properties
        Of these, by the plan's limits; time since brewing is left out, because trials are
        not tasted together.
    verdict
        What decides; None while fewer than two samples were tried.
    """

    last: Mapping[str, Brewed]
    match: MatchTable
    properties: Properties
    verdict: Verdict | None

    @property
    def needs_reason(self) -> bool:
        """Whether it may be sealed with a reason alone."""
        return self.verdict == Verdict.NOT_MATCHED


def match_trials(plan: Plan, levels: Sequence[str], trials: Sequence[TrialBrew]) -> TrialMatch:
    """Match the last trial brew of each sample.

    Parameters
    ----------
    plan : Plan
    levels : sequence of str
        The samples that the test compares.
    trials : sequence of TrialBrew
        In order of time; of other samples they are left out.
    """
    last = {one.level: _read(one) for one in trials if one.level in levels}
    brews = [_find_readings(plan, level, brewed) for level, brewed in last.items()]
    match = match_all(plan.model_copy(update={"age_limit": None}), brews, levels)
    judged = list_judged(plan, match)
    return TrialMatch(last, match, judged, find_gravest(judged) if len(last) > 1 else None)


def _read(trial: TrialBrew) -> Brewed:
    try:
        return read_brewed(trial.brew)
    except ValidationError:
        return Brewed()


def _find_readings(plan: Plan, level: str, brewed: Brewed) -> SlotReadings:
    found = find_yield_of(find_recipe(plan, level), brewed)
    return SlotReadings(
        level,
        level,
        1,
        brewed.tds,
        brewed.temperature_c,
        brewed.fill_g,
        found.percent if found else None,
        found.form if found else "",
    )


def is_one_recipe(plan: Plan, levels: Sequence[str]) -> bool:
    """Tell whether all samples are brewed by one recipe, with nothing that differs.

    Titles, versions and notes do not count. Water added on purpose, pieces of a part, or a
    contrast by which a part differs make two samples of one recipe; so does a scored table,
    where batches of coffee are brewed by one recipe on purpose.
    """
    if plan.table is not None:
        return False
    bench = plan.bench or BenchPlan()
    recipes = [find_recipe(plan, level) for level in levels]
    if None in recipes or plan.dilution_percent is not None or plan.series is not None:
        return False
    if plan.contrast in PART_DIFFERS:
        return False
    pieces = {frozenset(one.label for one in bench.specimens.get(level, ())) for level in levels}
    made = {_strip(recipe) for recipe in recipes if recipe}
    return len(levels) > 1 and len(made) == 1 and len(pieces) == 1


def _strip(recipe: Recipe) -> str:
    return recipe.model_dump_json(exclude=WORDS_ALONE)
