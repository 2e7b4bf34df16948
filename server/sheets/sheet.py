"""A score sheet: what is asked of every sample or cup, and on which scale."""

from collections.abc import Sequence
from typing import Annotated, Literal

from pydantic import Field, StringConstraints, field_validator, model_validator

from server.blinding.plain import Frozen
from server.sheets.scales.base import N_, InvalidValue, Scope
from server.sheets.scales.line import Line
from server.sheets.scales.registry import Scale
from server.sheets.text import Label, Passage, Word, check_different, join_line

PASSES = ("dry", "crust", "break", "hot", "warm", "cool")
"""Passes over a table, in order."""

LONGEST_OWN_WORD = 40
OWN = "own-"
OWN_TWICE = N_("You have this word already.")
OWN_LONG = N_("Keep a word to 40 characters.")
OWN_MANY = N_("There are no more places for words.")

Pass = Literal["dry", "crust", "break", "hot", "warm", "cool"]
Name = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9-]{0,39}$")]


class Attribute(Frozen):
    """One thing that is asked.

    Attributes
    ----------
    name
        Of its values, in files and in the analysis: small letters, digits, hyphens.
    label
        What people read.
    definition
        What is meant, in a sentence; may be empty.
    reference
        What shows it, to be made at a bench; may be empty.
    scope
        ``cup``: every bowl has a value of its own; ``sample``: one for all under a code.
    passes
        When it is asked; empty if whenever.
    required
        Whether a seat can lock its table without it.
    scale
        One of the kinds in `scales.registry`.
    """

    name: Name
    label: Label
    definition: Passage = ""
    reference: Passage = ""
    scope: Scope = "sample"
    passes: tuple[Pass, ...] = ()
    required: bool = True
    scale: Scale

    @field_validator("name")
    @classmethod
    def _keep_own_free(cls, name: str) -> str:
        if name.startswith(OWN):
            raise ValueError(f'must not begin with "{OWN}": such names are for personal words')
        return name

    @field_validator("passes")
    @classmethod
    def _check_passes(cls, passes: tuple[Pass, ...]) -> tuple[Pass, ...]:
        if list(passes) != [one for one in PASSES if one in passes]:
            raise ValueError(f"must come once each, in this order: {', '.join(PASSES)}")
        return passes

    @model_validator(mode="after")
    def _check_scope(self) -> "Attribute":
        if self.scope not in self.scale.SCOPES:
            raise ValueError(
                f'scope must be "{self.scale.SCOPES[0]}" with a scale of kind "{self.scale.kind}"'
            )
        return self

    @property
    def times(self) -> tuple[str, ...]:
        """Its passes; ("",) if it is asked whenever."""
        return self.passes or ("",)


class Sheet(Frozen):
    """A score sheet.

    Nothing adds its values up: an attribute is analysed by itself, and a defect is counted.

    Attributes
    ----------
    title
        For people.
    version
        From 1; a sheet that has been used never changes, its next version does.
    attributes
        1 to 40, in order.
    shuffled
        Whether every seat meets the attributes in an order of its own.
    own_words
        Empty places that a seat fills with words of its own before its first cup, 0 to 10.
    own_low, own_high
        Ends of the line on which such a word is scored.

    Examples
    --------
    >>> sweet = Attribute(name="sweet", label="Sweet", scale=Line(low="none", high="strong"))
    >>> Sheet(title="Morning", attributes=(sweet,)).passes
    ('',)
    """

    title: Label
    version: Annotated[int, Field(ge=1, le=9999)] = 1
    attributes: Annotated[tuple[Attribute, ...], Field(min_length=1, max_length=40)]
    shuffled: bool = False
    own_words: Annotated[int, Field(ge=0, le=10)] = 0
    own_low: Word = "none"
    own_high: Word = "very strong"

    @field_validator("attributes")
    @classmethod
    def _check_names(cls, attributes: tuple[Attribute, ...]) -> tuple[Attribute, ...]:
        for texts in ([one.name for one in attributes], [one.label for one in attributes]):
            check_different(texts)
        return attributes

    @property
    def passes(self) -> tuple[str, ...]:
        """Passes that anything is asked in, in order; last an empty one for all the rest."""
        asked = {time for one in self.attributes for time in one.times}
        return tuple(one for one in (*PASSES, "") if one in asked)

    def find_attribute(self, name: str) -> Attribute | None:
        """Return the attribute of that name."""
        return next((one for one in self.attributes if one.name == name), None)


def check_words(sheet: Sheet, words: Sequence[str]) -> tuple[str, ...]:
    """Return the personal words of a seat, tidied, empty ones left out.

    Parameters
    ----------
    sheet : Sheet
    words : sequence of str
        One a place, as they were sent.

    Returns
    -------
    tuple of str

    Raises
    ------
    InvalidValue
        If there are more than places, one is too long, or one is there twice; its field is
        the place of the word, from 0.

    Examples
    --------
    >>> sweet = Attribute(name="sweet", label="Sweet", scale=Line(low="none", high="strong"))
    >>> check_words(Sheet(title="Morning", attributes=(sweet,), own_words=3), [" wet  hay", ""])
    ('wet hay',)
    """
    seen: list[str] = []
    for place, word in enumerate(map(join_line, words)):
        if len(word) > LONGEST_OWN_WORD:
            raise InvalidValue(str(place), OWN_LONG)
        if word.casefold() in map(str.casefold, seen):
            raise InvalidValue(str(place), OWN_TWICE)
        if word and len(seen) == sheet.own_words:
            raise InvalidValue(str(place), OWN_MANY)
        seen += [word] if word else []
    return tuple(seen)


def add_words(sheet: Sheet, words: Sequence[str]) -> Sheet:
    """Return the sheet as one seat scores it: its personal words are attributes at the end.

    Parameters
    ----------
    sheet : Sheet
    words : sequence of str
        As `check_words` returns them.

    Returns
    -------
    Sheet
        With required lines named ``own-1``, ``own-2``, ... after all others.

    Examples
    --------
    >>> sweet = Attribute(name="sweet", label="Sweet", scale=Line(low="none", high="strong"))
    >>> mine = add_words(Sheet(title="Morning", attributes=(sweet,), own_words=3), ["wet hay"])
    >>> [(one.name, one.label) for one in mine.attributes]
    [('sweet', 'Sweet'), ('own-1', 'wet hay')]
    """
    own = (
        Attribute.model_construct(
            name=f"{OWN}{number}", label=word, scale=Line(low=sheet.own_low, high=sheet.own_high)
        )
        for number, word in enumerate(words, 1)
    )
    return sheet.model_copy(update={"attributes": (*sheet.attributes, *own)})


def keep_words(sheet: Sheet) -> Sheet | None:
    """Return the personal words of a seat's sheet alone; None if there are none.

    Parameters
    ----------
    sheet : Sheet
        As `add_words` returns it.

    Returns
    -------
    Sheet or None

    Examples
    --------
    >>> sweet = Attribute(name="sweet", label="Sweet", scale=Line(low="none", high="strong"))
    >>> mine = add_words(Sheet(title="Morning", attributes=(sweet,), own_words=3), ["wet hay"])
    >>> [one.label for one in keep_words(mine).attributes]
    ['wet hay']
    """
    own = tuple(one for one in sheet.attributes if is_own(one))
    return sheet.model_copy(update={"attributes": own}) if own else None


def is_own(attribute: Attribute) -> bool:
    """Tell whether an attribute is a personal word of one seat."""
    return attribute.name.startswith(OWN)
