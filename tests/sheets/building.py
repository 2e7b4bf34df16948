"""Short ways to a sheet for tests: a small roastery's table, all of it invented."""

from typing import Any

from server.sheets.places import Item
from server.sheets.scales.base import Kind
from server.sheets.scales.comment import Comment
from server.sheets.scales.defect import Defect
from server.sheets.scales.line import Line
from server.sheets.scales.ranking import Ranking
from server.sheets.sheet import Attribute, Sheet

LINE = Line(low="none", high="strong")
FLAG = Defect(levels=("faint", "strong"), words=("papery", "sour milk"))
ORDER = Ranking(first="sweetest", last="least sweet")
CUPS = (Item("385"), Item("417"))
BOWLS = (Item("385", (1, 2)), Item("417", (1, 2)))


def make_attribute(name: str = "sweet", scale: Kind = LINE, **changed: Any) -> Attribute:
    """Build an attribute."""
    scope = changed.pop("scope", scale.SCOPES[0])
    return Attribute(name=name, label=name.title(), scale=scale, scope=scope, **changed)


def make_sheet(*attributes: Attribute, **changed: Any) -> Sheet:
    """Build a sheet, with one line if nothing is said."""
    return Sheet(title="Lantern Row", attributes=attributes or (make_attribute(),), **changed)


def make_full_sheet() -> Sheet:
    """Build a sheet with passes, flags for cups, an order and a comment."""
    return make_sheet(
        make_attribute("aroma", passes=("dry", "break")),
        make_attribute("sweet", passes=("hot", "cool")),
        make_attribute("flaw", FLAG),
        make_attribute("order", ORDER),
        make_attribute("note", Comment(), required=False),
    )
