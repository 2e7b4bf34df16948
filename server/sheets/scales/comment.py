"""Words of one's own, as many as fit."""

from collections.abc import Mapping, Sequence
from typing import ClassVar, Literal

from server.sheets.scales.base import N_, Analysis, InvalidValue, Json, Kind, Paper, Scope
from server.sheets.text import tidy_lines

LONGEST = 500
TOO_LONG = N_("Keep it to 500 characters.")


class Comment(Kind):
    """A comment on a sample; a value is its text.

    Examples
    --------
    >>> Comment().parse({"": " flat, a little dusty "}, ())
    'flat, a little dusty'
    """

    TITLE: ClassVar[str] = "Comment"
    ADVICE: ClassVar[str] = "It is shown as it was written, and never counted."
    SCOPES: ClassVar[tuple[Scope, ...]] = ("sample",)

    kind: Literal["comment"] = "comment"

    @property
    def analysis(self) -> Analysis:
        """Where the values go."""
        return Analysis.TEXT

    def _read(self, fields: Mapping[str, str]) -> Json | None:
        return tidy_lines(fields.get("", "")) or None

    def check(self, value: Json, codes: Sequence[str]) -> None:
        """Refuse text that is empty, untidy or longer than 500 characters."""
        del codes
        if type(value) is not str or not value or value != tidy_lines(value):
            raise InvalidValue("", TOO_LONG)
        if len(value) > LONGEST:
            raise InvalidValue("", TOO_LONG)

    def fill(self, value: Json) -> dict[str, str]:
        """Return the fields from which `parse` makes this value."""
        return {"": str(value)}

    def describe(self, value: Json) -> str:
        """Return the text."""
        return str(value)

    @property
    def paper(self) -> Paper:
        """Empty lines."""
        return Paper("text")
