"""Files of cards that are handed on: strict JSON with a format, and what is wrong with one."""

import json
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from server.sheets.problems import Problem


class BadCard(ValueError):
    """The JSON is no card of this kind.

    Attributes
    ----------
    problems : tuple of Problem
        What is wrong and where, one or more.

    Examples
    --------
    >>> str(BadCard([Problem(("title",), "is missing")]))
    'title: is missing'
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(map(str, self.problems)))


class CardKind(NamedTuple):
    """A kind of card: what its file says it is, and what people call it."""

    format: str
    format_no: int
    what: str
    largest: int


def write_members(kind: CardKind, members: Mapping[str, Any]) -> dict[str, Any]:
    """Return a card as plain JSON, its format beside its members."""
    return {"format": kind.format, "format_no": kind.format_no} | dict(members)


def read_members(kind: CardKind, data: object) -> dict[str, Any]:
    """Return the members of a card without its format.

    Raises
    ------
    BadCard
        It is none of this kind.
    """
    if not isinstance(data, Mapping):
        raise BadCard([Problem((), f"this is no {kind.what}: it must be an object with members")])
    if data.get("format") != kind.format:
        raise BadCard([Problem(("format",), f"this is no {kind.what} of Oddcup")])
    number = data.get("format_no")
    if type(number) is not int or number != kind.format_no:
        raise BadCard(
            [Problem(("format_no",), f"only format number {kind.format_no} is known here")]
        )
    return {name: one for name, one in data.items() if name not in ("format", "format_no")}


def read_file(kind: CardKind, text: bytes) -> object:
    """Read the JSON of a file; its members may stand in any order, with any white space.

    Raises
    ------
    BadCard
        It is too long, no JSON, or says a member twice; it says where.
    """
    if len(text) > kind.largest:
        raise BadCard(
            [Problem((), f"this is no {kind.what}: it is longer than {kind.largest:,} bytes")]
        )
    try:
        return json.loads(
            text.decode("utf-8-sig"), object_pairs_hook=_read_pairs, parse_constant=_refuse
        )
    except json.JSONDecodeError as error:
        place = (f"line {error.lineno}", f"character {error.colno}")
        raise BadCard([Problem(place, "this is no JSON, or a piece is missing")]) from None
    except UnicodeDecodeError as error:
        raise BadCard([Problem((f"byte {error.start + 1}",), "this is no UTF-8")]) from None
    except RecursionError:
        raise BadCard([Problem((), f"this is no {kind.what}: it is nested too deeply")]) from None
    except BadCard:
        raise
    except ValueError:
        raise BadCard([Problem((), f"this is no {kind.what}: it holds a huge number")]) from None


def _read_pairs(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members: dict[str, Any] = {}
    for name, value in pairs:
        if name in members:
            raise BadCard([Problem((name[:40],), "is there twice")])
        members[name] = value
    return members


def _refuse(constant: str) -> None:
    raise BadCard([Problem((constant,), "is no JSON")])
