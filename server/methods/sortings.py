"""Which cups are put together, by where they stand: in an answer, and by what was served."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from server.methods.base import Method
from server.methods.served import group_codes

NAMED = ("pairs", "pair")
"""Members of an answer's body that name cups that go together."""


def tell_sorting(answer: Mapping[str, Any], codes: Sequence[str]) -> str:
    """Return the positions, from 1 at the left, of the cups that an answer puts together.

    Empty where an answer puts none together.

    Examples
    --------
    >>> tell_sorting({"pairs": "587 936 / 263 412"}, ["412", "587", "936", "263"])
    '1+4 2+3'
    >>> tell_sorting({"pick": "412"}, ["412", "587"])
    ''
    """
    text = next((str(answer[name]) for name in NAMED if name in answer), "")
    known = {code: place for place, code in enumerate(codes, 1)}
    return _write([known[code] for code in two.split() if code in known] for two in text.split("/"))


def find_sorting(method: Method, order: str) -> str:
    """Return the positions of the cups that go together in an order; empty if one is picked.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> find_sorting(get_method("tetrad"), "ABBA")
    '1+4 2+3'
    >>> find_sorting(get_method("two-out-of-five"), "ABBBA")
    '1+5'
    """
    places = [str(place) for place in range(1, len(order) + 1)]
    groups = [sorted(map(int, group)) for group in group_codes(order, places).values()]
    if method.form == "two_pairs":
        return _write(groups)
    return _write([min(groups, key=len)]) if method.form == "two_alike" else ""


def _write(groups: Iterable[Sequence[int]]) -> str:
    return " ".join("+".join(map(str, sorted(group))) for group in sorted(groups, key=sorted))
