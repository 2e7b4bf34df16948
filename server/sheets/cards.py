"""A sheet as JSON: what is sealed with a tasting, and the file that is handed on."""

import json
from collections.abc import Callable
from typing import Any, TypeVar

from pydantic import ValidationError

from server.blinding.seal import canonical
from server.sheets.files import BadCard, CardKind, read_file, read_members, write_members
from server.sheets.problems import list_problems
from server.sheets.sheet import Sheet

T = TypeVar("T")
SHEET = CardKind("oddcup sheet", 1, "score sheet", 500_000)
LARGEST = SHEET.largest


class BadSheet(BadCard):
    """The JSON is no sheet."""


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
    return write_members(SHEET, sheet.model_dump(mode="json"))


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
    members = _as_sheet(lambda: read_members(SHEET, data))
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
    return read_sheet(_as_sheet(lambda: read_file(SHEET, text)))


def _as_sheet(read: Callable[[], T]) -> T:
    try:
        return read()
    except BadCard as error:
        raise BadSheet(error.problems) from None
