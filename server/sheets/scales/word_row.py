"""What scales with one word of a row share; no kind of its own."""

from abc import abstractmethod
from collections.abc import Mapping, Sequence

from server.sheets.scales.base import N_, InvalidValue, Json, Kind, Paper, read_whole
from server.sheets.text import Words

CHOOSE_ONE = N_("Choose one of the words.")


class WordRow(Kind):
    """One word of a row; a value is the number of the word, as `lowest` counts.

    Attributes
    ----------
    words : tuple of str
        In order.
    """

    words: Words

    @property
    @abstractmethod
    def lowest(self) -> int:
        """Number of the first word."""

    @property
    def choices(self) -> tuple[tuple[int, str], ...]:
        """Every number with its word."""
        return tuple(enumerate(self.words, self.lowest))

    def _read(self, fields: Mapping[str, str]) -> Json | None:
        text = fields.get("", "")
        return read_whole("", text, CHOOSE_ONE) if text else None

    def check(self, value: Json, codes: Sequence[str]) -> None:
        """Refuse what is not the number of a word."""
        del codes
        if type(value) is not int or not 0 <= value - self.lowest < len(self.words):
            raise InvalidValue("", CHOOSE_ONE)

    def fill(self, value: Json) -> dict[str, str]:
        """Return the fields from which `parse` makes this value."""
        return {"": str(value)}

    def describe(self, value: Json) -> str:
        """Return the word."""
        return dict(self.choices)[value]

    def to_number(self, value: Json) -> float | None:
        """Return the number of the word, if the analysis goes by numbers."""
        return float(value) if self.numeric else None

    @property
    def paper(self) -> Paper:
        """A box a word."""
        return Paper("boxes", self.words)
