"""How different a sample is from a control that stands by."""

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from server.sheets.scales.base import Analysis
from server.sheets.scales.word_row import WordRow
from server.sheets.text import Label, Words


class Control(WordRow):
    """Size of the difference from a control; the first word, number 0, is none.

    Attributes
    ----------
    control : str
        How the control is called on the table.
    words : tuple of str
        2 to 15, from no difference to the largest.

    Examples
    --------
    >>> scale = Control(control="the open cup", words=("none", "slight", "clear", "large"))
    >>> scale.parse({"": "1"}, ()), scale.to_number(1)
    (1, 1.0)
    """

    TITLE: ClassVar[str] = "Difference from a control"
    ADVICE: ClassVar[str] = (
        "Put the control on the table a second time under a code: people find differences from "
        "an open control even where there are none. Samples are compared with that blind one."
    )

    kind: Literal["control"] = "control"
    control: Label
    words: Annotated[Words, Field(min_length=2, max_length=15)]

    @property
    def lowest(self) -> int:
        """Number of the first word."""
        return 0

    @property
    def analysis(self) -> Analysis:
        """Where the values go."""
        return Analysis.NUMBERS
