"""The place of a step on its ladder, as a form says it: so many parts, or a state."""

from collections.abc import Mapping

from server.brewing.bounds import parse_number
from server.reports.display import show_count
from server.reports.ladders import WASHED
from server.tastings.refusals import Invalid

CHOOSE_STATE = "Choose the state of the part."


def read_place(kind: str, form: Mapping[str, str]) -> tuple[int, str]:
    """Return the place of a step, and its words.

    Examples
    --------
    >>> read_place("dose", {"parts": "2"}), read_place("state", {"state": "washed"})
    ((2, '2 parts'), (0, 'washed'))

    Raises
    ------
    Invalid
        With the message of the field that cannot be taken.
    """
    state = form.get("state", "")
    if kind == "dose":
        parts = _read_count("parts", form, 0)
        return parts, show_count(parts, "part") if parts else "no part"
    if state not in ("new", WASHED, "used"):
        raise Invalid(state=CHOOSE_STATE)
    if state != "used":
        return 0, state
    brews = _read_count("brews_before", form, 1)
    return brews, f"after {show_count(brews, 'brew')}"


def find_field(kind: str, form: Mapping[str, str]) -> str:
    """Return the field that says which step it is."""
    if kind == "dose":
        return "parts"
    return "brews_before" if form.get("state") == "used" else "state"


def _read_count(name: str, form: Mapping[str, str], least: int) -> int:
    try:
        found = int(parse_number(name, form.get(name, "")))
    except ValueError as error:
        raise Invalid(**{name: str(error)}) from None
    if found < least:
        raise Invalid(**{name: f"At least {least}."})
    return found
