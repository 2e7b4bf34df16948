"""A line between two ends, to be marked anywhere."""

from collections.abc import Mapping, Sequence
from typing import ClassVar, Literal

from server.sheets.scales.base import N_, Analysis, InvalidValue, Json, Kind, Paper, read_whole
from server.sheets.text import Hint, Word

LENGTH = 1000
MILLIMETRES = 150
OFF_THE_LINE = N_("That place is not on the line. Mark it again.")


class Line(Kind):
    """A line between two ends.

    A value is a whole number: thousandths of the length, from the low end. A line that
    was not touched has no value.

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
    >>> line.parse({"mm": "75"}, ())
    500
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
        if text := fields.get("", ""):
            return read_whole("", text, OFF_THE_LINE)
        if text := fields.get("mm", ""):
            return round(read_whole("mm", text, OFF_THE_LINE) * LENGTH / MILLIMETRES)
        return None

    def check(self, value: Json, codes: Sequence[str]) -> None:
        """Refuse what is not a whole number from 0 to 1000."""
        del codes
        if type(value) is not int or not 0 <= value <= LENGTH:
            raise InvalidValue("", OFF_THE_LINE)

    def fill(self, value: Json) -> dict[str, str]:
        """Return the fields from which `parse` makes this value."""
        return {"": str(value)}

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
