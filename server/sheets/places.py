"""Where values belong: attribute, code, bowl and pass, in the order of the table."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple, Protocol

from server.sheets.sheet import Attribute, Sheet


class Standing(Protocol):
    """What stands under one code."""

    @property
    def code(self) -> str:
        """Its code."""
        ...

    @property
    def bowls(self) -> tuple[int, ...]:
        """Numbers of its bowls; (0,) for a single cup."""
        ...


class Item(NamedTuple):
    """What stands under one code.

    Attributes
    ----------
    code : str
    bowls : tuple of int
        Numbers of its bowls; (0,) for a single cup.

    Examples
    --------
    >>> Item("385").bowls
    (0,)
    """

    code: str
    bowls: tuple[int, ...] = (0,)


class Place(NamedTuple):
    """Where one value belongs.

    Attributes
    ----------
    attribute : str
        Name on the sheet.
    code : str
        Empty if the value is about all codes together.
    bowl : int
        0 if it is about all bowls under the code, or there is one.
    time : str
        The pass; empty if there is none.

    Examples
    --------
    >>> Place("bitter", "385", 2, "hot").field, Place("order", "", 0, "").name_part("385")
    ('v.bitter.385.2.hot', 'v.order..0..385')
    """

    attribute: str
    code: str
    bowl: int
    time: str

    @property
    def field(self) -> str:
        """Name of its field in a form."""
        return f"v.{self.attribute}.{self.code}.{self.bowl}.{self.time}"

    def name_part(self, part: str) -> str:
        """Return the name of a sub-field, of the field itself if it is empty."""
        return f"{self.field}.{part}" if part else self.field


def list_places(sheet: Sheet, items: Sequence[Standing]) -> tuple[Place, ...]:
    """List every place of a table: pass by pass, code by code, then as on the sheet.

    Parameters
    ----------
    sheet : Sheet
    items : sequence of Standing
        What stands before the seat, in the order of tasting.

    Returns
    -------
    tuple of Place
        What is about all codes together comes after them; what is asked in no pass, last.

    Examples
    --------
    >>> from server.sheets.scales.line import Line
    >>> sweet = Attribute(
    ...     name="sweet", label="Sweet", passes=("hot", "cool"), scale=Line(low="none", high="much")
    ... )
    >>> sheet = Sheet(title="Morning", attributes=(sweet,))
    >>> [place.field for place in list_places(sheet, [Item("385")])]
    ['v.sweet.385.0.hot', 'v.sweet.385.0.cool']
    """
    return tuple(
        Place(attribute.name, code, bowl, time)
        for time in sheet.passes
        for code, bowls in [*((one.code, one.bowls) for one in items), ("", ())]
        for attribute in _list_asked(sheet.attributes, time, whole=not code)
        for bowl in (bowls if attribute.scope == "cup" and code else (0,))
    )


def _list_asked(
    attributes: Iterable[Attribute], time: str, *, whole: bool
) -> tuple[Attribute, ...]:
    return tuple(one for one in attributes if time in one.times and whole == one.scale.WHOLE)
