"""Words on a sheet and from an assessor: one line, tidy, nothing that cannot be printed."""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from pydantic import AfterValidator

UNSTORABLE = ("Cc", "Cs")  # control characters and halves of surrogate pairs


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


@dataclass(frozen=True)
class _Fit:
    """Tidies a line and refuses it if it is too long, or empty where it must not be."""

    longest: int
    empty: bool = False

    def __call__(self, text: str) -> str:
        line = join_line(text)
        if len(line) > self.longest:
            raise ValueError(f"must have at most {self.longest} characters")
        if not line and not self.empty:
            raise ValueError("must not be empty")
        return line


def _different(words: tuple[str, ...]) -> tuple[str, ...]:
    check_different(words)
    return words


Word = Annotated[str, AfterValidator(_Fit(60))]
"""One of several to choose from, or one end of a scale: 1 to 60 characters."""

Hint = Annotated[str, AfterValidator(_Fit(60, empty=True))]
"""A word, or nothing: up to 60 characters."""

Label = Annotated[str, AfterValidator(_Fit(80))]
"""A name for people: 1 to 80 characters."""

Passage = Annotated[str, AfterValidator(_Fit(500, empty=True))]
"""A sentence or two, or nothing: up to 500 characters."""

Words = Annotated[tuple[Word, ...], AfterValidator(_different)]
"""Words that all read differently."""
