"""The bench of a draft: a recipe for each sample, trial brews, and how they match."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from sqlmodel import Session

from server.blinding.bench_plans import BenchPlan
from server.blinding.plans import Plan
from server.brewing.brewed import Brewed, read_brewed
from server.brewing.dilution import Advice, DilutionAdvice, advise_dilution
from server.brewing.extraction import Brewer
from server.brewing.recipe import Recipe
from server.brewing.yields import BrewYield, find_yield
from server.reports.brew_readings import find_recipe
from server.reports.brew_words import say_yield
from server.reports.gate import judge_strength
from server.storage import queries, recipe_cards, tables, trial_brews
from server.tastings.bench import Bench
from server.tastings.locking import lock_draft
from server.tastings.refusals import Invalid
from server.tastings.trying_out import Gate, find_gate

AS_IT_IS = "as it is"
"""Choice of the recipe that a plan holds already, whatever became of the one it was copied from."""

NO_SUCH = "Choose one of your recipes, or none."


@dataclass(frozen=True)
class OfferedRecipe:
    """A recipe that can be chosen."""

    id: UUID
    title: str
    version: int
    house: bool


@dataclass(frozen=True)
class Trial:
    """A trial brew: what was read of it, and whether it is the one that counts."""

    id: UUID
    kept_at: datetime | None
    brewed: Brewed
    yielded: str
    counts: bool


@dataclass(frozen=True)
class SampleBench:
    """A sample of a draft on the bench.

    ``chosen`` is the value of the form's choice; ``unkept`` is a trial brew that goes on.
    """

    level: str
    label: str
    recipe: Recipe | None
    chosen: str
    trials: tuple[Trial, ...]
    unkept: UUID | None


@dataclass(frozen=True)
class DraftBench:
    """All that stands on the bench for a draft; of a series there is no gate."""

    samples: tuple[SampleBench, ...]
    offered: tuple[OfferedRecipe, ...]
    gate: Gate | None
    advice: DilutionAdvice | None


def find_draft_bench(bench: Bench, account_id: UUID, tasting: tables.Tasting) -> DraftBench:
    """Return what stands on the bench for a draft."""
    plan = Plan.model_validate(tasting.plan)
    with bench.reading() as db:
        cards = recipe_cards.list_recipe_cards(db, account_id)
        brews = trial_brews.list_tried(db, tasting.id)
        samples = queries.list_samples(db, tasting.id)
    shown = samples[:1] if plan.series is not None else samples
    benches = tuple(
        _lay_out(
            plan, one.level, one.label, cards, [row for row in brews if row.level == one.level]
        )
        for one in shown
    )
    gate = find_gate(bench, tasting)
    return DraftBench(benches, _offer(cards), gate, _advise(plan, gate) if gate else None)


def _lay_out(
    plan: Plan,
    level: str,
    label: str,
    cards: Sequence[tables.RecipeCard],
    rows: Sequence[tables.Brew],
) -> SampleBench:
    recipe, kept = find_recipe(plan, level), [row for row in rows if row.kept_at is not None]
    body = plan.bench.recipes.get(level) if plan.bench else None
    same = (str(card.id) for card in cards if card.body == body)
    chosen = next(same, AS_IT_IS) if body is not None else ""
    trials = tuple(_show(recipe, row, counts=row is kept[-1]) for row in kept)
    unkept = next((row.id for row in reversed(rows) if row.kept_at is None), None)
    return SampleBench(level, label, recipe, chosen, trials, unkept)


def _show(recipe: Recipe | None, row: tables.Brew, *, counts: bool) -> Trial:
    brewed = read_brewed(row.body)
    found = _find_yield(recipe, brewed)
    yielded = say_yield(found) if found.percent is not None else ""
    return Trial(row.id, row.kept_at, brewed, yielded, counts)


def _find_yield(recipe: Recipe | None, brewed: Brewed) -> BrewYield:
    """Return the yield of a trial brew; without a recipe that says how, its strength alone."""
    if recipe is not None:
        return find_yield(recipe.device.how, brewed)
    return BrewYield(strength=find_yield(Brewer.IMMERSION, brewed).strength)


def _offer(cards: Sequence[tables.RecipeCard]) -> tuple[OfferedRecipe, ...]:
    return tuple(OfferedRecipe(one.id, one.title, one.version, one.house) for one in cards)


def _advise(plan: Plan, gate: Gate) -> DilutionAdvice | None:
    """Say how two samples become alike in strength, once both were tried and differ."""
    last = gate.trials.last
    if len(gate.levels) != 2 or len(last) != 2 or not judge_strength(plan):
        return None
    yields = {level: _find_yield(find_recipe(plan, level), one) for level, one in last.items()}
    advice = advise_dilution(yields, float(plan.tds_limit))
    return None if advice.advice in (Advice.NOTHING, Advice.READ) else advice


def choose_recipes(
    bench: Bench, account_id: UUID, tasting_id: UUID, form: Mapping[str, str]
) -> None:
    """Copy into a draft's plan the recipe chosen for each sample; what is not asked for stays.

    Raises
    ------
    WrongState
        It is sealed already.
    Invalid
        A sample's choice is no recipe of this account.
    """
    with bench.writing() as db:
        tasting = lock_draft(db, tasting_id)
        plan = Plan.model_validate(tasting.plan)
        now = plan.bench or BenchPlan()
        levels = [one.level for one in queries.list_samples(db, tasting_id)]
        recipes = _read_choices(db, account_id, levels, now.recipes, form)
        changed = now.model_copy(update={"recipes": recipes})
        plan = plan.model_copy(update={"bench": None if changed == BenchPlan() else changed})
        tasting.plan = plan.model_dump(mode="json")
        db.add(tasting)
        db.commit()


def name_choice(level: str) -> str:
    """Return the name of the field that chooses a sample's recipe."""
    return f"recipe_{level}"


def _read_choices(
    db: Session,
    account_id: UUID,
    levels: Sequence[str],
    now: Mapping[str, dict[str, object]],
    form: Mapping[str, str],
) -> dict[str, dict[str, object]]:
    cards = {str(one.id): one.body for one in recipe_cards.list_recipe_cards(db, account_id)}
    chosen: dict[str, dict[str, object]] = {}
    wrong = {}
    for level in levels:
        wanted = form.get(name_choice(level), AS_IT_IS)
        body = now.get(level) if wanted == AS_IT_IS else cards.get(wanted)
        if body is not None:
            chosen[level] = body
        elif wanted not in ("", AS_IT_IS):
            wrong[name_choice(level)] = NO_SUCH
    if wrong:
        raise Invalid(**wrong)
    return chosen
