"""Build a score sheet: read its forms, add, change, move and remove what it asks."""

import json
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_origin

from pydantic import ValidationError

from server.sheets.problems import list_problems
from server.sheets.scales.base import Kind
from server.sheets.scales.registry import KINDS
from server.sheets.sheet import OWN, PASSES, Attribute, Sheet
from server.tastings.refusals import Invalid, NotFound

SCALE = "scale_"
ROWS = ("words", "levels")
WORDS = {
    "low": "Word at the low end",
    "high": "Word at the high end",
    "middle": "Word in the middle, if the line has two sides",
    "words": "Words, one a line, in order",
    "levels": "How strong: words, one a line, weakest first",
    "equal_steps": "The panel uses these words in equal steps: count them as numbers",
    "reference": "What everybody tastes as the reference",
    "reference_value": "Its number",
    "own": "A word of one’s own may be written instead",
    "control": "How the control is called on the table",
    "first": "What the first place means",
    "last": "What the last place means",
    "ties": "Two codes may share a place",
}
"""What the fields of the kinds are called; an unknown one is called by its own name."""


@dataclass(frozen=True)
class ScaleField:
    """A field of a kind's form: ``text``, ``rows`` of words, or a ``tick``."""

    name: str
    label: str
    shape: str


def list_scale_fields(kind: type[Kind]) -> tuple[ScaleField, ...]:
    """List what a kind asks of whoever builds the sheet."""
    return tuple(
        ScaleField(SCALE + name, WORDS.get(name, name.replace("_", " ")), _find_shape(one))
        for name, one in kind.model_fields.items()
        if name != "kind"
    )


def _find_shape(field: Any) -> str:
    if field.annotation is bool:
        return "tick"
    return "rows" if get_origin(field.annotation) is tuple else "text"


def get_kind_named(name: str) -> type[Kind]:
    """Return a kind of scale.

    Raises
    ------
    NotFound
        There is none of that name.
    """
    if name not in KINDS:
        raise NotFound("There is no such kind of scale.")
    return KINDS[name]


def get_attribute(sheet: Sheet, name: str) -> Attribute:
    """Return an attribute; raises `NotFound` if the sheet has none of that name."""
    found = sheet.find_attribute(name)
    if found is None:
        raise NotFound("There is no such attribute on this sheet.")
    return found


def empty_attribute(kind: type[Kind]) -> dict[str, str]:
    """Return the form of a new attribute: the defaults of its kind."""
    defaults = {
        SCALE + name: _show(one.default)
        for name, one in kind.model_fields.items()
        if name != "kind" and not one.is_required()
    }
    return defaults | {"scope": kind.SCOPES[0], "required": "on"}


def attribute_form(attribute: Attribute) -> dict[str, str]:
    """Return an attribute as its form shows it."""
    members = attribute.model_dump(mode="json")
    scale = {SCALE + name: _show(one) for name, one in members.pop("scale").items()}
    passes = {f"pass_{one}": "on" for one in members.pop("passes")}
    return {name: _show(one) for name, one in members.items()} | scale | passes


def _show(value: Any) -> str:
    if isinstance(value, bool):
        return "on" if value else ""
    return "\n".join(value) if isinstance(value, list | tuple) else str(value)


def put_attribute(sheet: Sheet, kind: type[Kind], form: Mapping[str, str], old: str = "") -> Sheet:
    """Return the sheet with an attribute added, or with the ``old`` one replaced.

    Raises
    ------
    Invalid
        With a message for each field that cannot be taken.
    """
    attribute = read_attribute(kind, form, old)
    listed = [attribute if one.name == old else one for one in sheet.attributes]
    return _with(sheet, [*listed, *([] if old else [attribute])])


