"""Too little, just about right, too much."""

from typing import Annotated, ClassVar, Literal

from pydantic import AfterValidator, Field

from server.sheets.scales.base import Analysis
from server.sheets.scales.word_row import WordRow
from server.sheets.text import Words


def _check_middle(words: tuple[str, ...]) -> tuple[str, ...]:
    if len(words) % 2 == 0:
        raise ValueError("must be an odd number, so that one is in the middle")
    return words


class Right(WordRow):
    """Words from too little to too much; the one in the middle, number 0, is just about right.

    Attributes
    ----------
    words : tuple of str
        3, 5 or 7.

    Examples
    --------
    >>> scale = Right(words=("too thin", "just about right", "too heavy"))
    >>> scale.choices
    ((-1, 'too thin'), (0, 'just about right'), (1, 'too heavy'))
    """

    TITLE: ClassVar[str] = "Too little, just about right, too much"
    ADVICE: ClassVar[str] = (
        "It asks how strong and how good at once: for people who stand for drinkers, not for a "
        "trained panel."
    )

    kind: Literal["right"] = "right"
    words: Annotated[Words, Field(min_length=3, max_length=7), AfterValidator(_check_middle)]

    @property
    def lowest(self) -> int:
        """Number of the first word."""
        return -(len(self.words) // 2)

    @property
    def analysis(self) -> Analysis:
        """Where the values go."""
        return Analysis.SIDES
