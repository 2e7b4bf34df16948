"""The short form of a brew's readings: what it says, beside what an earlier note said."""

from collections.abc import Mapping, Sequence
from typing import Any

from server.blinding.plans import Plan
from server.brewing.bounds import parse_optional
from server.brewing.brewed import Brewed
from server.brewing.extraction import Brewer
from server.brewing.quick_readings import parse_fill, parse_tds, parse_temperature
from server.brewing.sanity import Weight, check_brew
from server.reports.brew_words import say_remark
from server.tastings.brew_readings import MESSAGES, SAID, ZEROS, look_over
from server.tastings.brew_sheets import find_planned_recipe
from server.tastings.pieces_used import FIELD, PartChoice, read_part
from server.tastings.refusals import Invalid

READINGS = {"tds": parse_tds, "temperature_c": parse_temperature, "fill_g": parse_fill}
MORE = ("dose_g", "water_g", "beverage_g", "sample_c")


def read_quick(form: Mapping[str, str], before: Brewed) -> Brewed:
    """Return a brew as the short form has it; what it does not ask for stays as it was.

    Raises
    ------
    Invalid
        With a message for each reading that cannot be one.
    """
    errors: dict[str, str] = {}
    read: dict[str, Any] = {"note": form.get("note", "").strip()[:300]}
    for name, parse in READINGS.items():
        try:
            read[name] = parse(form.get(name, ""))
        except ValueError as error:
            errors[name] = str(error)
    for name in MORE:
        try:
            read[name] = parse_optional(name, form.get(name, ""))
        except ValueError as error:
            errors[name] = str(error)
    errors |= {name: MESSAGES[name] for name in ("filtered", "zero") if not _is_offered(form, name)}
    if errors:
        raise Invalid(**errors)
    read |= {"filtered": SAID[form.get("filtered", "")], "zero": form.get("zero", "")}
    return before.model_copy(update=read)


def check_quick(
    plan: Plan, level: str, before: Brewed, brewed: Brewed, form: Mapping[str, str]
) -> None:
    """Refuse what cannot be; where the plan says what brews it, ask about slips as well.

    Raises
    ------
    Invalid
        With a message for each number that cannot be, or that may be a slip.
    """
    recipe = find_planned_recipe(plan, level)
    if recipe is not None:
        look_over(recipe, before, brewed, form)
        return
    found = check_brew(Brewer.PERCOLATION, brewed)
    refused = {one.field: say_remark(one) for one in found if one.weight is Weight.REFUSE}
    if refused:
        raise Invalid(**refused)


def put_part(
    form: Mapping[str, str], choices: Sequence[PartChoice], before: Brewed, brewed: Brewed
) -> Brewed:
    """Put in the piece that the form names, if it asks for one."""
    if FIELD not in form:
        return brewed
    return brewed.model_copy(update={"part": read_part(form, choices, before.part)})


def _is_offered(form: Mapping[str, str], name: str) -> bool:
    return form.get(name, "") in (SAID if name == "filtered" else ZEROS)
