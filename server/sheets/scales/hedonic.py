"""Liking in nine words."""

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from server.sheets.scales.base import Analysis
from server.sheets.scales.word_row import WordRow
from server.sheets.text import Words

NINE = (
    "dislike extremely",
    "dislike very much",
    "dislike moderately",
    "dislike slightly",
    "neither like nor dislike",
    "like slightly",
    "like moderately",
    "like very much",
    "like extremely",
)
"""The published words, least first (quoted from memory)."""


class Hedonic(WordRow):
    """Liking in nine words; number 1 is liked least.

    Attributes
    ----------
    words : tuple of str
        Nine. Words in another language are another scale, and numbers without words yet
        another: their values are not to be mixed.

    References
    ----------
    Peryam, D. R., & Pilgrim, F. J. (1957). Hedonic scale method of measuring food
    preferences. Food Technology, 11, 9-14 (from memory).

    Examples
    --------
    >>> Hedonic().describe(6), Hedonic().to_number(6)
    ('like slightly', 6.0)
    """

    TITLE: ClassVar[str] = "Liking, in nine words"
    ADVICE: ClassVar[str] = (
        "Liking needs many people who stand for drinkers. A few trained tasters cannot say what "
        "is liked."
    )

    kind: Literal["hedonic"] = "hedonic"
    words: Annotated[Words, Field(min_length=9, max_length=9)] = NINE

    @property
    def lowest(self) -> int:
        """Number of the first word."""
        return 1

    @property
    def analysis(self) -> Analysis:
        """Where the values go."""
        return Analysis.LIKING
