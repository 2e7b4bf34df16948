"""A sheet as JSON: what is sealed with a tasting, and the file that is handed on."""

import json
from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from server.blinding.seal import canonical
from server.sheets.problems import Problem, list_problems
from server.sheets.sheet import Sheet

FORMAT, FORMAT_NO = "oddcup sheet", 1
LARGEST = 500_000


class BadSheet(ValueError):
    """The JSON is no sheet.

    Attributes
    ----------
    problems : tuple of Problem
        What is wrong and where, one or more.

    Examples
    --------
    >>> str(BadSheet([Problem(("title",), "is missing")]))
    'title: is missing'
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(map(str, self.problems)))


def write_sheet(sheet: Sheet) -> dict[str, Any]:
    """Return a sheet as plain JSON.

    Parameters
    ----------
    sheet : Sheet

    Returns
    -------
    dict
        With its format beside its members; numbers that matter are decimal strings.
    """
    return {"format": FORMAT, "format_no": FORMAT_NO} | sheet.model_dump(mode="json")


def read_sheet(data: object) -> Sheet:
    """Return the sheet that plain JSON says.

    Parameters
    ----------
    data : object
        As `write_sheet` returns it, or as it comes out of a file.

    Returns
    -------
    Sheet

    Raises
    ------
    BadSheet
        If it is none, or not one of ours.

    Examples
    --------
    >>> read_sheet({"format": "shopping list"})
    Traceback (most recent call last):
    server.sheets.cards.BadSheet: format: this is no score sheet of Oddcup
    """
    if not isinstance(data, Mapping):
        raise BadSheet([Problem((), "this is no score sheet: it must be an object with members")])
    if data.get("format") != FORMAT:
        raise BadSheet([Problem(("format",), "this is no score sheet of Oddcup")])
    number = data.get("format_no")
    if type(number) is not int or number != FORMAT_NO:
        raise BadSheet([Problem(("format_no",), f"only format number {FORMAT_NO} is known here")])
    members = {name: one for name, one in data.items() if name not in ("format", "format_no")}
    try:
        return Sheet.model_validate_json(json.dumps(members), strict=True)
    except ValidationError as error:
        raise BadSheet(list_problems(error)) from None


def export_sheet(sheet: Sheet) -> bytes:
    """Return the file of a sheet: the one canonical JSON text that stands for it.

    Parameters
    ----------
    sheet : Sheet

    Returns
    -------
    bytes

    References
    ----------
    RFC 8785, JSON Canonicalization Scheme, 2020.
    """
    return canonical(write_sheet(sheet))


def import_sheet(text: bytes) -> Sheet:
    """Read the file of a sheet; its members may stand in any order, with any white space.

    Parameters
    ----------
    text : bytes

    Returns
    -------
    Sheet

    Raises
    ------
    BadSheet
        If it is too long, no JSON, or no sheet; it says where.

    Examples
    --------
    >>> import_sheet(b'{"format": "oddcup sheet",')
    Traceback (most recent call last):
    server.sheets.cards.BadSheet: line 1, character 27: this is no JSON, or a piece is missing
    """
    if len(text) > LARGEST:
        raise BadSheet(
            [Problem((), f"this is no score sheet: it is longer than {LARGEST:,} bytes")]
        )
    try:
        data = json.loads(
            text.decode("utf-8-sig"), object_pairs_hook=_read_members, parse_constant=_refuse
        )
    except json.JSONDecodeError as error:
        place = (f"line {error.lineno}", f"character {error.colno}")
        raise BadSheet([Problem(place, "this is no JSON, or a piece is missing")]) from None
    except UnicodeDecodeError as error:
        raise BadSheet([Problem((f"byte {error.start + 1}",), "this is no UTF-8")]) from None
    except RecursionError:
        raise BadSheet([Problem((), "this is no score sheet: it is nested too deeply")]) from None
    except BadSheet:
        raise
    except ValueError:
        raise BadSheet([Problem((), "this is no score sheet: it holds a huge number")]) from None
    return read_sheet(data)


def _read_members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members: dict[str, Any] = {}
    for name, value in pairs:
        if name in members:
            raise BadSheet([Problem((name[:40],), "is there twice")])
        members[name] = value
    return members


def _refuse(constant: str) -> None:
    raise BadSheet([Problem((constant,), "is no JSON")])
