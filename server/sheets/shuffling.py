"""Orders that every seat has to itself, drawn from an id that was drawn at random."""

import hashlib
from collections.abc import Iterable

from server.sheets.scales.base import Analysis
from server.sheets.scales.tick_all import TickAll
from server.sheets.sheet import Attribute, Sheet, is_own

STAYING = (Analysis.RANKS, Analysis.TEXT)
"""What keeps its place on a shuffled sheet: it looks back on the rest."""


def shuffle(things: Iterable[str], seed: str) -> tuple[str, ...]:
    """Return things in an order that follows from a seed and nothing else.

    Parameters
    ----------
    things : iterable of str
        All different.
    seed : str
        For seeds drawn at random every order is as likely as any.

    Returns
    -------
    tuple of str

    Notes
    -----
    In the order of SHA-256 of seed and thing. Adding or leaving out a thing does not
    change the order of the others, and it matters not in which order they come in.

    Examples
    --------
    >>> shuffle(["sweet", "bitter", "sour"], "7")
    ('sour', 'bitter', 'sweet')
    """
    return tuple(sorted(things, key=lambda thing: _digest(f"{seed}\0{thing}")))


def order_attributes(sheet: Sheet, seed: str) -> tuple[Attribute, ...]:
    """Return the attributes as one seat meets them.

    Parameters
    ----------
    sheet : Sheet
    seed : str
        The id of the seat's serving: sealed, and drawn before anything was known of the key.

    Returns
    -------
    tuple of Attribute
        As on the sheet if that is not shuffled. Rankings, comments and personal words keep
        their places.
    """
    if not sheet.shuffled:
        return sheet.attributes
    moving = {one.name: one for one in sheet.attributes if _moves(one)}
    order = iter(shuffle(moving, f"{seed}\0attributes"))
    return tuple(moving[next(order)] if one.name in moving else one for one in sheet.attributes)


def order_words(attribute: Attribute, seed: str) -> tuple[tuple[int, str], ...]:
    """Return the words of a tick-all as one seat meets them, the same for all its codes.

    Parameters
    ----------
    attribute : Attribute
        Its scale has words to tick.
    seed : str
        The id of the seat's serving.

    Returns
    -------
    tuple of (int, str)
        Number of the word on the sheet, from 0, which is its sub-field; and the word.

    Raises
    ------
    ValueError
        If the scale has no words to tick.
    """
    scale = attribute.scale
    if not isinstance(scale, TickAll):
        raise ValueError(f"attribute must have words to tick, not a scale of kind {scale.kind!r}")
    numbers = {word: number for number, word in enumerate(scale.words)}
    order = shuffle(numbers, f"{seed}\0words\0{attribute.name}")
    return tuple((numbers[word], word) for word in order)


def _moves(attribute: Attribute) -> bool:
    return attribute.scale.analysis not in STAYING and not is_own(attribute)


def _digest(text: str) -> bytes:
    return hashlib.sha256(text.encode()).digest()
