"""A sheet on paper: block by block, as it is printed and as it is typed in again."""

from collections.abc import Sequence
from itertools import groupby
from typing import NamedTuple

from server.sheets.places import Place, Standing, list_places
from server.sheets.scales.tick_all import TickAll
from server.sheets.sheet import Attribute, Sheet
from server.sheets.shuffling import order_attributes, order_words


class Entry(NamedTuple):
    """One value to give.

    Attributes
    ----------
    attribute : Attribute
    place : Place
    words : tuple of (int, str)
        Those to tick with their numbers on the sheet, in the seat's order; none for other scales.
    codes : tuple of str
        Codes of the table, in the order of tasting.
    """

    attribute: Attribute
    place: Place
    words: tuple[tuple[int, str], ...]
    codes: tuple[str, ...]


class Block(NamedTuple):
    """What is asked in one pass of one code; without a code, of the whole table."""

    time: str
    code: str
    entries: tuple[Entry, ...]


def list_blocks(sheet: Sheet, items: Sequence[Standing], seed: str) -> tuple[Block, ...]:
    """List the blocks of a seat's sheet in the order in which they are printed.

    Parameters
    ----------
    sheet : Sheet
        As the seat scores it (`sheet.add_words`).
    items : sequence of Standing
        What stands before the seat, in the order of tasting.
    seed : str
        The id of the seat's serving, from which its own order of the attributes follows.

    Returns
    -------
    tuple of Block
        Every place once (`places.list_places`).

    Examples
    --------
    >>> from server.sheets.places import Item
    >>> from server.sheets.scales.line import Line
    >>> sweet = Attribute(
    ...     name="sweet", label="Sweet", passes=("hot", "cool"), scale=Line(low="none", high="much")
    ... )
    >>> sheet = Sheet(title="Morning", attributes=(sweet,))
    >>> [(one.time, one.code) for one in list_blocks(sheet, [Item("385"), Item("417")], "7")]
    [('hot', '385'), ('hot', '417'), ('cool', '385'), ('cool', '417')]
    """
    mine = sheet.model_copy(update={"attributes": order_attributes(sheet, seed)})
    attributes = {one.name: one for one in mine.attributes}
    words = {
        one.name: order_words(one, seed) if isinstance(one.scale, TickAll) else ()
        for one in mine.attributes
    }
    codes = tuple(one.code for one in items)
    places = groupby(list_places(mine, items), key=lambda one: (one.time, one.code))
    return tuple(
        Block(
            time,
            code,
            tuple(
                Entry(attributes[one.attribute], one, words[one.attribute], codes) for one in group
            ),
        )
        for (time, code), group in places
    )
