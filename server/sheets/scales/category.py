"""Words in order, one to choose."""

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from server.sheets.scales.base import Analysis
from server.sheets.scales.word_row import WordRow
from server.sheets.text import Words


class Category(WordRow):
    """Words in order, one to choose; the first is number 0.

    Attributes
    ----------
    words : tuple of str
        2 to 15, from least to most.
    equal_steps : bool
        Whether whoever wrote the sheet declares the steps equal: only then do means of
        their numbers mean anything.

    Examples
    --------
    >>> words = Category(words=("none", "weak", "clear", "strong"))
    >>> words.parse({"": "2"}, ()), words.describe(2), words.to_number(2)
    (2, 'clear', None)
    >>> words.model_copy(update={"equal_steps": True}).to_number(2)
    2.0
    """

    TITLE: ClassVar[str] = "One of several words, in order"
    ADVICE: ClassVar[str] = (
        "Words are an order. Declare the steps equal only if the panel uses them so: then they "
        "count as numbers."
    )

    kind: Literal["category"] = "category"
    words: Annotated[Words, Field(min_length=2, max_length=15)]
    equal_steps: bool = False

    @property
    def lowest(self) -> int:
        """Number of the first word."""
        return 0

    @property
    def analysis(self) -> Analysis:
        """Numbers if the steps are equal, otherwise an order."""
        return Analysis.NUMBERS if self.equal_steps else Analysis.ORDERED