def read_attribute(kind: type[Kind], form: Mapping[str, str], old: str = "") -> Attribute:
    """Return the attribute of a form; a name that it has already is kept.

    Raises
    ------
    Invalid
        With a message for each field that cannot be taken.
    """
    label = form.get("label", "")
    members = {
        "name": old or form.get("name", "").strip() or make_name(label),
        "label": label,
        "definition": form.get("definition", ""),
        "reference": form.get("reference", ""),
        "scope": form.get("scope", kind.SCOPES[0]),
        "passes": [one for one in PASSES if form.get(f"pass_{one}")],
        "required": bool(form.get("required")),
        "scale": _read_scale(kind, form),
    }
    try:
        return Attribute.model_validate_json(json.dumps(members), strict=True)
    except ValidationError as error:
        raise Invalid(**_place_messages(error)) from None


def _read_scale(kind: type[Kind], form: Mapping[str, str]) -> dict[str, Any]:
    scale: dict[str, Any] = {"kind": kind.model_fields["kind"].default}
    for field in list_scale_fields(kind):
        text = form.get(field.name, "")
        rows = [row for row in text.splitlines() if row.strip()]
        read = {"tick": bool(text), "rows": rows, "text": text}
        scale[field.name.removeprefix(SCALE)] = read[field.shape]
    return scale


def _place_messages(error: ValidationError) -> dict[str, str]:
    messages: dict[str, str] = {}
    for place, message in list_problems(error):
        words = f"{message[0].upper()}{message[1:]}."
        if place and place[0] == "scale":
            messages[SCALE + str(place[1]) if len(place) > 1 else "label"] = words
        else:
            messages[str(place[0]) if place else "scope"] = words
    return messages


def make_name(label: str) -> str:
    """Return a name for files from a label: small letters, digits, hyphens.

    Examples
    --------
    >>> make_name("Süß, im Abgang"), make_name("7 spices"), make_name("酸味")
    ('suss-im-abgang', 'a-7-spices', 'a')
    """
    plain = unicodedata.normalize("NFKD", label.casefold()).encode("ascii", "ignore").decode()
    name = re.sub("[^a-z0-9]+", "-", plain).strip("-")
    if not name[:1].isalpha() or name.startswith(OWN):
        name = f"a-{name}".strip("-")
    return name[:40].strip("-")


def move_attribute(sheet: Sheet, name: str, to: str) -> Sheet:
    """Return the sheet with an attribute at another place, counted from 1; told again, as it is."""
    moved = get_attribute(sheet, name)
    if not re.fullmatch("[1-9][0-9]?", to) or int(to) > len(sheet.attributes):
        raise NotFound("There is no such place on this sheet.")
    others = [one for one in sheet.attributes if one is not moved]
    others.insert(int(to) - 1, moved)
    return _with(sheet, others)


def remove_attribute(sheet: Sheet, name: str) -> Sheet:
    """Return the sheet without an attribute; without one that is not there, as it is."""
    return _with(sheet, [one for one in sheet.attributes if one.name != name])


def change_settings(sheet: Sheet, form: Mapping[str, str]) -> Sheet:
    """Return the sheet with another title, order and number of personal words."""
    own = form.get("own_words", "").strip() or "0"
    if not re.fullmatch("[0-9]|10", own):
        raise Invalid(own_words="Places for own words: a whole number from 0 to 10.")
    texts = {name: form.get(name, "") for name in ("title", "own_low", "own_high")}
    members = sheet.model_dump(mode="json") | texts
    members |= {"shuffled": bool(form.get("shuffled")), "own_words": int(own)}
    return _read_sheet(members)


def settings_form(sheet: Sheet) -> dict[str, str]:
    """Return title, order and number of personal words as their form shows them."""
    names = ("title", "shuffled", "own_words", "own_low", "own_high")
    return {name: _show(getattr(sheet, name)) for name in names}


def _with(sheet: Sheet, attributes: list[Attribute]) -> Sheet:
    dumped = [one.model_dump(mode="json") for one in attributes]
    if not dumped:
        raise Invalid(title="A sheet asks at least one thing: add another before removing this.")
    return _read_sheet(sheet.model_dump(mode="json") | {"attributes": dumped})


def _read_sheet(members: Mapping[str, Any]) -> Sheet:
    try:
        return Sheet.model_validate_json(json.dumps(members), strict=True)
    except ValidationError as error:
        found = _place_messages(error)
        if "attributes" in found:
            found["label"] = found.pop("attributes")
        raise Invalid(**found) from None
