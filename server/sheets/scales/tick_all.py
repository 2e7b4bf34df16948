"""All words that apply."""

from collections.abc import Mapping, Sequence
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from server.sheets.scales.base import N_, Analysis, InvalidValue, Json, Kind, Paper
from server.sheets.text import Words

NONE_APPLIES = N_("none of these")
BOTH = N_("Either tick words, or tick that none of them applies.")
UNKNOWN = N_("That word is not on the list.")


class TickAll(Kind):
    """All words that apply.

    A value is the list of ticked words as the sheet orders them, empty if it was said
    that none applies. Where nothing is ticked at all there is no value.

    Attributes
    ----------
    words : tuple of str
        2 to 40; every seat meets them in an order of its own.

    Examples
    --------
    >>> scale = TickAll(words=("papery", "woody", "earthy"))
    >>> scale.parse({"asked": "1", "2": "on", "0": "on"}, ())
    ['papery', 'earthy']
    >>> scale.parse({"asked": "1", "none": "on"}, ()), scale.parse({"asked": "1"}, ())
    ([], None)
    """

    TITLE: ClassVar[str] = "All words that apply"
    ADVICE: ClassVar[str] = (
        "A tick says that a word applies, not how strongly; no tick does not say that it is "
        "absent. Every seat meets the words in another order."
    )

    kind: Literal["tick-all"] = "tick-all"
    words: Annotated[Words, Field(min_length=2, max_length=40)]

    @property
    def analysis(self) -> Analysis:
        """Where the values go."""
        return Analysis.TICKS

    def list_fields(self, codes: Sequence[str]) -> tuple[str, ...]:
        """List ``asked``, which every form sends, ``none``, and a number from 0 for each word."""
        del codes
        return ("asked", "none", *map(str, range(len(self.words))))

    def _read(self, fields: Mapping[str, str]) -> Json | None:
        ticked = [word for place, word in enumerate(self.words) if fields.get(str(place))]
        if fields.get("none"):
            if ticked:
                raise InvalidValue("none", BOTH)
            return []
        return ticked or None

    def check(self, value: Json, codes: Sequence[str]) -> None:
        """Refuse words that are not on the list, come twice or in another order."""
        del codes
        if type(value) is not list or [one for one in self.words if one in value] != value:
            raise InvalidValue("asked", UNKNOWN)

    def fill(self, value: Json) -> dict[str, str]:
        """Return the fields from which `parse` makes this value."""
        ticks = {str(place): "on" for place, word in enumerate(self.words) if word in value}
        return {"asked": "1"} | (ticks or {"none": "on"})

    def describe(self, value: Json) -> str:
        """Return the words."""
        return ", ".join(value) or NONE_APPLIES

    @property
    def paper(self) -> Paper:
        """A box a word."""
        return Paper("boxes", self.words, several=True)
