"""Recipes that a leader keeps, version by version; brews and plans carry copies of their own."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlmodel import Session

from server.brewing.recipe import LAST_VERSION, Recipe, read_recipe, write_recipe
from server.storage import recipe_cards, tables
from server.tastings.bench import Bench
from server.tastings.refusals import NotFound, Refusal

NO_RECIPE = "There is no such recipe."


@dataclass(frozen=True)
class KeptRecipe:
    """A version of a recipe.

    Attributes
    ----------
    house
        Whether it is the house reference, which others are held against.
    used
        Whether a brew or a plan holds a copy: then changing it makes a next version.
    line
        What all versions of one recipe share.
    """

    id: UUID
    recipe: Recipe
    day: str
    newest: bool
    house: bool
    used: bool
    line: UUID


def list_recipes(bench: Bench, account_id: UUID) -> tuple[KeptRecipe, ...]:
    """List all versions that an account keeps, by title, the newest of each first."""
    with bench.reading() as db:
        cards, used = recipe_cards.list_recipe_cards(db, account_id), _list_used(db, account_id)
        return tuple(_tell(card, cards, used) for card in cards)


def get_recipe(bench: Bench, account_id: UUID, recipe_id: UUID) -> KeptRecipe:
    """Return one version.

    Raises
    ------
    NotFound
        This account keeps no such recipe.
    """
    with bench.reading() as db:
        card = _get_card(db, account_id, recipe_id)
        cards = recipe_cards.list_recipe_cards(db, account_id)
        return _tell(card, cards, _list_used(db, account_id))


def keep_recipe(bench: Bench, account_id: UUID, recipe: Recipe) -> UUID:
    """Keep a recipe on a line of its own; the very same again is found. Return its id."""
    body = write_recipe(recipe)
    with bench.writing() as db:
        cards = recipe_cards.list_recipe_cards(db, account_id)
        same = next((one for one in cards if one.body == body), None)
        if same is None:
            card = _make_card(bench, account_id, bench.draw_uuid(), recipe)
            db.add(card)
            db.commit()
        return (same or card).id


def change_recipe(bench: Bench, account_id: UUID, recipe_id: UUID, recipe: Recipe) -> UUID:
    """Replace a version nothing was brewed or planned by; of another keep a next one.

    Returns
    -------
    UUID
        Of the version that says it now. The house reference stays the version that it was.

    Raises
    ------
    NotFound
        This account keeps no such recipe.
    Refusal
        There is a newer version already, and it says something else.
    """
    with bench.writing() as db:
        card = _get_card(db, account_id, recipe_id)
        newest = _find_newest(card, recipe_cards.list_recipe_cards(db, account_id))
        same = recipe.model_copy(update={"version": newest.version})
        if newest.body == write_recipe(same):
            return newest.id
        if card.id != newest.id:
            raise Refusal("There is a newer version of this recipe: change that one.")
        if _name(card.body) in _list_used(db, account_id):
            card = _make_card(bench, account_id, card.line, _raise_version(same))
        else:
            card.title, card.body = same.title, write_recipe(same)
        db.add(card)
        db.commit()
        return card.id


def mark_house(bench: Bench, account_id: UUID, recipe_id: UUID, *, house: bool) -> None:
    """Make a version the one house reference of an account, or no longer that."""
    with bench.writing() as db:
        chosen = _get_card(db, account_id, recipe_id)
        for card in recipe_cards.list_recipe_cards(db, account_id):
            card.house = house if card.id == chosen.id else card.house and not house
            db.add(card)
        db.commit()


def delete_recipe(bench: Bench, account_id: UUID, recipe_id: UUID) -> None:
    """Forget a version; brews and plans keep their copies. A second time changes nothing."""
    with bench.writing() as db:
        card = recipe_cards.find_recipe_card(db, account_id, recipe_id)
        if card is None:
            return
        recipe_cards.delete_recipe_card(db, card)
        db.commit()


def _get_card(db: Session, account_id: UUID, recipe_id: UUID) -> tables.RecipeCard:
    card = recipe_cards.find_recipe_card(db, account_id, recipe_id)
    if card is None:
        raise NotFound(NO_RECIPE)
    return card


def _make_card(bench: Bench, account_id: UUID, line: UUID, recipe: Recipe) -> tables.RecipeCard:
    return tables.RecipeCard(
        id=bench.draw_uuid(),
        account_id=account_id,
        line=line,
        title=recipe.title,
        version=recipe.version,
        body=write_recipe(recipe),
        created_at=bench.clock(),
    )


def _raise_version(recipe: Recipe) -> Recipe:
    if recipe.version >= LAST_VERSION:
        raise Refusal("This recipe has as many versions as there can be: begin a new one.")
    return recipe.model_copy(update={"version": recipe.version + 1})


def _find_newest(card: tables.RecipeCard, cards: Sequence[tables.RecipeCard]) -> tables.RecipeCard:
    return max((one for one in cards if one.line == card.line), key=lambda one: one.version)


def _list_used(db: Session, account_id: UUID) -> frozenset[str]:
    """List the recipes that brews and plans hold copies of."""
    benches = (plan.get("bench") or {} for plan in recipe_cards.list_plans(db, account_id))
    planned = (body for one in benches for body in one.get("recipes", {}).values())
    brewed = recipe_cards.list_brewed_bodies(db, account_id)
    return frozenset(map(_name, (*planned, *brewed)))


def _name(body: Mapping[str, Any]) -> str:
    return json.dumps(body, sort_keys=True)


def _tell(
    card: tables.RecipeCard, cards: Sequence[tables.RecipeCard], used: frozenset[str]
) -> KeptRecipe:
    return KeptRecipe(
        card.id,
        read_recipe(card.body),
        f"{card.created_at:%d %b %Y}",
        card.id == _find_newest(card, cards).id,
        card.house,
        _name(card.body) in used,
        card.line,
    )
