"""A line between two ends, to be marked anywhere."""

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import ClassVar, Literal

from server.sheets.scales.base import N_, Analysis, InvalidValue, Json, Kind, Paper, read_whole
from server.sheets.text import Hint, Word

LENGTH = 1000
MILLIMETRES = 150
OFF_THE_LINE = N_("That place is not on the line. Mark it again.")
MEASURE = re.compile(r"[0-9]{1,3}([.,][0-9])?")
MEASURE_AGAIN = N_("Give the millimetres from the left end, from 0 to 150, such as 74 or 74.5.")
STEPS = (Decimal("1"), Decimal("0.5"), Decimal("0.1"))
"""What a ruler may be read to, in millimetres, the plainest first."""


def find_place(millimetres: Decimal) -> int:
    """Return thousandths of the length from millimetres of a printed line.

    Examples
    --------
    >>> find_place(Decimal("74.5"))
    497
    """
    return round(millimetres * LENGTH / MILLIMETRES)


def measure(place: int) -> str:
    """Return the plainest number of millimetres that is read as this place.

    Parameters
    ----------
    place : int
        Thousandths of the length.

    Examples
    --------
    >>> measure(500), measure(497), measure(498)
    ('75', '74.5', '74.7')
    """
    exact = Decimal(place) * MILLIMETRES / LENGTH
    near = ((exact / step).to_integral_value() * step for step in STEPS)
    return f"{next(one for one in near if find_place(one) == place):f}"


class Line(Kind):
    """A line between two ends.

    A value is a whole number: thousandths of the length, from the low end. A line that
    was not touched has no value. Millimetres typed beside a mark replace it.

    Attributes
    ----------
    low, high : str
        Words at its ends.
    middle : str
        Word at the middle of a line with two sides; empty if it has one.

    Examples
    --------
    >>> line = Line(low="none", high="strong")
    >>> line.parse({"": "625"}, ()), line.to_number(625), line.describe(625)
    (625, 62.5, '62.5 / 100')
    >>> line.parse({"mm": "74,5"}, ()), line.fill_paper(497)
    (497, {'mm': '74.5'})
    """

    TITLE: ClassVar[str] = "Line between two ends"
    ADVICE: ClassVar[str] = "Say at both ends what the end is; it starts without a mark."

    kind: Literal["line"] = "line"
    low: Word
    high: Word
    middle: Hint = ""

    @property
    def analysis(self) -> Analysis:
        """Where the values go."""
        return Analysis.NUMBERS

    def list_fields(self, codes: Sequence[str]) -> tuple[str, ...]:
        """List the field itself, and ``mm``: measured from the low end of a printed line."""
        del codes
        return ("", "mm")

    def _read(self, fields: Mapping[str, str]) -> Json | None:
        if text := fields.get("mm", ""):
            return _read_measure(text)
        text = fields.get("", "")
        return read_whole("", text, OFF_THE_LINE) if text else None

    def check(self, value: Json, codes: Sequence[str]) -> None:
        """Refuse what is not a whole number from 0 to 1000."""
        del codes
        if type(value) is not int or not 0 <= value <= LENGTH:
            raise InvalidValue("", OFF_THE_LINE)

    def fill(self, value: Json) -> dict[str, str]:
        """Return the fields from which `parse` makes this value."""
        return {"": str(value)}

    def fill_paper(self, value: Json) -> dict[str, str]:
        """Return the millimetres at which the printed line is crossed."""
        return {"mm": measure(value)}

    def describe(self, value: Json) -> str:
        """Say how far along the line, of 100."""
        return f"{value / 10:g} / 100"

    def to_number(self, value: Json) -> float:
        """Return hundredths of the length."""
        return float(value / 10)

    @property
    def paper(self) -> Paper:
        """A line to cross."""
        ends = (self.low, self.middle, self.high) if self.middle else (self.low, self.high)
        return Paper("line", ends, millimetres=MILLIMETRES)


def _read_measure(text: str) -> int:
    if not MEASURE.fullmatch(text):
        raise InvalidValue("mm", MEASURE_AGAIN)
    millimetres = Decimal(text.replace(",", "."))
    if millimetres > MILLIMETRES:
        raise InvalidValue("mm", MEASURE_AGAIN)
    return find_place(millimetres)
