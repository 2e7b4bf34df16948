"""Filled sheets met by the key: scores by sample, ready for the analysis."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from server.sheets.places import Place, Standing, list_places
from server.sheets.scales.base import Analysis
from server.sheets.scores import Score
from server.sheets.sheet import Attribute, Sheet
from server.sheets.values import Value


class Truth(NamedTuple):
    """What stood at a code and bowl.

    Attributes
    ----------
    sample : str
    bowl : str or None
        Name of a shared bowl within its sample; None for an own cup, or for all bowls
        under a code together.
    position : int or None
        Place of the code in the seat's order of tasting, from 1.
    """

    sample: str
    bowl: str | None = None
    position: int | None = None


@dataclass(frozen=True)
class Filled:
    """A sheet filled by one assessor in one sitting, and what stood before them.

    Attributes
    ----------
    assessor : str
    sitting : str or None
    items : sequence of Standing
        What stood before the seat.
    values : sequence of Value
    key : mapping of (str, int) to Truth
        What every code and bowl was; bowl 0 is the code as a whole.
    """

    assessor: str
    sitting: str | None
    items: Sequence[Standing]
    values: Sequence[Value]
    key: Mapping[tuple[str, int], Truth]


def name_score(attribute: str, time: str) -> str:
    """Return the name under which values of one pass are analysed.

    Parameters
    ----------
    attribute, time : str
        Name on the sheet; the pass, empty if there is none.

    Returns
    -------
    str

    Examples
    --------
    >>> name_score("bitter", "hot"), name_score("bitter", "")
    ('bitter, hot', 'bitter')
    """
    return f"{attribute}, {time}" if time else attribute


def list_score_names(sheet: Sheet) -> tuple[str, ...]:
    """List the names of all that is analysed as numbers.

    Parameters
    ----------
    sheet : Sheet

    Returns
    -------
    tuple of str
        An attribute asked in several passes has a name a pass, and one for its change.

    Examples
    --------
    >>> from server.sheets.scales.line import Line
    >>> line = Line(low="none", high="much")
    >>> sweet = Attribute(name="sweet", label="Sweet", passes=("hot", "cool"), scale=line)
    >>> list_score_names(Sheet(title="Morning", attributes=(sweet,)))
    ('sweet, hot', 'sweet, cool', 'sweet, hot to cool')
    """
    return tuple(
        name
        for one in _list_numeric(sheet)
        for name in (
            *(name_score(one.name, time) for time in one.times),
            *((_name_change(one),) if len(one.times) > 1 else ()),
        )
    )


def list_declarable(sheet: Sheet) -> tuple[str, ...]:
    """List the names of all that may be declared to count: numbers, then orders of samples.

    Parameters
    ----------
    sheet : Sheet

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from server.sheets.scales.ranking import Ranking
    >>> order = Attribute(name="order", label="Order", scale=Ranking(first="most", last="least"))
    >>> list_declarable(Sheet(title="Morning", attributes=(order,)))
    ('order',)
    """
    orders = (one for one in sheet.attributes if one.scale.analysis == Analysis.RANKS)
    named = (name_score(one.name, time) for one in orders for time in one.times)
    return (*list_score_names(sheet), *named)


def to_scores(sheet: Sheet, filled: Iterable[Filled]) -> list[Score]:
    """Return the scores of all attributes that are numbers.

    Parameters
    ----------
    sheet : Sheet
        Without personal words, or with those of the one assessor given.
    filled : iterable of Filled

    Returns
    -------
    list of Score
        One a place of every sheet, its value None if it is missing. Values of several passes
        are attributes of their own (`name_score`): a cup is another thing hot and cool.

    Raises
    ------
    LookupError
        If the key does not know what stood at a place.

    Notes
    -----
    Nothing is added up over attributes, and what is no number is not made one: words,
    flags and orders have analyses of their own.

    Examples
    --------
    >>> from server.sheets.places import Item
    >>> from server.sheets.scales.line import Line
    >>> from server.sheets.values import Answer, merge
    >>> sweet = Attribute(name="sweet", label="Sweet", scale=Line(low="none", high="much"))
    >>> sheet = Sheet(title="Morning", attributes=(sweet,))
    >>> said = merge(Answer(), {Place("sweet", "385", 0, ""): 700}).values
    >>> one = Filled("ann", None, [Item("385")], said, {("385", 0): Truth("fresh", None, 1)})
    >>> to_scores(sheet, [one])[0].value
    70.0
    """
    return [
        _make_score(one, name_score(place.attribute, place.time), place, number)
        for one in filled
        for place, number in _list_numbers(sheet, one).items()
    ]


def to_changes(sheet: Sheet, filled: Iterable[Filled]) -> list[Score]:
    """Return how far values change from the first pass of an attribute to its last.

    Parameters
    ----------
    sheet : Sheet
    filled : iterable of Filled

    Returns
    -------
    list of Score
        Last less first, None if either is missing; attributes asked once have none.

    Raises
    ------
    LookupError
        If the key does not know what stood at a place.

    Examples
    --------
    >>> from server.sheets.places import Item
    >>> from server.sheets.scales.line import Line
    >>> from server.sheets.values import Answer, merge
    >>> line = Line(low="none", high="much")
    >>> sweet = Attribute(name="sweet", label="Sweet", passes=("hot", "cool"), scale=line)
    >>> sheet = Sheet(title="Morning", attributes=(sweet,))
    >>> said = {Place("sweet", "385", 0, "hot"): 700, Place("sweet", "385", 0, "cool"): 450}
    >>> key = {("385", 0): Truth("fresh")}
    >>> one = Filled("ann", None, [Item("385")], merge(Answer(), said).values, key)
    >>> [(score.attribute, score.value) for score in to_changes(sheet, [one])]
    [('sweet, hot to cool', -25.0)]
    """
    several = [one for one in _list_numeric(sheet) if len(one.times) > 1]
    return [score for one in filled for score in _compare_passes(sheet, one, several)]


def _compare_passes(sheet: Sheet, filled: Filled, several: Sequence[Attribute]) -> Iterator[Score]:
    numbers = _list_numbers(sheet, filled)
    for attribute in several:
        first, last = attribute.times[0], attribute.times[-1]
        for place in numbers:
            if (place.attribute, place.time) == (attribute.name, first):
                before, after = numbers[place], numbers[place._replace(time=last)]
                change = None if before is None or after is None else after - before
                yield _make_score(filled, _name_change(attribute), place, change)


def _name_change(attribute: Attribute) -> str:
    return name_score(attribute.name, f"{attribute.times[0]} to {attribute.times[-1]}")


def _list_numeric(sheet: Sheet) -> list[Attribute]:
    return [one for one in sheet.attributes if one.scale.numeric]


def _list_numbers(sheet: Sheet, filled: Filled) -> dict[Place, float | None]:
    read: dict[str, Callable[[object], float | None]] = {
        one.name: one.scale.to_number for one in _list_numeric(sheet)
    }
    said = {one.place: one.value for one in filled.values}
    return {
        place: read[place.attribute](said[place]) if place in said else None
        for place in list_places(sheet, filled.items)
        if place.attribute in read
    }


def _make_score(filled: Filled, name: str, place: Place, value: float | None) -> Score:
    truth = filled.key.get((place.code, place.bowl))
    if truth is None:
        raise LookupError(f"the key does not know bowl {place.bowl} of code {place.code}")
    return Score(
        filled.assessor,
        truth.sample,
        name,
        value,
        truth.bowl,
        truth.position,
        filled.sitting,
    )
