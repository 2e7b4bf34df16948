"""The rows of a recipe's form in which its steps stand, with blank ones after the last."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from server.brewing.bounds import parse_optional
from server.brewing.brew_times import read_minutes, write_minutes
from server.brewing.recipe import MOST_STEPS, Step, StepKind
from server.reports.step_words import say_number
from server.sheets.text import join_line

DROPPED = "drop"
"""What a row says whose step is to go."""

BLANK_ROWS, LONGEST = 2, 300
MESSAGES = {
    "kind": "Choose what is done, or that this step goes.",
    "at": "Give its time.",
    "end": "The end comes last: give it the latest time.",
    "scale": "The scale shows all pours so far: it cannot fall.",
    "says": f"Up to {LONGEST} characters.",
    "steps": f"A recipe has at most {MOST_STEPS} steps.",
}


def write_rows(steps: Sequence[Step]) -> dict[str, str]:
    """Return steps as the fields of their rows, such as ``kind_0``."""
    form = {}
    for row, step in enumerate(steps):
        form[f"kind_{row}"], form[f"at_{row}"] = step.kind.value, write_minutes(step.at_s)
        form[f"scale_{row}"], form[f"says_{row}"] = say_number(step.water_g), step.note
    return form


def read_rows(form: Mapping[str, str], errors: dict[str, str]) -> list[dict[str, Any]]:
    """Return the steps in order of time; of two at one time the upper row comes first.

    What cannot be taken is added to ``errors``, by field.
    """
    rows = [row for row in range(MOST_STEPS + 1) if _is_used(form, row)]
    kept = [row for row in rows if form.get(f"kind_{row}") != DROPPED]
    if len(kept) > MOST_STEPS:
        errors["steps"] = MESSAGES["steps"]
    read = {row: step for row in kept if (step := _read_step(form, row, errors))}
    order = sorted(read, key=lambda row: (read[row]["at_s"], _is_end(read[row]), row))
    ends = [row for row in order if _is_end(read[row])]
    errors |= {f"at_{row}": MESSAGES["end"] for row in ends if row != order[-1]}
    highest = Decimal(0)
    for row in order:
        shows = read[row]["water_g"]
        if shows is not None and shows < highest:
            errors[f"scale_{row}"] = MESSAGES["scale"]
        highest = max(highest, shows or Decimal(0))
    return [read[row] for row in order]


def _is_end(step: Mapping[str, Any]) -> bool:
    return bool(step["kind"] == StepKind.END)


def _read_step(form: Mapping[str, str], row: int, errors: dict[str, str]) -> dict[str, Any] | None:
    kind, before = form.get(f"kind_{row}", ""), len(errors)
    if kind not in tuple(StepKind):
        errors[f"kind_{row}"] = MESSAGES["kind"]
    at_s = shows = None
    try:
        at_s = read_minutes(form.get(f"at_{row}", ""))
        if at_s is None:
            errors[f"at_{row}"] = MESSAGES["at"]
    except ValueError as error:
        errors[f"at_{row}"] = str(error)
    try:
        shows = parse_optional("scale_g", form.get(f"scale_{row}", ""))
    except ValueError as error:
        errors[f"scale_{row}"] = str(error)
    note = join_line(form.get(f"says_{row}", ""))
    if len(note) > LONGEST:
        errors[f"says_{row}"] = MESSAGES["says"]
    if len(errors) > before:
        return None
    return {"kind": kind, "at_s": at_s, "water_g": shows, "note": note}


def count_rows(form: Mapping[str, str], *, more: bool = False) -> int:
    """Count the rows of steps that a form shows: those it has, and blank ones after the last.

    Examples
    --------
    >>> count_rows({}), count_rows({"kind_0": "pour"}), count_rows({"kind_2": ""}, more=True)
    (2, 3, 4)
    """
    shown = next((row + 1 for row in range(MOST_STEPS, -1, -1) if f"kind_{row}" in form), 0)
    used = next((row + 1 for row in range(shown, -1, -1) if _is_used(form, row)), 0)
    return min(MOST_STEPS, max(used + BLANK_ROWS, shown + more))


def _is_used(form: Mapping[str, str], row: int) -> bool:
    return any(form.get(f"{name}_{row}", "").strip() for name in ("kind", "at", "scale", "says"))
