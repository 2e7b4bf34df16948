"""What a kind of response scale must offer; a new one is a file, a template, a registry line."""

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar, Literal

from server.blinding.plain import Frozen

Json = Any
"""A plain JSON value: what a scale keeps of an answer."""

Scope = Literal["cup", "sample"]
"""Whether every bowl has a value, or all bowls under a code have one together."""


def N_(message: str) -> str:
    """Mark a message for translation where it is written; it is translated where it is shown.

    Examples
    --------
    >>> N_("Choose one of the words.")
    'Choose one of the words.'
    """
    return message


class InvalidValue(ValueError):
    """A value that the scale cannot take.

    Attributes
    ----------
    field : str
        Sub-field at fault, as in `Kind.list_fields`; empty for the field itself.
    message : str
        What to do about it, for the assessor; to be translated.

    Examples
    --------
    >>> InvalidValue("word", "Choose a word.").message
    'Choose a word.'
    """

    def __init__(self, field: str, message: str) -> None:
        super().__init__(f"{field}: {message}" if field else message)
        self.field = field
        self.message = message


class Analysis(StrEnum):
    """Where the values of a scale go."""

    NUMBERS = "numbers"  # means and analysis of variance
    LIKING = "liking"  # the same, but of people who stand for drinkers, not of a trained panel
    ORDERED = "ordered"  # words in order, steps not equal: medians and ranks
    SIDES = "sides"  # too little, right, too much: shares of each
    TICKS = "ticks"  # words ticked or not
    DEFECTS = "defects"  # cups with a defect, of all cups
    RANKS = "ranks"  # the samples in an order
    TEXT = "text"  # kept and shown, never counted


@dataclass(frozen=True)
class Paper:
    """How a scale looks on paper, in black on white.

    Attributes
    ----------
    shape : str
        ``line``: a line to cross; ``boxes``: one box a word; ``number``: room for a number;
        ``flag``: a box, then boxes for how strong, then room for a word; ``places``: room for
        the place of every code; ``text``: empty lines.
    words : tuple of str
        Ends of the line, words beside the boxes, or first and last place.
    several : bool
        Whether more than one box may be ticked.
    millimetres : int
        Length of the line; 0 without one.
    choices : tuple of str
        Words to choose from for a flag.
    """

    shape: Literal["line", "boxes", "number", "flag", "places", "text"]
    words: tuple[str, ...] = ()
    several: bool = False
    millimetres: int = 0
    choices: tuple[str, ...] = ()


class Kind(Frozen, ABC):
    """A response scale.

    A kind adds a literal ``kind``, what the sheet's author fills in, and the methods below.
    A value is plain JSON; where nothing was said there is none.

    Attributes
    ----------
    TITLE : str
        Name for whoever builds a sheet.
    ADVICE : str
        What to know before using it; empty if nothing.
    SCOPES : tuple of {"cup", "sample"}
        What it may be asked of.
    WHOLE : bool
        Whether one value is about all codes of the table together.

    References
    ----------
    ISO 4121:2003, Sensory analysis - Guidelines for the use of quantitative response
    scales. Known to us by its headings alone: kinds of response scale, among them
    unipolar and bipolar, continuous and discrete, numerical and verbal ones.
    """

    TITLE: ClassVar[str]
    ADVICE: ClassVar[str] = ""
    SCOPES: ClassVar[tuple[Scope, ...]] = ("sample", "cup")
    WHOLE: ClassVar[bool] = False

    @property
    @abstractmethod
    def analysis(self) -> Analysis:
        """Where the values go."""

    @property
    def numeric(self) -> bool:
        """Whether `to_number` gives a number for every complete value."""
        return self.analysis in (Analysis.NUMBERS, Analysis.LIKING)

    def list_fields(self, codes: Sequence[str]) -> tuple[str, ...]:
        """List the sub-fields a form has for one value; empty is the field itself.

        Parameters
        ----------
        codes : sequence of str
            Codes of the table, for a scale that is about all of them.
        """
        del codes
        return ("",)

    def parse(self, fields: Mapping[str, str], codes: Sequence[str]) -> Json | None:
        """Return the value of a form.

        Parameters
        ----------
        fields : mapping of str to str
            Sub-field to what was sent. All fields of a value are sent together.
        codes : sequence of str
            Codes of the table.

        Returns
        -------
        JSON or None
            None if nothing is said: whatever was there is taken back.

        Raises
        ------
        InvalidValue
            If it cannot be.
        """
        value = self._read({name: text.strip() for name, text in fields.items()})
        if value is not None:
            self.check(value, codes)
        return value

    @abstractmethod
    def _read(self, fields: Mapping[str, str]) -> Json | None:
        """Turn text into JSON, unchecked; None if nothing is said."""

    @abstractmethod
    def check(self, value: Json, codes: Sequence[str]) -> None:
        """Refuse a value that this scale cannot have.

        Raises
        ------
        InvalidValue
            If it is not complete or partial as `parse` gives it.
        """

    @abstractmethod
    def fill(self, value: Json) -> dict[str, str]:
        """Return the fields from which `parse` makes this value."""

    def fill_paper(self, value: Json) -> dict[str, str]:
        """Return the fields of a value as they are typed from paper; `parse` reads them too."""
        return self.fill(value)

    def find_gap(self, value: Json, codes: Sequence[str]) -> str | None:
        """Return what is still to be said in a value begun, to be translated."""
        del value, codes
        return None

    @abstractmethod
    def describe(self, value: Json) -> str:
        """Say a value in the words of the sheet; a sentence of ours is to be translated."""

    def to_number(self, value: Json) -> float | None:
        """Return the number for the analysis; None if this scale has none."""
        del value
        return None

    @property
    @abstractmethod
    def paper(self) -> Paper:
        """How it looks on paper."""


def read_whole(field: str, text: str, message: str) -> int:
    """Return a whole number.

    Parameters
    ----------
    field, message : str
        Of the refusal.
    text : str
        Digits, with or without a minus.

    Raises
    ------
    InvalidValue
        If it is anything else.

    Examples
    --------
    >>> read_whole("", "-2", "Choose one of the words.")
    -2
    """
    digits = text.removeprefix("-")
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 6):
        raise InvalidValue(field, message)
    return int(text)
