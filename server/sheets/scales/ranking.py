"""All samples of the table put in order."""

from collections.abc import Mapping, Sequence
from itertools import chain
from typing import ClassVar, Literal

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
from server.sheets.text import Word

A_PLACE = N_("Give every code a place, counted from 1.")
NO_TIES = N_("Two codes have the same place. Decide, even if you have to guess.")
OTHER_CODE = N_("That code is not on this table.")


class Ranking(Kind):
    """All codes of the table in order.

    A value is a list of groups of codes, the first place first; a group of several is a
    tie. Codes not placed yet are left out.

    Attributes
    ----------
    first, last : str
        What the first and the last place mean.
    ties : bool
        Whether codes may share a place.

    Examples
    --------
    >>> scale, codes = Ranking(first="sweetest", last="least sweet"), ("385", "417", "926")
    >>> value = scale.parse({"385": "3", "417": "1", "926": "2"}, codes)
    >>> value, scale.describe(value), scale.rank(value)
    ([['417'], ['926'], ['385']], '417 > 926 > 385', {'417': 1.0, '926': 2.0, '385': 3.0})
    """

    TITLE: ClassVar[str] = "All samples in order"
    ADVICE: ClassVar[str] = "An order says which came before which, not how far apart they are."
    SCOPES: ClassVar[tuple[Scope, ...]] = ("sample",)
    WHOLE: ClassVar[bool] = True

    kind: Literal["ranking"] = "ranking"
    first: Word
    last: Word
    ties: bool = False

    @property
    def analysis(self) -> Analysis:
        """Where the values go."""
        return Analysis.RANKS

    def list_fields(self, codes: Sequence[str]) -> tuple[str, ...]:
        """List a field a code, for its place."""
        return tuple(codes)

    def _read(self, fields: Mapping[str, str]) -> Json | None:
        places: dict[int, list[str]] = {}
        for code, text in fields.items():
            if text:
                places.setdefault(read_whole(code, text, A_PLACE), []).append(code)
        return [sorted(places[place]) for place in sorted(places)] or None

    def check(self, value: Json, codes: Sequence[str]) -> None:
        """Refuse other codes, a code placed twice, and ties where they are not allowed."""
        if type(value) is not list or not value or not all(map(_is_group, value)):
            raise InvalidValue(codes[0] if codes else "", A_PLACE)
        placed = list(chain.from_iterable(value))
        if len(set(placed)) < len(placed) or not set(placed) <= set(codes):
            raise InvalidValue(codes[0] if codes else "", OTHER_CODE)
        tied = next((group for group in value if len(group) > 1), None)
        if tied and not self.ties:
            raise InvalidValue(tied[1], NO_TIES)

    def fill(self, value: Json) -> dict[str, str]:
        """Return the fields from which `parse` makes this value."""
        return {code: str(place) for place, group in enumerate(value, 1) for code in group}

    def find_gap(self, value: Json, codes: Sequence[str]) -> str | None:
        """Return whether codes have no place yet."""
        return None if sum(map(len, value)) == len(codes) else A_PLACE

    def describe(self, value: Json) -> str:
        """Return the codes, the first place first."""
        return " > ".join(" = ".join(group) for group in value)

    def rank(self, value: Json) -> dict[str, float]:
        """Return the rank of every code placed; tied ones share the mean of their ranks.

        Parameters
        ----------
        value : list of list of str
            As `parse` gives it.

        Returns
        -------
        dict of str to float
            Rank 1 is first.

        Examples
        --------
        >>> Ranking(first="most", last="least").rank([["385", "417"], ["926"]])
        {'385': 1.5, '417': 1.5, '926': 3.0}
        """
        ranks: dict[str, float] = {}
        for group in value:
            ranks |= dict.fromkeys(group, len(ranks) + (len(group) + 1) / 2)
        return ranks

    @property
    def paper(self) -> Paper:
        """Room for the place of every code."""
        return Paper("places", (self.first, self.last))


def _is_group(group: Json) -> bool:
    if type(group) is not list or not group or not all(type(one) is str for one in group):
        return False
    return sorted(group) == group
