"""Words on a sheet and from an assessor: one line, tidy, nothing that cannot be printed."""

import unicodedata
from collections.abc import Sequence
from typing import Annotated

from pydantic import AfterValidator, StringConstraints

UNSTORABLE = ("Cc", "Cs")  # control characters and halves of surrogate pairs
LONGEST_LABEL = 80
LONGEST_WORD = 60
LONGEST_PASSAGE = 500


def join_line(text: str) -> str:
    r"""Return text on one line, with single spaces and without control characters.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Examples
    --------
    >>> join_line(" a little\n  flat ")
    'a little flat'
    """
    return " ".join("".join(map(_space, text)).split())


def tidy_lines(text: str) -> str:
    r"""Return text with its lines kept, without control characters and space around it.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Examples
    --------
    >>> tidy_lines(" flat,\r\na bit dusty\x07 ")
    'flat,\na bit dusty'
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", " ")
    return "\n".join("".join(map(_space, line)) for line in lines.split("\n")).strip()


def check_different(words: Sequence[str]) -> None:
    """Refuse words of which two read the same, whatever their case.

    Parameters
    ----------
    words : sequence of str

    Raises
    ------
    ValueError
        If a word is there twice; it is named.

    Examples
    --------
    >>> check_different(["sweet", "Sweet"])
    Traceback (most recent call last):
    ValueError: "Sweet" is there twice
    """
    seen: set[str] = set()
    for word in words:
        if word.casefold() in seen:
            raise ValueError(f'"{word}" is there twice')
        seen.add(word.casefold())


def _space(character: str) -> str:
    if character.isspace():
        return " "
    return "" if unicodedata.category(character) in UNSTORABLE else character


def _fill(text: str) -> str:
    if not text:
        raise ValueError("must not be empty")
    return text


def _different(words: tuple[str, ...]) -> tuple[str, ...]:
    check_different(words)
    return words


Word = Annotated[
    str,
    AfterValidator(join_line),
    StringConstraints(max_length=LONGEST_WORD),
    AfterValidator(_fill),
]
"""One of several to choose from, or one end of a scale: 1 to 60 characters."""

Hint = Annotated[str, AfterValidator(join_line), StringConstraints(max_length=LONGEST_WORD)]
"""A word, or nothing: up to 60 characters."""

Label = Annotated[
    str,
    AfterValidator(join_line),
    StringConstraints(max_length=LONGEST_LABEL),
    AfterValidator(_fill),
]
"""A name for people: 1 to 80 characters."""

Passage = Annotated[str, AfterValidator(join_line), StringConstraints(max_length=LONGEST_PASSAGE)]
"""A sentence or two, or nothing: up to 500 characters."""

Words = Annotated[tuple[Word, ...], AfterValidator(_different)]
"""Words that all read differently."""
