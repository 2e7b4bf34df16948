"""What is wrong with a card, and where, in words for whoever wrote it."""

from collections.abc import Iterator
from typing import Any, NamedTuple

from pydantic import ValidationError

ROWS = {
    "attributes": "attribute",
    "words": "word",
    "levels": "level",
    "passes": "pass",
    "steps": "step",
}
SENTENCES = {
    "missing": "is missing",
    "extra_forbidden": "is not known here",
    "string_type": "must be text",
    "string_pattern_mismatch": (
        "must begin with a small letter and hold small letters, digits and hyphens only, at most 40"
    ),
    "string_too_long": "must have at most {max_length} characters",
    "string_too_short": "must not be empty",
    "string_unicode": "holds characters that are none",
    "json_invalid": "holds characters or numbers that JSON does not have",
    "int_type": "must be a whole number",
    "int_from_float": "must be a whole number",
    "bool_type": "must be true or false",
    "tuple_type": "must be a list",
    "too_short": "must hold at least {min_length}",
    "too_long": "must hold at most {max_length}",
    "literal_error": "must be {expected}",
    "enum": "must be {expected}",
    "union_tag_invalid": "must be of a kind there is: {expected_tags}",
    "union_tag_not_found": "must say its kind",
    "greater_than": "must be above {gt}",
    "greater_than_equal": "must be at least {ge}",
    "less_than_equal": "must be at most {le}",
    "decimal_type": "must be a number",
    "decimal_parsing": "must be a number",
    "finite_number": "must be a number",
    "decimal_max_places": "must have at most {decimal_places} decimals",
    "decimal_max_digits": "must have at most {max_digits} digits",
    "decimal_whole_digits": "must have at most {whole_digits} digits before the point",
    "value_error": "{error}",
}
OBJECT = "must be an object with members"


class Problem(NamedTuple):
    """One thing that is wrong.

    Attributes
    ----------
    place : tuple of str or int
        The way to it, such as ``("attributes", 2, "scale", "low")``, counted from 0.
    message : str
        What must be otherwise, without subject.

    Examples
    --------
    >>> str(Problem(("attributes", 2, "scale", "low"), "must not be empty"))
    'attribute 3, scale, low: must not be empty'
    """

    place: tuple[str | int, ...]
    message: str

    def __str__(self) -> str:
        """Say where and what."""
        where = ", ".join(_name_parts(self.place))
        return f"{where}: {self.message}" if where else self.message


def list_problems(error: ValidationError) -> tuple[Problem, ...]:
    """List what is wrong with a sheet, or a part of one, that could not be read.

    Parameters
    ----------
    error : ValidationError
        As pydantic raised it for one of the models of a sheet.

    Returns
    -------
    tuple of Problem
        One or more, in the order of the sheet. What is wrong only because a part of it
        is wrong is left out.

    Examples
    --------
    >>> from server.sheets.scales.line import Line
    >>> try:
    ...     Line(low="none", high="")
    ... except ValidationError as error:
    ...     [str(one) for one in list_problems(error)]
    ['high: must not be empty']
    """
    found = error.errors(include_url=False, include_input=False)
    ways = [one["loc"] for one in found]
    return tuple(
        Problem(_drop_kinds(one["loc"]), _say(one))
        for one in found
        if not any(
            len(way) > len(one["loc"]) and way[: len(one["loc"])] == one["loc"] for way in ways
        )
    )


def _say(error: Any) -> str:
    known = SENTENCES.get(error["type"], OBJECT)
    return known.format(**error.get("ctx", {}))


def _drop_kinds(place: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """Leave out the name of the kind, which stands after ``scale`` but is no member."""
    return tuple(part for at, part in enumerate(place) if at == 0 or place[at - 1] != "scale")


def _name_parts(place: tuple[str | int, ...]) -> Iterator[str]:
    row = ""
    for part in place:
        if isinstance(part, int):
            yield f"{row} {part + 1}"
        elif part in ROWS:
            row = ROWS[part]
        else:
            yield part
    if place and place[-1] in ROWS:
        yield str(place[-1])
