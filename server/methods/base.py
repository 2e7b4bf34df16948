"""What a test method must offer; a new one is one file, its ballot and a registry line."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, Protocol

from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Sided = Literal["one", "two"]
NO_STANDARD = "none; common practice"
KNOWN_DIRECTION = "Needs tasters who can name beforehand what differs, and which way is more."
PICK_ONE = "pick_one"
"""The ballot on which one cup is picked; several methods share it."""
PREFER_ONE = "prefer_one"
PICKED = frozenset({PICK_ONE, PREFER_ONE})
"""Ballots on which one cup is picked, if any is."""
A_OR_NOT = "a_or_not"
ALIKE_OR_NOT = "alike_or_not"
YES_OR_NO = frozenset({A_OR_NOT, ALIKE_OR_NOT})
"""Ballots on which a serving is called one thing or the other."""
NEITHER = "neither"
"""What is picked by whoever picks no cup, where that is allowed."""
KNOWN_ATTRIBUTE = "Needs tasters who can name beforehand what differs, though not which way."


def N_(message: str) -> str:
    """Mark a message for translation where it is written; it is translated where it is shown.

    Examples
    --------
    >>> N_("Pick one cup.")
    'Pick one cup.'
    """
    return message


class InvalidAnswer(ValueError):
    """An answer that the method cannot take.

    Attributes
    ----------
    field : str
        Name of the form field at fault.
    message : str
        What to do about it, for the assessor; to be translated.

    Examples
    --------
    >>> InvalidAnswer("pick", "Pick one cup.").field
    'pick'
    """

    def __init__(self, field: str, message: str) -> None:
        super().__init__(f"{field}: {message}")
        self.field = field
        self.message = message


class Named(Protocol):
    """What every method has: a name, a standard, a model of guessing."""

    @property
    def name(self) -> str:
        """Key in the registry, stored with a tasting."""
        ...

    @property
    def title(self) -> str:
        """Name for people; to be translated."""
        ...

    @property
    def standard(self) -> str:
        """Published standard that describes the method."""
        ...

    @property
    def model(self) -> ForcedChoice:
        """Guessing and d′ of the method."""
        ...

    @property
    def sided(self) -> Sided:
        """Whether only many correct answers count against guessing, or few as well."""
        ...

    @property
    def cups(self) -> int:
        """Cups in a serving, a reference among them."""
        ...

    @property
    def needs(self) -> str:
        """What it asks of tasters; empty if nothing particular."""
        ...


class Counted(Named, Protocol):
    """A method whose answers are counted: each is correct or not, or for one of two samples."""

    def decide(self, percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
        """Tell which answers of an ideal taster are correct.

        Parameters
        ----------
        percepts : ndarray of float, shape (..., cups)
            What each cup tastes like on one scale, the cups in the order of
            their roles as the method states it, not in that of serving.

        Returns
        -------
        ndarray of bool, shape (...)
            Whether the answer is correct. A tie between what the rule compares
            is not; percepts on a continuous scale have none.

        Raises
        ------
        ValueError
            If the last axis does not hold as many cups as the method has.
        """
        ...


class Method(Named, Protocol):
    """A way of serving cups, asking about them and judging the answer."""

    @property
    def orders(self) -> tuple[str, ...]:
        """Full set of serving orders: a letter a cup, left to right.

        The letters are sample levels. Where the question names an attribute, a plan says
        which sample has more of it, and whoever judges calls that one ``B`` (`is_correct`).
        """
        ...

    @property
    def reference(self) -> bool:
        """Whether the left cup is an open reference, and no answer."""
        ...

    @property
    def serving(self) -> str:
        """What one serving is called, in the singular, such as ``triad``; for leaders."""
        ...

    @property
    def success(self) -> str:
        """What happened in a serving that was answered rightly, as a clause of a finding.

        It may hold ``{attribute}``.
        """
        ...

    @property
    def form(self) -> str:
        """Name of the ballot template, without folder and ending; methods may share one."""
        ...

    @property
    def question(self) -> str:
        """What every assessor is asked; neutral as to the samples; to be translated.

        It may hold ``{attribute}``: then the plan names what is asked for.
        """
        ...

    @property
    def verdict(self) -> str:
        """What an answer says, shown before it is locked; to be translated.

        It may hold ``{pick}`` and ``{attribute}``; of cups that go together ``{pair}`` and
        ``{rest}``.
        """
        ...

    @property
    def instruction(self) -> str:
        """How to taste and answer; neutral as to the samples; to be translated."""
        ...

    def parse_answer(self, form: Mapping[str, str], codes: Sequence[str]) -> dict[str, Any]:
        """Return the answer's body.

        Parameters
        ----------
        form : mapping of str to str
            Fields as they were sent.
        codes : sequence of str
            Codes of the serving, left to right.

        Returns
        -------
        dict
            Plain data for the record.

        Raises
        ------
        InvalidAnswer
            If a field is missing or not possible.
        """
        ...

    def is_correct(self, body: Mapping[str, Any], codes: Sequence[str], order: str) -> bool:
        """Tell whether an answer is correct.

        Parameters
        ----------
        body : mapping
            As `parse_answer` returned it.
        codes : sequence of str
            Codes of the serving, left to right.
        order : str
            One of `orders`: what stood in the cups, left to right. Of a question that
            names an attribute, ``B`` is the sample that was said to have more of it,
            whatever its level in the plan.

        Raises
        ------
        ValueError
            If `order` is none of the method's, or the codes do not fit it.
        """
        ...


class YesNo(Method, Protocol):
    """A method that serves one of two kinds, and asks which of them it is."""

    @property
    def first(self) -> frozenset[str]:
        """Orders of the first kind, to which the right answer is yes."""
        ...
