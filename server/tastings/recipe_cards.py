"""A recipe as a card: the small JSON file that is handed on."""

import json
from decimal import Decimal
from typing import Any, TypeVar
from uuid import UUID

from pydantic import ValidationError

from server.blinding.seal import canonical
from server.brewing.recipe import Plain, Recipe, write_recipe
from server.sheets.files import BadCard, CardKind, read_file, read_members, write_members
from server.sheets.problems import Problem, list_problems
from server.sheets.text import tidy_lines
from server.tastings.bench import Bench
from server.tastings.recipes_kept import keep_recipe
from server.tastings.refusals import Invalid

CARD = CardKind("oddcup recipe", 1, "recipe", 60_000)
P = TypeVar("P", bound=Plain)


def export_recipe(recipe: Recipe) -> bytes:
    """Return the card of a recipe: the one canonical JSON text that stands for it."""
    return canonical(write_members(CARD, write_recipe(tidy_recipe(recipe))))


def read_card(text: bytes) -> Recipe:
    """Read a card; its members may stand in any order, with any white space.

    Raises
    ------
    BadCard
        If it is too long, no JSON, or no recipe; it says where.

    Examples
    --------
    >>> read_card(b'{"format": "oddcup sheet", "format_no": 1}')
    Traceback (most recent call last):
    server.sheets.files.BadCard: format: this is no recipe of Oddcup
    """
    members = read_members(CARD, read_file(CARD, text))
    try:
        recipe = Recipe.model_validate_json(json.dumps(_tidy_text(members)), strict=True)
    except ValidationError as error:
        raise BadCard(list_problems(error)) from None
    except RecursionError:
        raise BadCard([Problem((), "this is no recipe: it is nested too deeply")]) from None
    return tidy_recipe(recipe)


def import_recipe(bench: Bench, account_id: UUID, text: bytes) -> UUID:
    """Keep the recipe of a card; return its id. One that is kept already is found.

    Raises
    ------
    Invalid
        The file is no card; field ``file`` says where.
    """
    try:
        recipe = read_card(text)
    except BadCard as error:
        raise Invalid(file=str(error)) from None
    return keep_recipe(bench, account_id, recipe)


def tidy_recipe(recipe: P) -> P:
    """Return a recipe with every number in its shortest form, so that equal ones are one text.

    Examples
    --------
    >>> recipe = Recipe(title="Oats", dose_g=Decimal("20.50"), water_g=Decimal("3E+2"))
    >>> tidy_recipe(recipe).dose_g, tidy_recipe(recipe).water_g
    (Decimal('20.5'), Decimal('300'))
    """
    return recipe.model_copy(update={name: _tidy_value(value) for name, value in recipe})


def _tidy_value(value: Any) -> Any:
    if isinstance(value, Decimal):
        return Decimal(f"{value.normalize():f}") + 0  # no minus zero
    if isinstance(value, tuple):
        return tuple(map(_tidy_value, value))
    return tidy_recipe(value) if isinstance(value, Plain) else value


def _tidy_text(data: Any) -> Any:
    """Drop what no database keeps, such as control characters, from all text."""
    if isinstance(data, str):
        return tidy_lines(data)
    if isinstance(data, dict):
        return {name: _tidy_text(one) for name, one in data.items()}
    return [_tidy_text(one) for one in data] if isinstance(data, list) else data
