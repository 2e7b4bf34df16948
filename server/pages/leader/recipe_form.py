"""One recipe: its page, its form, and its sheet to print."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Depends, Request, Response

from server.brewing.brew_times import write_minutes
from server.brewing.recipe import Recipe, Step
from server.brewing.water import ALKALINITY, HARDNESS, Unit
from server.pages.deps import AtBench, Form, Leader
from server.pages.rendering import go_to, show
from server.reports.recipe_words import (
    BREWERS,
    COLOURS,
    WATER_IN,
    Fact,
    list_facts,
    list_remarks,
)
from server.reports.step_words import KINDS, say_number, say_step
from server.tastings import recipes_kept
from server.tastings.recipe_rows import DROPPED, count_rows
from server.tastings.recipe_typing import (
    empty_recipe_form,
    read_recipe_form,
    write_recipe_form,
)
from server.tastings.recipes_kept import KeptRecipe
from server.tastings.refusals import Invalid

router = APIRouter(prefix="/recipes")


@dataclass(frozen=True)
class RecipeForm:
    """The form of a recipe; ``action`` is where it is sent, ``rows`` how many steps it shows."""

    heading: str
    action: str
    back: str
    form: Mapping[str, str]
    errors: Mapping[str, str] = field(default_factory=dict)
    more: bool = False
    colours: str = COLOURS

    @property
    def rows(self) -> range:
        """Rows of steps."""
        return range(count_rows(self.form, more=self.more))

    @property
    def kinds(self) -> tuple[tuple[str, str], ...]:
        """What can be chosen for a step."""
        named = ((kind.value, words) for kind, words in KINDS.items())
        return (("", "–"), *named, (DROPPED, "Remove this step"))

    @property
    def brewers(self) -> tuple[tuple[str, str], ...]:
        """How water can leave the coffee."""
        return tuple((how.value, words[:1].upper() + words[1:]) for how, words in BREWERS.items())

    def tells(self, *names: str) -> bool:
        """Whether something is typed, or wrong, in fields whose names begin like this."""
        fields = [one for one in (*self.form, *self.errors) if one.startswith(names)]
        return any(one in self.errors or self._is_typed(one) for one in fields)

    def _is_typed(self, name: str) -> bool:
        return bool(self.form.get(name, "").strip()) and not name.endswith("_unit")

    @property
    def hardness_units(self) -> tuple[tuple[str, str], ...]:
        """Units of hardness."""
        return _offer(HARDNESS)

    @property
    def alkalinity_units(self) -> tuple[tuple[str, str], ...]:
        """Units of alkalinity."""
        return _offer(ALKALINITY)


@dataclass(frozen=True)
class RecipePage:
    """A version of a recipe, with the others of its line."""

    kept: KeptRecipe
    line: tuple[KeptRecipe, ...]
    water_in: str = WATER_IN

    @property
    def recipe(self) -> Recipe:
        """The recipe."""
        return self.kept.recipe

    @property
    def facts(self) -> tuple[Fact, ...]:
        """What it says."""
        return list_facts(self.recipe)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What strikes about its numbers."""
        return list_remarks(self.recipe)

    def tell(self, step: Step) -> str:
        """Say a step."""
        return say_step(step)

    def minutes(self, step: Step) -> str:
        """Say when a step is due."""
        return write_minutes(step.at_s)

    def grams(self, step: Step) -> str:
        """Say what the scale shall show."""
        return say_number(step.water_g)


def get_kept(bench: AtBench, leader: Leader, recipe_id: UUID) -> KeptRecipe:
    """Return a version that this leader keeps."""
    return recipes_kept.get_recipe(bench, leader.id, recipe_id)


Kept = Annotated[KeptRecipe, Depends(get_kept)]


@router.get("/new")
def new_recipe(
    request: Request, bench: AtBench, leader: Leader, like: UUID | None = None
) -> Response:
    """Show the form of a new recipe, empty or like another one."""
    form = empty_recipe_form()
    if like is not None:
        form = write_recipe_form(recipes_kept.get_recipe(bench, leader.id, like).recipe)
    return show(request, "leader/recipe_form", _new(form))


@router.post("/new")
def keep_new(request: Request, bench: AtBench, leader: Leader, form: Form) -> Response:
    """Keep a new recipe, or show one more row for its steps."""
    if "more" in form:
        return show(request, "leader/recipe_form", _new(form, more=True))
    try:
        recipe = read_recipe_form(form)
    except Invalid as error:
        return show(request, "leader/recipe_form", _new(form, error.messages), 422)
    return go_to(request, f"/recipes/{recipes_kept.keep_recipe(bench, leader.id, recipe)}")


@router.get("/{recipe_id}")
def recipe_page(request: Request, bench: AtBench, leader: Leader, kept: Kept) -> Response:
    """Show a recipe."""
    every = recipes_kept.list_recipes(bench, leader.id)
    line = tuple(one for one in every if one.line == kept.line)
    return show(request, "leader/recipe", RecipePage(kept, line))


@router.get("/{recipe_id}/change")
def change_form(request: Request, kept: Kept) -> Response:
    """Show the form that changes a recipe."""
    return show(request, "leader/recipe_form", _change(kept, write_recipe_form(kept.recipe)))


@router.post("/{recipe_id}/change")
def change(request: Request, bench: AtBench, leader: Leader, kept: Kept, form: Form) -> Response:
    """Change a recipe, or show one more row for its steps."""
    if "more" in form:
        return show(request, "leader/recipe_form", _change(kept, form, more=True))
    try:
        recipe = read_recipe_form(form)
    except Invalid as error:
        return show(request, "leader/recipe_form", _change(kept, form, error.messages), 422)
    recipe_id = recipes_kept.change_recipe(bench, leader.id, kept.id, recipe)
    return go_to(request, f"/recipes/{recipe_id}")


@router.get("/{recipe_id}/paper")
def paper(request: Request, kept: Kept) -> Response:
    """Show a recipe to print, with room for what happens."""
    return show(request, "paper/recipe", RecipePage(kept, (kept,)))


def _new(
    form: Mapping[str, str], errors: Mapping[str, str] | None = None, *, more: bool = False
) -> RecipeForm:
    return RecipeForm("A new recipe", "/recipes/new", "/recipes", form, errors or {}, more)


def _change(
    kept: KeptRecipe,
    form: Mapping[str, str],
    errors: Mapping[str, str] | None = None,
    *,
    more: bool = False,
) -> RecipeForm:
    home = f"/recipes/{kept.id}"
    heading = f"{kept.recipe.title}, version {kept.recipe.version}"
    return RecipeForm(heading, f"{home}/change", home, form, errors or {}, more)


def _offer(units: tuple[Unit, ...]) -> tuple[tuple[str, str], ...]:
    return tuple((one.value, one.value) for one in units)
