"""A recipe as a form has it: read with a message beside each field, and written into one."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from pydantic import ValidationError

from server.brewing.bounds import parse_optional
from server.brewing.extraction import Brewer
from server.brewing.recipe import Recipe, read_recipe, write_recipe
from server.brewing.temperature import read_celsius
from server.reports.step_words import say_number
from server.sheets.text import tidy_lines
from server.tastings.recipe_cards import tidy_recipe
from server.tastings.recipe_rows import read_rows, write_rows
from server.tastings.refusals import Invalid

Place = tuple[str, ...]

WORDS: Mapping[str, Place] = {
    "title": ("title",),
    "note": ("note",),
    "coffee_name": ("coffee", "name"),
    "coffee_process": ("coffee", "process"),
    "coffee_roasted": ("coffee", "roasted"),
    "coffee_note": ("coffee", "note"),
    "colour_instrument": ("coffee", "colour", "instrument"),
    "colour_scale": ("coffee", "colour", "scale"),
    "colour_of": ("coffee", "colour", "of"),
    "water_name": ("water", "name"),
    "hardness_unit": ("water", "hardness_unit"),
    "alkalinity_unit": ("water", "alkalinity_unit"),
    "water_note": ("water", "note"),
    "device_name": ("device", "name"),
    "how": ("device", "how"),
    "part": ("device", "part"),
    "filter": ("device", "filter"),
    "grinder_name": ("grinder", "name"),
    "grinder_setting": ("grinder", "setting"),
    "grinder_method": ("grinder", "method"),
}
"""Field of words to its place in a recipe."""

NUMBERS: Mapping[str, Place] = {
    "dose_g": ("dose_g",),
    "water_g": ("water_g",),
    "water_c": ("water_c",),
    "beverage_g": ("beverage_g",),
    "shots": ("shots",),
    "colour": ("coffee", "colour", "value"),
    "hardness": ("water", "hardness"),
    "alkalinity": ("water", "alkalinity"),
    "ph": ("water", "ph"),
    "rinse_g": ("device", "rinse_g"),
    "median_um": ("grinder", "median_um"),
}
"""Field of a number, which is also the name of its bound, to its place in a recipe."""

ALL = {**WORDS, **NUMBERS}
FIELDS = {place: name for name, place in ALL.items()}
MESSAGES = {
    "title": "Give the recipe a title.",
    "dose_g": "Give the dose: everything else is held against it.",
    "water_g": "Give the water poured; only an espresso may leave it open.",
    "above dose": "Less water than coffee cannot be: check both.",
    "above beverage": "More beverage than water cannot be: check both.",
    "colour": "Give the number that was read as well.",
    "coffee_roasted": "Give a day such as 2026-03-31, or none.",
    "unknown": "Choose one of these.",
    "other": "This cannot be taken.",
}


def read_recipe_form(form: Mapping[str, str]) -> Recipe:
    """Return the recipe that a form says; its steps are put in order of time.

    Raises
    ------
    Invalid
        With a message for each field that cannot be taken.
    """
    errors: dict[str, str] = {}
    data: dict[str, Any] = {"single": "single" in form}
    for name, value in _read_fields(form, errors):
        _put(data, ALL[name], value)
    _check_masses(data, errors)
    if (data.get("coffee") or {}).get("colour") and not form.get("colour", "").strip():
        errors.setdefault("colour", MESSAGES["colour"])
    data["steps"] = read_rows(form, errors)
    if errors:
        raise Invalid(**errors)
    try:
        return tidy_recipe(read_recipe(data))
    except ValidationError as error:
        raise Invalid(**_name_problems(error)) from None


def write_recipe_form(recipe: Recipe) -> dict[str, str]:
    """Return a recipe as its form shows it."""
    data = write_recipe(recipe)
    form = {name: _find(data, place) for name, place in WORDS.items()}
    numbers = {name: _find(data, place) for name, place in NUMBERS.items()}
    form |= {name: say_number(Decimal(text)) if text else "" for name, text in numbers.items()}
    form |= {"single": "on"} if recipe.single else {}
    return form | write_rows(recipe.steps)


def empty_recipe_form() -> dict[str, str]:
    """Return the form of a new recipe."""
    units = {name: _find(BLANK, WORDS[name]) for name in ("hardness_unit", "alkalinity_unit")}
    return {"how": Brewer.PERCOLATION.value, "shots": "1"} | units


BLANK = write_recipe(Recipe(title="blank", dose_g=Decimal(1), water_g=Decimal(1)))


def _read_fields(form: Mapping[str, str], errors: dict[str, str]) -> Iterator[tuple[str, Any]]:
    """Return what is typed of words and numbers, field by field."""
    for name in WORDS:
        text = tidy_lines(form.get(name, ""))
        if text:
            yield name, text
    typed = dict(form) | {"water_c": read_celsius(form.get("water_c", ""))}
    for name in NUMBERS:
        try:
            number = parse_optional(name, typed.get(name, ""))
        except ValueError as error:
            errors[name] = str(error)
            continue
        if number is not None:
            yield name, int(number) if name == "shots" else number


def _check_masses(data: Mapping[str, Any], errors: dict[str, str]) -> None:
    """Say what the masses lack, or why they cannot be of one brew."""
    dose, water, beverage = (data.get(name) for name in ("dose_g", "water_g", "beverage_g"))
    espresso = (data.get("device") or {}).get("how") == Brewer.ESPRESSO
    if not data.get("title"):
        errors["title"] = MESSAGES["title"]
    if dose is None:
        errors.setdefault("dose_g", MESSAGES["dose_g"])
    if water is None and not espresso:
        errors.setdefault("water_g", MESSAGES["water_g"])
    if water is not None and dose is not None and water < dose:
        errors["water_g"] = MESSAGES["above dose"]
    if water is not None and beverage is not None and beverage > water:
        errors["beverage_g"] = MESSAGES["above beverage"]


def _put(data: dict[str, Any], place: Place, value: object) -> None:
    *path, name = place
    for part in path:
        data = data.setdefault(part, {})
    data[name] = value


def _find(data: Mapping[str, Any], place: Place) -> str:
    value: Any = data
    for part in place:
        value = value.get(part) if value else None
    return "" if value is None else str(value)


def _name_problems(error: ValidationError) -> dict[str, str]:
    """Return what the recipe itself refuses, by field."""
    messages = {}
    for one in error.errors(include_url=False, include_input=False):
        place = tuple(str(part) for part in one["loc"])
        name = FIELDS.get(place, "title")
        longest = one.get("ctx", {}).get("max_length")
        choice = "unknown" if one["type"] in ("enum", "literal_error", "value_error") else "other"
        known = MESSAGES["coffee_roasted"] if name == "coffee_roasted" else MESSAGES[choice]
        messages[name] = f"Up to {longest} characters." if longest else known
    return messages
