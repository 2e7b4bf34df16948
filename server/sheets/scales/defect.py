"""A flag on a cup: sound or not, how strong, and what it is like."""

from collections.abc import Mapping, Sequence
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from server.sheets.scales.base import (
    N_,
    Analysis,
    InvalidValue,
    Json,
    Kind,
    Paper,
    Scope,
    read_whole,
)
from server.sheets.text import Words, join_line

LONGEST_OWN = 60
SOUND = N_("no defect")
YES_OR_NO = N_("Say whether the cup has a defect.")
HOW_STRONG = N_("Say how strong the defect is.")
WHICH_WORD = N_("Choose the word that fits best.")
OWN_WORD = N_("Write your own word in up to 60 characters.")


class Defect(Kind):
    """A flag on a cup.

    A value is ``{"found": false}``, or ``{"found": true}`` with ``intensity`` (1 for the first
    of the levels) and ``word`` as soon as they are said.

    Attributes
    ----------
    levels : tuple of str
        1 to 6, from least to most.
    words : tuple of str
        1 to 40 to choose from.
    own : bool
        Whether a word of one's own may be written instead.

    Examples
    --------
    >>> flag = Defect(levels=("faint", "clear"), words=("papery", "sour milk"))
    >>> flag.parse({"": "no", "intensity": "2"}, ())
    {'found': False}
    >>> value = flag.parse({"": "yes", "intensity": "2", "word": "0"}, ())
    >>> flag.describe(value), flag.find_gap({"found": True}, ())
    ('papery, clear', 'Say how strong the defect is.')
    """

    TITLE: ClassVar[str] = "Defect of a cup"
    ADVICE: ClassVar[str] = (
        "Asked of every cup, and counted: k of n cups. It is never averaged into anything."
    )
    SCOPES: ClassVar[tuple[Scope, ...]] = ("cup",)

    kind: Literal["defect"] = "defect"
    levels: Annotated[Words, Field(min_length=1, max_length=6)]
    words: Annotated[Words, Field(min_length=1, max_length=40)]
    own: bool = True

    @property
    def analysis(self) -> Analysis:
        """Where the values go."""
        return Analysis.DEFECTS

    def list_fields(self, codes: Sequence[str]) -> tuple[str, ...]:
        """List ``no`` or ``yes``, the intensity, the word's number or ``own``, and one's own."""
        del codes
        return ("", "intensity", "word", "own")

    def _read(self, fields: Mapping[str, str]) -> Json | None:
        said = fields.get("", "")
        if said not in ("", "no", "yes"):
            raise InvalidValue("", YES_OR_NO)
        if said != "yes":
            return {"found": False} if said else None
        value: dict[str, Json] = {"found": True}
        if text := fields.get("intensity", ""):
            value["intensity"] = read_whole("intensity", text, HOW_STRONG)
        if word := self._read_word(fields):
            value["word"] = word
        return value

    def _read_word(self, fields: Mapping[str, str]) -> str:
        chosen = fields.get("word", "")
        if chosen == "own":
            return join_line(fields.get("own", ""))
        if not chosen:
            return ""
        place = read_whole("word", chosen, WHICH_WORD)
        if not 0 <= place < len(self.words):
            raise InvalidValue("word", WHICH_WORD)
        return self.words[place]

    def check(self, value: Json, codes: Sequence[str]) -> None:
        """Refuse unknown members, levels that are not there, and words not allowed."""
        del codes
        if type(value) is not dict or type(value.get("found")) is not bool:
            raise InvalidValue("", YES_OR_NO)
        said = value.keys() - {"found"}
        if said - {"intensity", "word"} or (said and not value["found"]):
            raise InvalidValue("", YES_OR_NO)
        if "intensity" in value:
            self._check_intensity(value["intensity"])
        if "word" in value:
            self._check_word(value["word"])

    def _check_intensity(self, intensity: Json) -> None:
        if type(intensity) is not int or not 1 <= intensity <= len(self.levels):
            raise InvalidValue("intensity", HOW_STRONG)

    def _check_word(self, word: Json) -> None:
        if word in self.words:
            return
        if not self.own or type(word) is not str:
            raise InvalidValue("word", WHICH_WORD)
        if not 0 < len(word) <= LONGEST_OWN or word != join_line(word):
            raise InvalidValue("own", OWN_WORD)

    def fill(self, value: Json) -> dict[str, str]:
        """Return the fields from which `parse` makes this value."""
        if not value["found"]:
            return {"": "no"}
        fields = {"": "yes"}
        if "intensity" in value:
            fields["intensity"] = str(value["intensity"])
        if "word" in value:
            word = value["word"]
            known = word in self.words
            fields |= (
                {"word": str(self.words.index(word))} if known else {"word": "own", "own": word}
            )
        return fields

    def find_gap(self, value: Json, codes: Sequence[str]) -> str | None:
        """Return what is still to be said of a defect found."""
        del codes
        if not value["found"]:
            return None
        if "intensity" not in value:
            return HOW_STRONG
        return None if "word" in value else WHICH_WORD

    def describe(self, value: Json) -> str:
        """Return word and level."""
        if not value["found"]:
            return SOUND
        level = self.levels[value["intensity"] - 1] if "intensity" in value else "?"
        return f"{value.get('word', '?')}, {level}"

    @property
    def paper(self) -> Paper:
        """A box, boxes for the levels, room for a word."""
        return Paper("flag", self.levels, choices=self.words)
